#include "swingroom/report/report.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/publish/overlay_files.hpp"
#include "swingroom/sea/georeference.hpp"

#include "base/parallel.hpp"
#include "publish/styles/answer_words.hpp"
#include "report/first_page.hpp"
#include "report/map_file.hpp"
#include "report/map_legend.hpp"
#include "report/report_page.hpp"
#include "report/run_maps.hpp"
#include "report/whole_text.hpp"

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <limits>
#include <string_view>
#include <utility>

namespace swingroom {
namespace {

// The page stays a few megabytes, and readable, whatever the run.
constexpr std::size_t zones_in_table = 8, spots_read = most_best_spots;

void find_corners(const Grid& grid, const Georeference& georeference, ReportContents& contents) {
    std::vector<GridPoint> corners = {{0, 0},
                                      {static_cast<double>(grid.cols), 0},
                                      {0, static_cast<double>(grid.rows)},
                                      {static_cast<double>(grid.cols), static_cast<double>(grid.rows)}};
    georeference.to_lonlat_unwrapped(corners);
    contents.south_west = contents.north_east = corners.front();
    for (const GridPoint p : corners) {
        contents.south_west = {std::min(contents.south_west.x, p.x), std::min(contents.south_west.y, p.y)};
        contents.north_east = {std::max(contents.north_east.x, p.x), std::max(contents.north_east.y, p.y)};
    }
}

/// Whether the run has made a layer.
bool has_layer(const ReportInput& input, std::string_view name) {
    return std::any_of(input.vectors.begin(), input.vectors.end(),
                       [&](const VectorLayer::Finished& layer) { return layer.spec.name == name; });
}

/// @pre what all have is all that there is before the first is taken
void take_advice(const FinishedFeature& of, ReportContents& contents) {
    contents.advice_of_all =
        static_cast<std::uint16_t>(contents.advice_of_all & advice_of(of.text("advice")));
}

void read_spots(const std::filesystem::path& folder, const ReportInput& input, ReportContents& contents) {
    each_feature(folder, input, "spots", [&](const FinishedFeature& spot) {
        ++contents.spots_count;
        take_advice(spot, contents);
        if (contents.spots.size() < spots_read) contents.spots.push_back(spot);
    });
}

/// Whether a place lies within the rings of a polygon, of which holes are rings too.
bool is_in(GridPoint place, const FinishedFeature& polygon) {
    bool in = false;
    for (const std::vector<GridPoint>& ring : polygon.rings) {
        for (std::size_t i = 0; i + 1 < ring.size(); ++i) {
            const GridPoint a = ring[i], b = ring[i + 1];
            if ((a.y > place.y) == (b.y > place.y)) continue;
            in ^= place.x < a.x + (b.x - a.x) * (place.y - a.y) / (b.y - a.y);
        }
    }
    return in;
}

/// The numbers of the drop points in a zone.
std::vector<std::size_t> spots_in(const FinishedFeature& zone, const std::vector<FinishedFeature>& spots) {
    std::vector<std::size_t> numbers;
    for (std::size_t i = 0; i < spots.size(); ++i) {
        if (is_in(spots[i].rings.front().front(), zone)) numbers.push_back(i + 1);
    }
    return numbers;
}

void draw_zones(const std::filesystem::path& folder, const ReportInput& input, RunMaps& maps,
                ReportContents& contents) {
    Largest largest(outlines_of_zones), worth(zones_in_table);
    each_feature(folder, input, "zones", [&](const FinishedFeature& zone) {
        const auto verdict = static_cast<std::size_t>(
            is_out_of_reach(zone) ? Verdict::out_of_reach : verdict_of(zone.number("verdict")));
        ++contents.zones_count.at(verdict);
        contents.zones_area_m2.at(verdict) += zone.number("area_m2");
        if (says_holding_not_known(zone.text("meaning"))) {
            ++contents.unchecked_count.at(verdict);
            contents.unchecked_area_m2.at(verdict) += zone.number("area_m2");
        }
        take_advice(zone, contents);
        const double area_m2 = zone.number("area_m2");
        if (!zone.rings.empty()) largest.take(area_m2, zone);
        if (zone.number("best_inner_distance_m") < input.position_allowance_m) return;
        ++contents.zones_worth;
        worth.take(area_m2, zone);
    });
    for (const auto& [area_m2, zone] : worth.kept()) {
        contents.zones.push_back({zone, spots_in(zone, contents.spots)});
        contents.zones.back().zone.rings.clear();
    }
    for (const auto& [area_m2, zone] : largest.kept()) {
        contents.zones_drawn += maps.add_zone(zone);
    }
}

void tally(const FinishedFeature& exclusion, std::vector<ExclusionKind>& kinds) {
    ExclusionKind one{exclusion.text("kind"),   exclusion.text("forbids"),    exclusion.text("advises"),
                      exclusion.text("source"), exclusion.number("margin_m"), 1};
    const auto same = std::find_if(kinds.begin(), kinds.end(), [&](const ExclusionKind& other) {
        return other.kind == one.kind && other.forbids == one.forbids && other.advises == one.advises;
    });
    if (same == kinds.end()) {
        kinds.push_back(std::move(one));
        return;
    }
    ++same->count;
    same->margin_m = std::max(same->margin_m, one.margin_m);
}

void draw_exclusions(const std::filesystem::path& folder, const ReportInput& input, RunMaps& maps,
                     ReportContents& contents) {
    each_feature(folder, input, "exclusions", [&](const FinishedFeature& exclusion) {
        ++contents.exclusions_count;
        tally(exclusion, contents.exclusions);
        contents.exclusions_drawn += maps.add_exclusion(exclusion);
    });
}

} // namespace

void write_pages(const std::filesystem::path& folder, const ReportInput& input, LayerSet wanted) {
    const FinishedVerdicts verdicts(folder);
    const Georeference georeference(verdicts.grid(), verdicts.path().string());
    ReportContents contents;
    contents.exclusions_known = has_layer(input, "exclusions");
    find_corners(verdicts.grid(), georeference, contents);
    contents.advice_of_all = std::numeric_limits<std::uint16_t>::max();
    read_spots(folder, input, contents);
    RunMaps maps(verdicts, georeference, input, contents.spots);
    draw_zones(folder, input, maps, contents);
    // Where there is none nothing is true of all.
    if (zones_of(contents) == 0 && contents.spots.empty()) contents.advice_of_all = 0;
    draw_exclusions(folder, input, maps, contents);
    contents.cells_per_pixel = verdicts.picture(verdicts.grid().extent(), 1024).factor;
    const std::array<std::function<void()>, 3> drawings = {
        [&] {
            if (!wanted.has(Layer::report)) return;
            contents.map = maps.whole(MapColours::page);
            for (std::size_t i = 0; i < maps.insets(); ++i) {
                contents.spot_maps.push_back(maps.inset(i, MapColours::page));
            }
            contents.legend = legend_list(maps.legend(MapColours::page));
            write_whole(folder / "report.html", report_page(contents, input).str());
        },
        [&] {
            if (!wanted.has(Layer::map)) return;
            write_whole(folder / "map.svg", map_sheet(maps, input, contents.spots, MapColours::day).str());
        },
        [&] {
            if (!wanted.has(Layer::map)) return;
            write_whole(folder / "map-night.svg",
                        map_sheet(maps, input, contents.spots, MapColours::night).str());
        }};
    side_by_side(drawings, input.map.job != nullptr ? input.map.job->threads : 1);
}

} // namespace swingroom
