#include "sea/ground/to_grid.hpp"

#include "swingroom/base/error.hpp"

#include "sea/gdal/gdal_messages.hpp"
#include "sea/geometry/shapes.hpp"

#include <cpl_conv.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <vector>

namespace swingroom {
namespace {

/// Edges may stray from straight in grid space by this part of a cell, and in large cells by no more than
/// this length, which goes to the margins; far ones by this part of their distance from all that is near the
/// raster.
constexpr double most_deviation_cells = 1.0 / 32, greatest_deviation_m = 0.2;
constexpr double far_deviation = 0.125;
/// An edge so short that by the measured bend of its like it strays by this part of that is not looked at.
constexpr double sure_part = 1.0 / 64;
/// An edge is halved at most so often; what it still strays then goes to the placement allowance.
constexpr int most_halvings = 14;
constexpr double degree_rad = 0.017453292519943295;

GridPoint between(GridPoint a, GridPoint b, double t) {
    return {a.x + t * (b.x - a.x), a.y + t * (b.y - a.y)};
}

std::string wkt_of(const OGRSpatialReference& srs, const std::string& where) {
    GdalMessages messages;
    char* text = nullptr;
    const char* const options[] = {"FORMAT=WKT2_2019", nullptr};
    const bool written = srs.exportToWkt(&text, options) == OGRERR_NONE && text;
    std::string wkt = text ? text : "";
    CPLFree(text);
    if (!written) {
        throw InputError(where, "its CRS cannot be understood (" + messages.failure() + ")",
                         "write the file with its CRS, for example EPSG:4326");
    }
    return wkt;
}

} // namespace

OGRSpatialReference horizontal(const OGRSpatialReference& given) {
    OGRSpatialReference srs(given);
    if (srs.IsCompound()) srs.StripVertical();
    srs.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    return srs;
}

ToGrid::ToGrid(const OGRSpatialReference& from, const OGRSpatialReference& to, const Grid& grid,
               const GroundMetric& metric, double reach_m, const std::string& where)
    : grid_(grid), from_degrees_(from.IsGeographic() != 0), to_centre_(grid.x_of(grid.cols / 2.0)),
      context_(quiet_context()) {
    if (from_degrees_ && std::abs(from.GetAngularUnits() - degree_rad) > 1e-12) {
        throw InputError(where, "its CRS counts in another angle than degrees",
                         "reproject the file to EPSG:4326");
    }
    const std::string from_wkt = wkt_of(from, where);
    from_turn_ = turn_in_plane(from_wkt, where);
    to_turn_ = turn_in_plane(grid.crs_wkt, "raster");
    if (!from.IsSame(&to)) {
        find_operation(*horizontal_crs(context_.get(), from_wkt, where),
                       *horizontal_crs(context_.get(), grid.crs_wkt, "raster"), where);
    }
    const CellSize least = metric.least();
    cell_ = metric.greatest(0, metric.rows() - 1);
    // The metric counts cells smaller by the slack.
    accuracy_m_ += grid.slack_cells / (1 - grid.slack_cells) * std::hypot(cell_.dx_m, cell_.dy_m);
    most_deviation_m_ =
        std::min(greatest_deviation_m, most_deviation_cells * std::min(least.dx_m, least.dy_m));
    reach_m += accuracy_m_;
    double reach_cols = reach_m / least.dx_m * 1.01 + 2;
    // All longitudes are near where half a turn to either side is.
    if (to_turn_ > 0) reach_cols = std::min(reach_cols, to_turn_ / grid.step_x / 2 + 2);
    near_ = Bounds{0, 0, static_cast<double>(grid.cols), static_cast<double>(grid.rows)}.grown(
        reach_cols, reach_m / least.dy_m * 1.01 + 2);
    find_box();
    if (operation_) find_straight();
}

void ToGrid::find_operation(const PJ& from, const PJ& to, const std::string& where) {
    CoordinateOperation operation_found = best_operation(context_.get(), &from, &to, grid_);
    if (!operation_found.operation) {
        throw InputError(where, "its CRS cannot be tied to the raster's (no operation between their datums)",
                         "reproject the file to a CRS with a known datum, such as EPSG:4326");
    }
    // Of one datum to itself it is 0; EPSG states it for the rest (the ensemble of WGS 84 to one of its
    // realizations: 2 m).
    if (!(operation_found.accuracy_m >= 0)) {
        throw InputError(where, "nobody knows how well its datum is tied to the raster's",
                         "reproject the file to the raster's CRS, and give margins that hold the error");
    }
    operation_ = std::move(operation_found.operation);
    accuracy_m_ = operation_found.accuracy_m;
}

Chain ToGrid::mapped(const Chain& chain) {
    const bool any_turn = from_turn_ > 0 && !from_degrees_;
    return any_turn ? placed(turned(chain)) : placed(chain);
}

bool ToGrid::around_a_pole() const {
    return !std::isfinite(box_left_) || (to_turn_ == 0 && box_right_ - box_left_ >= from_turn_);
}

Chain ToGrid::turned(Chain chain) const {
    if (around_a_pole()) return chain; // one turn is as good as another there
    const Bounds bounds = bounds_of(chain);
    const double first = std::ceil((box_left_ - bounds.right) / from_turn_),
                 last = std::floor((box_right_ - bounds.left) / from_turn_);
    if (last > first) {
        throw UnusableGeometry{"reaches so far around the globe that it meets the raster from both sides "
                               "(reproject the file to EPSG:4326)"};
    }
    const double middle = (bounds.left + bounds.right) / 2;
    const double turns = first == last ? first : std::round((from_centre_ - middle) / from_turn_);
    for (GridPoint& p : chain) {
        p.x += turns * from_turn_;
    }
    // A plane that does not go round the globe has no place for what does.
    const bool wide = bounds.right - bounds.left > from_turn_ / 4;
    return to_turn_ == 0 && wide ? cut(std::move(chain)) : chain;
}

Chain ToGrid::cut(Chain chain) const {
    const Bounds box{box_left_, box_.low, box_right_, box_.high};
    const GridPoint corner{box.left, box.low}; // out of reach, in place of what is wholly so
    if (chain.size() > 3 && chain.front() == chain.back()) {
        Chain ring = clipped_ring(std::move(chain), box);
        return ring.empty() ? Chain(4, corner) : ring;
    }
    std::vector<Chain> parts = clipped_line(chain, box);
    if (parts.empty()) return {corner};
    return parts.size() == 1 ? std::move(parts.front()) : chain;
}

Chain ToGrid::placed(const Chain& chain) {
    Chain points = chain;
    place(points, chain);
    for (std::size_t i = 0; i + 1 < points.size(); ++i) {
        longest_m_ = std::max(longest_m_, std::hypot((points[i + 1].x - points[i].x) * cell_.dx_m,
                                                     (points[i + 1].y - points[i].y) * cell_.dy_m));
    }
    if (!operation_ || chain.size() < 2) return points;
    // Three points on every edge that may bend, all in one call: that is most of the cost.
    std::vector<std::size_t> doubtful;
    for (std::size_t i = 0; i + 1 < chain.size(); ++i) {
        if (!surely_straight(chain[i], chain[i + 1], points[i], points[i + 1])) doubtful.push_back(i);
    }
    Chain probes;
    probes.reserve(3 * doubtful.size());
    for (const std::size_t i : doubtful) {
        for (const double t : {0.25, 0.5, 0.75}) {
            probes.push_back(between(chain[i], chain[i + 1], t));
        }
    }
    if (doubtful.size() + 1 < chain.size()) {
        deviation_m_ = std::max(deviation_m_, sure_part * most_deviation_m_);
    }
    if (doubtful.empty()) return points;
    Chain placed = probes;
    place(placed, probes);
    Chain out{points.front()};
    out.reserve(points.size());
    std::size_t next = 0; // of the doubtful ones
    for (std::size_t i = 0; i + 1 < chain.size(); ++i) {
        if (next == doubtful.size() || doubtful[next] != i) {
            out.push_back(points[i + 1]);
            continue;
        }
        const std::array<GridPoint, 3> on = {placed[3 * next], placed[3 * next + 1], placed[3 * next + 2]};
        edge(chain[i], chain[i + 1], points[i], points[i + 1], on, most_halvings, out);
        ++next;
    }
    return out;
}

bool ToGrid::surely_straight(GridPoint from, GridPoint to, GridPoint a, GridPoint b) const {
    return std::abs(b.x - a.x) * cell_.dx_m <= straight_m_ &&
           std::abs(b.y - a.y) * cell_.dy_m <= straight_m_ && std::abs(to.x - from.x) <= straight_units_ &&
           std::abs(to.y - from.y) <= straight_units_;
}

void ToGrid::find_straight() {
    constexpr int steps = 8;
    constexpr double length_m = 1000;
    const GridPoint along{length_m / cell_.dx_m, length_m / cell_.dy_m};
    Chain ends, middles;
    for (int j = 0; j <= steps; ++j) {
        for (int i = 0; i <= steps; ++i) {
            for (const GridPoint by :
                 {GridPoint{along.x, 0}, {0, along.y}, {along.x, along.y}, {along.x, -along.y}}) {
                const GridPoint p{near_.left + (near_.right - near_.left) * i / steps,
                                  near_.low + (near_.high - near_.low) * j / steps};
                for (const GridPoint q : {p, GridPoint{p.x + by.x, p.y + by.y}}) {
                    ends.push_back({grid_.x_of(q.x), grid_.y_of(q.y)});
                }
            }
        }
    }
    transform(PJ_INV, ends);
    for (std::size_t i = 0; i < ends.size(); i += 2) {
        middles.push_back(between(ends[i], ends[i + 1], 0.5));
    }
    Chain placed_ends = ends;
    transform(PJ_FWD, placed_ends);
    transform(PJ_FWD, middles);
    double stray_m = 1e-6, units = 0;
    for (std::size_t i = 0; i < middles.size(); ++i) {
        const auto in_grid = [&](GridPoint p) { return GridPoint{grid_.col_of(p.x), grid_.row_of(p.y)}; };
        const GridPoint a = ends[2 * i], b = ends[2 * i + 1];
        stray_m = std::max(stray_m, distance_m(in_grid(middles[i]), in_grid(placed_ends[2 * i]),
                                               in_grid(placed_ends[2 * i + 1])));
        units = std::max({units, std::abs(b.x - a.x), std::abs(b.y - a.y)});
        if (!std::isfinite(middles[i].x + middles[i].y + a.x + a.y + b.x + b.y)) return; // all are doubtful
    }
    // What an edge strays grows with the square of its length.
    straight_m_ = std::min(length_m, length_m * std::sqrt(sure_part * most_deviation_m_ / stray_m) /
                                         std::numbers::sqrt2);
    straight_units_ = 2 * units * straight_m_ / length_m;
}

void ToGrid::place(Chain& points, const Chain& source) {
    if (operation_) transform(PJ_FWD, points);
    for (std::size_t i = 0; i < points.size(); ++i) {
        GridPoint& p = points[i];
        if (!std::isfinite(p.x) || !std::isfinite(p.y)) throw Unusable{};
        // PROJ gives longitudes in one turn.
        if (operation_ && to_turn_ > 0) {
            const double by = from_turn_ > 0
                                  ? to_centre_ + (source[i].x - from_centre_) * (to_turn_ / from_turn_)
                                  : to_centre_;
            p.x += to_turn_ * std::round((by - p.x) / to_turn_);
        }
        p = {grid_.col_of(p.x), grid_.row_of(p.y)};
    }
}

void ToGrid::transform(PJ_DIRECTION direction, Chain& points) {
    constexpr double nan = std::numeric_limits<double>::quiet_NaN();
    for (GridPoint& p : points) {
        const PJ_COORD c = transformed(operation_.get(), direction, p.x, p.y);
        const bool good = std::isfinite(c.xy.x) && std::isfinite(c.xy.y);
        p = good ? GridPoint{c.xy.x, c.xy.y} : GridPoint{nan, nan};
    }
}

void ToGrid::find_box() {
    constexpr int steps = 32;
    const double infinity = std::numeric_limits<double>::infinity();
    const Bounds anywhere{-infinity, -infinity, infinity, infinity};
    const bool to_degrees = to_turn_ > 0 && std::abs(to_turn_ - 360) < 1e-9;
    Chain net;
    for (int j = 0; j <= steps; ++j) {
        for (int i = 0; i <= steps; ++i) {
            const double y = grid_.y_of(near_.low + (near_.high - near_.low) * j / steps);
            net.push_back({grid_.x_of(near_.left + (near_.right - near_.left) * i / steps),
                           to_degrees ? std::clamp(y, -90.0, 90.0) : y});
        }
    }
    from_centre_ = to_centre_;
    if (operation_) {
        const Chain near = net;
        transform(PJ_INV, net);
        from_centre_ = net[net.size() / 2].x;
        // Between two planes that repeat themselves the one follows the other through all turns; else the
        // layer's longitudes go on to both sides of the raster's centre.
        for (std::size_t i = 0; from_turn_ > 0 && i < net.size(); ++i) {
            const double by = to_turn_ > 0 ? from_centre_ + (near[i].x - to_centre_) * (from_turn_ / to_turn_)
                                           : from_centre_;
            net[i].x += from_turn_ * std::round((by - net[i].x) / from_turn_);
        }
    }
    for (const GridPoint p : net) {
        if (!std::isfinite(p.x) || !std::isfinite(p.y)) {
            box_ = anywhere;
            break;
        }
        box_.add(p);
    }
    if (operation_) box_ = box_.grown(0.1 * (box_.right - box_.left), 0.1 * (box_.high - box_.low));
    // Near a pole a box of degrees says little about what is near in a plane around it.
    if (from_degrees_ && to_turn_ == 0 && (box_.high > 89 || box_.low < -89)) box_ = anywhere;
    if (from_degrees_ || from_turn_ == 0) return;
    box_left_ = box_.left;
    box_right_ = box_.right;
    if (to_turn_ > 0 && !std::isfinite(box_left_)) {
        const auto x_of = [&](double column) {
            return from_centre_ + (grid_.x_of(column) - to_centre_) * (from_turn_ / to_turn_);
        };
        box_left_ = x_of(near_.left);
        box_right_ = x_of(near_.right);
    }
    box_.left = -infinity;
    box_.right = infinity;
}

double ToGrid::distance_m(GridPoint p, GridPoint a, GridPoint b) const {
    const auto metres = [&](GridPoint q) { return GridPoint{q.x * cell_.dx_m, q.y * cell_.dy_m}; };
    return distance_to_segment(metres(p), metres(a), metres(b));
}

double ToGrid::away_m(const Bounds& chord) const {
    const double x = std::max({near_.left - chord.right, 0.0, chord.left - near_.right}) * cell_.dx_m;
    const double y = std::max({near_.low - chord.high, 0.0, chord.low - near_.high}) * cell_.dy_m;
    return std::hypot(x, y);
}

void ToGrid::edge(GridPoint from, GridPoint to, GridPoint a, GridPoint b, const std::array<GridPoint, 3>& on,
                  int halvings, Chain& out) {
    Bounds chord;
    double deviation = 0;
    for (const GridPoint p : {a, on[0], on[1], on[2], b}) {
        chord.add(p);
    }
    for (const GridPoint p : on) {
        deviation = std::max(deviation, distance_m(p, a, b));
    }
    const double away = away_m(chord);
    if (deviation <= std::max(most_deviation_m_, far_deviation * away) || halvings == 0) {
        // Between the probes a smooth curve strays little more than at them; twice is ample.
        if (away <= 0) deviation_m_ = std::max(deviation_m_, 2 * deviation);
        out.push_back(b);
        return;
    }
    const GridPoint middle = between(from, to, 0.5);
    Chain probes{between(from, to, 0.125), between(from, to, 0.375), between(from, to, 0.625),
                 between(from, to, 0.875)};
    Chain placed = probes;
    place(placed, probes);
    edge(from, middle, a, on[1], {placed[0], on[0], placed[1]}, halvings - 1, out);
    edge(middle, to, on[1], b, {placed[2], on[2], placed[3]}, halvings - 1, out);
}

} // namespace swingroom
