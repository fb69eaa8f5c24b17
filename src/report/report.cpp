#include "swingroom/report/report.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/stop.hpp"
#include "swingroom/publish/overlay_files.hpp"
#include "swingroom/sea/georeference.hpp"

#include "publish/folder/guarded_files.hpp"
#include "publish/folder/sha256.hpp"
#include "publish/styles/answer_words.hpp"
#include "report/first_page.hpp"
#include "report/map_furniture.hpp"
#include "report/report_map.hpp"
#include "report/report_page.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <functional>
#include <iterator>
#include <limits>
#include <map>
#include <string_view>
#include <utility>

namespace swingroom {
namespace {

// The page stays a few megabytes, and readable, whatever the run.
constexpr std::size_t zones_in_table = 8, spots_read = most_best_spots, spots_on_map = 50, spot_maps = 4;
constexpr std::size_t outlines_of_zones = 2000, outline_bytes = 1'500'000;
constexpr double map_units = 1024, spot_map_units = 480;

/// The largest few of what comes by, largest first; of equals the first.
class Largest {
public:
    explicit Largest(std::size_t most) : most_(most) {}
    void take(double size, const FinishedFeature& feature) {
        if (kept_.size() == most_ && !(size > std::prev(kept_.end())->first)) return;
        kept_.emplace(size, feature);
        if (kept_.size() > most_) kept_.erase(std::prev(kept_.end()));
    }
    [[nodiscard]] const auto& kept() const { return kept_; }

private:
    std::size_t most_;
    std::multimap<double, FinishedFeature, std::greater<>> kept_;
};

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

/// The feature with its rings in cells of the grid.
FinishedFeature in_cells(FinishedFeature feature, const Georeference& georeference) {
    for (std::vector<GridPoint>& ring : feature.rings) {
        for (GridPoint& p : ring) {
            p = georeference.grid_point({p.x, p.y});
        }
    }
    return feature;
}

/// The finished layer of a name; null if the run has not made it.
const VectorLayer::Finished* layer_of(const ReportInput& input, std::string_view name) {
    const auto found =
        std::find_if(input.vectors.begin(), input.vectors.end(),
                     [&](const VectorLayer::Finished& layer) { return layer.spec.name == name; });
    return found == input.vectors.end() ? nullptr : &*found;
}

void each_feature(const std::filesystem::path& folder, const ReportInput& input, std::string_view name,
                  const std::function<void(const FinishedFeature&)>& take) {
    if (const VectorLayer::Finished* const layer = layer_of(input, name)) {
        each_finished_feature(folder, *layer, take);
    }
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

/// The surroundings of a drop point: its circle, and half of it again on each side.
Window around(const FinishedFeature& spot, const Grid& grid, const Georeference& georeference) {
    const GridPoint place = spot.rings.front().front();
    const LonLat at{place.x, place.y};
    const GridPoint cell = georeference.grid_point(at);
    // In a frame whose units are cells, a length in units is one in cells.
    const MapFrame cells(grid, georeference, {static_cast<int>(cell.x), static_cast<int>(cell.y), 1, 1}, 1);
    const GridPoint radius = cells.units_of(1.6 * spot.number("radius_m"), at);
    const auto reach = [](double units, double of_cell) {
        constexpr double least = 4;
        return static_cast<int>(std::ceil(std::max(least, units / of_cell)));
    };
    const int cols = reach(radius.x, cells.col_units()), rows = reach(radius.y, cells.row_units());
    return common(
        {static_cast<int>(cell.x) - cols, static_cast<int>(cell.y) - rows, 2 * cols + 1, 2 * rows + 1},
        grid.extent());
}

/// The maps of a page: the whole, and one around each of the best drop points.
class Maps {
public:
    Maps(const FinishedVerdicts& verdicts, const Georeference& georeference, const ReportContents& contents)
        : georeference_(&georeference) {
        const Grid& grid = verdicts.grid();
        maps_.emplace_back(verdicts, MapFrame(grid, georeference, grid.extent(), map_units), "map-whole");
        for (std::size_t i = 0; i < std::min(spot_maps, contents.spots.size()); ++i) {
            maps_.emplace_back(
                verdicts,
                MapFrame(grid, georeference, around(contents.spots[i], grid, georeference), spot_map_units),
                "map-spot-" + std::to_string(i + 1));
        }
    }

    void draw_zones(const std::filesystem::path& folder, const ReportInput& input, ReportContents& contents) {
        Largest largest(outlines_of_zones), worth(zones_in_table);
        each_feature(folder, input, "zones", [&](const FinishedFeature& zone) {
            const auto verdict = static_cast<std::size_t>(verdict_of(zone.number("verdict")));
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
            stop_if_asked();
            if (whole().size() > outline_bytes) continue;
            contents.zones_drawn += add(&ReportMap::add_zone, zone);
        }
    }

    void draw_exclusions(const std::filesystem::path& folder, const ReportInput& input,
                         ReportContents& contents) {
        const std::size_t before = whole().size();
        each_feature(folder, input, "exclusions", [&](const FinishedFeature& exclusion) {
            ++contents.exclusions_count;
            tally(exclusion, contents.exclusions);
            if (exclusion.rings.empty() || whole().size() - before > outline_bytes) return;
            contents.exclusions_drawn += add(&ReportMap::add_exclusion, exclusion);
        });
    }

    void draw_spots(const ReportContents& contents) {
        for (std::size_t i = 0; i < std::min(spots_on_map, contents.spots.size()); ++i) {
            for (ReportMap& map : maps_) {
                map.add_spot(contents.spots[i], i + 1);
            }
        }
    }

    void hand_over(const ReportInput& input, ReportContents& contents) const {
        contents.map = whole().svg(
            "Map of where " + input.boat_name + " can lie",
            "The answers of the layer verdict in colour and hatching, with outlines of zones and "
            "exclusions and numbered drop points. All that it shows of drop points and zones is in "
            "the tables below.");
        for (std::size_t i = 1; i < maps_.size(); ++i) {
            contents.spot_maps.push_back(
                maps_[i].svg("Drop point " + std::to_string(i) + " and its surroundings",
                             "The swinging circle of drop point " + std::to_string(i) +
                                 " on the answers around it; its figures are in the table."));
        }
    }

private:
    [[nodiscard]] const ReportMap& whole() const { return maps_.front(); }

    /// To all maps.   @returns 1 if it can be seen on that of the whole, else 0
    std::size_t add(bool (ReportMap::*outline)(const FinishedFeature&), const FinishedFeature& feature) {
        const FinishedFeature placed = in_cells(feature, *georeference_);
        std::size_t seen = 0;
        for (ReportMap& map : maps_) {
            if ((map.*outline)(placed) && &map == &maps_.front()) seen = 1;
        }
        return seen;
    }

    static void tally(const FinishedFeature& exclusion, std::vector<ExclusionKind>& kinds) {
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

    const Georeference* georeference_;
    std::vector<ReportMap> maps_;
};

void write_whole(const std::filesystem::path& path, const std::string& text) {
    guarded::Writer writer(path);
    writer.write(text);
    writer.close();
    std::string read;
    guarded::read_file(path, [&](std::string_view bytes) { read += bytes; });
    if (read != text) guarded::fail(path, "reads otherwise than it was written");
}

} // namespace

void write_report(const std::filesystem::path& folder, const ReportInput& input) {
    const FinishedVerdicts verdicts(folder);
    const Georeference georeference(verdicts.grid(), verdicts.path().string());
    ReportContents contents;
    contents.exclusions_known = layer_of(input, "exclusions") != nullptr;
    find_corners(verdicts.grid(), georeference, contents);
    contents.advice_of_all = std::numeric_limits<std::uint16_t>::max();
    read_spots(folder, input, contents);
    Maps maps(verdicts, georeference, contents);
    maps.draw_zones(folder, input, contents);
    // Where there is none nothing is true of all.
    if (zones_of(contents) == 0 && contents.spots.empty()) contents.advice_of_all = 0;
    maps.draw_exclusions(folder, input, contents);
    maps.draw_spots(contents);
    maps.hand_over(input, contents);
    contents.cells_per_pixel = verdicts.picture(verdicts.grid().extent(), 1024).factor;
    write_whole(std::filesystem::absolute(folder / "report.html").lexically_normal(),
                report_page(contents, input).str());
}

} // namespace swingroom
