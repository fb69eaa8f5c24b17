#include "report/run_maps.hpp"

#include "swingroom/base/stop.hpp"

#include "report/way_in_section.hpp"

#include <algorithm>
#include <cmath>
#include <deque>
#include <iterator>
#include <optional>
#include <utility>

namespace swingroom {
namespace {

constexpr std::size_t most_insets = 4, outline_bytes = 1'500'000;
constexpr double map_units = 1024, inset_units = 480;
constexpr int most_inset_pixels = 1024;

/// The feature with its rings in cells of the grid.
FinishedFeature in_cells(FinishedFeature feature, const Georeference& georeference) {
    for (std::vector<GridPoint>& ring : feature.rings) {
        for (GridPoint& p : ring) {
            p = georeference.grid_point({p.x, p.y});
        }
    }
    return feature;
}

/// The surroundings of a drop point: its circle and the disc in which she may let go, and something around.
Window around(const FinishedFeature& spot, const Grid& grid, const Georeference& georeference) {
    const GridPoint place = spot.rings.front().front();
    const LonLat at{place.x, place.y};
    const GridPoint cell = georeference.grid_point(at);
    // In a frame whose units are cells, a length in units is one in cells.
    const MapFrame cells(grid, georeference, {static_cast<int>(cell.x), static_cast<int>(cell.y), 1, 1}, 1);
    const double radius_m = spot.number("radius_m"), inner_m = spot.number("inner_distance_m");
    constexpr double widest = 4; // where the circle itself is still to be seen
    const double disc_m = inner_m > 0 ? std::min(1.15 * inner_m, widest * radius_m) : 0;
    const GridPoint reach_units = cells.units_of(std::max(1.6 * radius_m, disc_m), at);
    const auto reach = [](double units, double of_cell) {
        constexpr double least = 4;
        return static_cast<int>(std::ceil(std::max(least, units / of_cell)));
    };
    const int cols = reach(reach_units.x, cells.col_units()), rows = reach(reach_units.y, cells.row_units());
    return common(
        {static_cast<int>(cell.x) - cols, static_cast<int>(cell.y) - rows, 2 * cols + 1, 2 * rows + 1},
        grid.extent());
}

/// What the picture of these cells stands for, looked at once more.
void look(const MapInput& from, const FinishedVerdicts& verdicts, Window cells, std::deque<MapPlanes>& into) {
    const VerdictPicture picture = verdicts.picture(cells, most_inset_pixels);
    into.emplace_back(picture.pixels.window(), picture.factor,
                      GridCell{from.job->window.col, from.job->window.row});
    look_closer(*from.job, into.back());
}

} // namespace

void each_feature(const std::filesystem::path& folder, const ReportInput& input, std::string_view name,
                  const std::function<void(const FinishedFeature&)>& take) {
    const auto found =
        std::find_if(input.vectors.begin(), input.vectors.end(),
                     [&](const VectorLayer::Finished& layer) { return layer.spec.name == name; });
    if (found != input.vectors.end()) each_finished_feature(folder, *found, take);
}

std::vector<std::size_t> approaches_on_map(const ReportInput& input) {
    const std::optional<std::size_t> waiting = first_at_times(input);
    std::vector<std::size_t> of;
    for (std::size_t i = 0; i < input.best_spots.size(); ++i) {
        const std::optional<WayToPlace>& way = input.best_spots[i].way;
        if ((i < ways_on_map || i == waiting) && way && way->approach) of.push_back(i);
    }
    return of;
}

void Largest::take(double size, const FinishedFeature& feature) {
    if (kept_.size() == most_ && !(size > std::prev(kept_.end())->first)) return;
    kept_.emplace(size, feature);
    if (kept_.size() > most_) kept_.erase(std::prev(kept_.end()));
}

RunMaps::RunMaps(const FinishedVerdicts& verdicts, const Georeference& georeference, const ReportInput& input,
                 const std::vector<FinishedFeature>& spots)
    : georeference_(&georeference), style_{input.measures, 0}, boat_name_(input.boat_name) {
    const Grid& grid = verdicts.grid();
    maps_.emplace_back(verdicts, MapFrame(grid, georeference, grid.extent(), map_units), "map-whole",
                       input.map.planes, style_);
    std::deque<MapPlanes> planes; // which do not move
    for (std::size_t i = 0; i < std::min(most_insets, spots.size()); ++i) {
        stop_if_asked();
        const MapStyle of_inset{input.measures, static_cast<int>(i) + 1};
        const Window cells = around(spots[i], grid, georeference);
        if (input.map.job != nullptr) look(input.map, verdicts, cells, planes);
        maps_.emplace_back(verdicts, MapFrame(grid, georeference, cells, inset_units),
                           "map-spot-" + std::to_string(i + 1),
                           input.map.job != nullptr ? &planes.back() : nullptr, of_inset);
    }
    for (ReportMap& map : maps_) {
        if (input.map.job != nullptr) {
            const GridPoint origin{static_cast<double>(input.map.job->window.col),
                                   static_cast<double>(input.map.job->window.row)};
            for (const Hazard& hazard : input.map.job->hazards->hazards()) {
                map.add_hazard(hazard, origin);
            }
        }
        for (const std::size_t i : approaches_on_map(input)) {
            const PositionReport& spot = input.best_spots[i];
            map.add_approach(*spot.way->approach, spot.reach && spot.reach->reach == Reach::at_times);
        }
        for (std::size_t i = 0; i < std::min(spots_on_map, spots.size()); ++i) {
            map.add_spot(spots[i], i + 1);
        }
    }
}

std::size_t RunMaps::add(bool (ReportMap::*outline)(const FinishedFeature&), const FinishedFeature& feature,
                         std::size_t& bytes) {
    if (feature.rings.empty() || bytes > outline_bytes) return 0;
    stop_if_asked();
    const FinishedFeature placed = in_cells(feature, *georeference_);
    const std::size_t before = maps_.front().outline_bytes();
    std::size_t seen = 0;
    for (ReportMap& map : maps_) {
        if ((map.*outline)(placed) && &map == &maps_.front()) seen = 1;
    }
    bytes += maps_.front().outline_bytes() - before;
    return seen;
}

std::size_t RunMaps::add_zone(const FinishedFeature& zone) {
    return add(&ReportMap::add_zone, zone, zone_bytes_);
}

std::size_t RunMaps::add_exclusion(const FinishedFeature& exclusion) {
    return add(&ReportMap::add_exclusion, exclusion, exclusion_bytes_);
}

Markup RunMaps::whole(MapColours colours, const Attributes& placed) const {
    return maps_.front().svg("Map of where " + boat_name_ + " can lie",
                             "The answers in colour and hatching, with depths, hazards, outlines of zones "
                             "and numbered drop points. All that it shows of drop points and zones is in "
                             "the layers spots and zones.",
                             colours, placed);
}

Markup RunMaps::inset(std::size_t of, MapColours colours, const Attributes& placed) const {
    const std::string number = std::to_string(of + 1);
    return maps_[of + 1].svg("Drop point " + number + " and its surroundings",
                             "The swinging circle of drop point " + number +
                                 " on the answers around it, and the disc within its zone in which she may "
                                 "let go.",
                             colours, placed);
}

std::vector<LegendItem> RunMaps::legend(MapColours colours) const {
    MapShown all = maps_.front().shown();
    for (const ReportMap& map : maps_) {
        const MapShown more = map.shown();
        for (std::size_t i = 0; i < map_class_count; ++i) {
            all.classes[i] = all.classes[i] || more.classes[i];
        }
        all.signs.insert(more.signs.begin(), more.signs.end());
        all.margins.insert(more.margins.begin(), more.margins.end());
        all.contours = all.contours || more.contours;
        all.discs = all.discs || more.discs;
        all.ways = all.ways || more.ways;
        all.sills = all.sills || more.sills;
        all.shut = all.shut || more.shut;
    }
    return map_legend(all, style_.measures, colours);
}

} // namespace swingroom
