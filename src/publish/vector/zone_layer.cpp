#include "publish/vector/zone_layer.hpp"

#include "swingroom/boat/rode_figures.hpp"
#include "swingroom/boat/wind_figures.hpp"
#include "swingroom/overlay/position_words.hpp"
#include "swingroom/overlay/sounder.hpp"
#include "swingroom/room/berths.hpp"
#include "swingroom/room/place_rank.hpp"
#include "swingroom/room/zone_shape.hpp"

#include "publish/styles/answer_words.hpp"
#include "publish/vector/safe_properties.hpp"
#include "publish/vector/way_in_columns.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <string>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

// What an outline goes through after it is drawn, and what it gives away for that beforehand:
//  * a straight edge of the grid is a curve in longitude and latitude, the more so the nearer to a pole: it
//  is cut until no chord strays from it by more than `greatest_bend_m`, 5 mm;
//  * the writer rounds inwards, but a corner that is too sharp on its lattice goes to the nearest position,
//    8 mm away at the most.
// So all rings are first moved inwards by an inset of 14 mm, in steps of coordinates that smoothing is exact
// for. That also parts those that meet in a corner, so that smoothing starts from a valid polygon, finds the
// inner corners of a staircase still in one line, and no edge that it draws comes nearer to the cells of
// another zone than the inset. The other way round, slanted edges would have to be moved, and where two of
// them meet at a sharp angle their crossing moves far.
constexpr double inset_m = 0.014;
static_assert(greatest_bend_m + 0.008 < inset_m);
/// Rounding inwards takes up to 4 cm from either side of a place that smoothing has left narrow.
constexpr double least_width_m = 0.1;

/// The inset in cells: a multiple of shape_step, at least one of it and at most a quarter of a cell.
double inset_in_cells(double cell_m) {
    return std::clamp(std::ceil(inset_m / cell_m / shape_step) * shape_step, shape_step, 0.25);
}

/// What is said of a zone beside its own figures.
struct WorkedOut {
    std::int64_t number = 0;
    std::string name;
    LonLat best; ///< centre of the cell that is farthest inside
    double best_inner_m = 0;
    double trip_line_max_m = 0;
    std::size_t boats = 0;
    double low_water_m = 0;              ///< above chart datum less the transducer
    bool tide = false;                   ///< whether the water is known over time
    LimitBy limit_by = LimitBy::holding; ///< of its cells' wind limits the least known
    std::vector<Property> way_in{};      ///< add_way_in(); empty: nobody looked for one
};

/// The most demanding way that is a yes all over a zone whatever the sounder shows. How much rode it takes
/// differs from cell to cell.
std::string plain_way_words(const ZoneFigures& figures) {
    for (const Way way : all_ways) {
        if ((figures.ways & figures.plain_ways & bit_of(way)) == 0) continue;
        return "at " + std::string(phrase(way)) + ", with the rode for the deep side of the chart's area,";
    }
    return {};
}

std::vector<Property> zone_properties(const Zone& zone, const WorkedOut& more, const RodeMarks& marks) {
    const ZoneFigures& f = zone.figures;
    const double limit_m = is_by_sounder(zone.verdict) ? double{f.sounder_limit_min_m}
                                                       : std::numeric_limits<double>::quiet_NaN();
    std::vector<Property> properties = {
        whole("number", more.number),
        text("name", more.name),
        whole("verdict", static_cast<int>(told(zone.verdict, f.advice))),
        text("meaning", verdict_words(zone.verdict, f.advice)),
        text("ways", ways_text(f.ways)),
        whole("boats", static_cast<std::int64_t>(more.boats)),
        whole("cells", zone.cells),
        down("area_m2", zone.area_m2, 0),
        down("depth_low_min_m", f.depth_low_min_m, 1),
        up("depth_low_max_m", f.depth_low_max_m, 1),
        down("sounder_limit_m", limit_m, 1),
        down("sounder_at_low_water_m", limit_m + more.low_water_m, 1),
        text("condition", sounder_condition(limit_m, more.low_water_m, plain_way_words(f))),
        down("rode_min_m", f.rode_min_m, 1),
        {"rode_max_m", rode_value(exact_rode_m(f.rode_max_m, marks), marks, Measures{}), 1},
        down("radius_min_m", f.radius_min_m, 1),
        up("radius_max_m", f.radius_max_m, 1)};
    if (more.tide) properties.push_back(up("level_needed_m", f.level_needed_max_m, 1));
    properties.insert(properties.end(), more.way_in.begin(), more.way_in.end());
    for (const Way way : all_ways) {
        const float kn = f.has(way) ? f.wind_limit_min_kn[static_cast<std::size_t>(way)]
                                    : std::numeric_limits<float>::quiet_NaN();
        properties.push_back(down("wind_limit_" + std::string(name(way)) + "_min_kn", kn, 0));
    }
    properties.push_back(text("wind_limit_by", std::string(name(more.limit_by))));
    properties.push_back(text("seabed", seabeds_text(f.seabeds)));
    properties.push_back(
        text("trip_line", f.advice & advice::trip_line ? "wise: foul ground near" : "not needed"));
    properties.push_back(up("trip_line_max_m", more.trip_line_max_m, 1));
    properties.push_back(down("spare_max_m", f.spare_max_m, 1));
    properties.push_back(
        {"best_inner_distance_m", static_cast<double>(inner_dm_of(more.best_inner_m)) / 10, 1});
    properties.push_back({"best_longitude", more.best.lon, 6});
    properties.push_back({"best_latitude", more.best.lat, 6});
    properties.push_back(text("advice", advice_text(f.advice)));
    return properties;
}

/// The properties by their names and kinds.
std::vector<Property> zone_columns(const OverlayJob& job) {
    WorkedOut nothing;
    nothing.tide = job.tide != nullptr;
    if (job.way_in != nullptr) add_way_in(nothing.way_in, {}, job.tide);
    return zone_properties({}, nothing, {});
}

} // namespace

ZoneLayer::ZoneLayer(const std::filesystem::path& folder, const OverlayJob& job,
                     const Georeference& georeference, const Provenance& provenance, bool smooth,
                     NamePrefix prefix)
    : job_(job), georeference_(georeference), smooth_(smooth), prefix_(std::move(prefix)),
      degrees_(georeference, job.metric->least()),
      file_(folder, "zones", "Connected areas of one verdict, with the figures that hold all over each",
            VectorLayer::Shape::polygon, zone_columns(job), provenance, VectorLayer::Rounding::inwards) {
    const CellSize cell = job.metric->least();
    inset_ = {inset_in_cells(cell.dx_m), inset_in_cells(cell.dy_m)};
    clearance_cells_ = std::max(Smoothing{}.clearance, least_width_m / std::min(cell.dx_m, cell.dy_m));
}

const std::vector<Property>& ZoneLayer::way_in(float access_level_m) {
    constexpr std::size_t most_kept = 1000;
    if (ways_in_.size() >= most_kept) ways_in_.clear();
    std::vector<Property>& known = ways_in_[access_level_m];
    if (known.empty() && job_.way_in != nullptr) {
        add_way_in(known, {job_.way_in->reach(access_level_m), access_level_m}, job_.tide);
    }
    return known;
}

void ZoneLayer::add(Zone&& zone, const InnerPlace& best_place) {
    const ZoneFigures& figures = zone.figures;
    const GridPoint best{best_place.cell.col + 0.5, best_place.cell.row + 0.5};
    auto rings = shrunk(std::move(zone.rings), inset_.x, inset_.y); // in place: an outline may be long
    if (smooth_) rings = smoothed_inwards(std::move(rings), best, {.clearance = clearance_cells_});
    const std::int64_t number = count() + 1;
    const Boat& boat = job_.tables->boat();
    const WorkedOut more{number,
                         zone_name(number, told(zone.verdict, figures.advice), prefix_),
                         georeference_.lonlat(best),
                         best_place.inner_m,
                         job_.tables->trip_line_m(figures.depth_deep_max_m),
                         berths(rings, *job_.metric, figures.radius_max_m).size(),
                         shown_above_datum_m(job_.tables->conditions().water.low_m, boat.sounder),
                         job_.tide != nullptr,
                         job_.tables->limit_by(figures.seabeds),
                         way_in(figures.access_level_max_m)};
    for (auto& ring : rings) {
        ring = degrees_.of(ring);
    }
    file_.add_polygon(std::move(rings), zone_properties(zone, more, rode_marks(job_.tables->boat())));
}

} // namespace swingroom
