#include "to_grid.hpp"

#include "swingroom/base/error.hpp"

#include "gdal_messages.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace swingroom {
namespace {

/// Edges may stray from straight in grid space by this part of a cell; far ones by this part of their
/// distance from all that is near the raster.
constexpr double stray_cells = 1.0 / 32;
constexpr double far_stray = 0.125;
/// An edge is halved at most so often; what it still strays then goes to the slack.
constexpr int most_halvings = 14;

GridPoint between(GridPoint a, GridPoint b, double t) {
    return {a.x + t * (b.x - a.x), a.y + t * (b.y - a.y)};
}

std::unique_ptr<OGRCoordinateTransformation>
transformation(const OGRSpatialReference& from, const OGRSpatialReference& to, const std::string& where) {
    GdalMessages messages;
    OGRCoordinateTransformationOptions options;
    // Without this, an unknown datum counts as WGS 84.
    options.SetBallparkAllowed(false);
    std::unique_ptr<OGRCoordinateTransformation> made(OGRCreateCoordinateTransformation(&from, &to, options));
    if (!made)
        throw InputError(where, "its CRS cannot be tied to the raster's (" + messages.failure() + ")",
                         "reproject the file to a CRS with a known datum, such as EPSG:4326");
    return made;
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
    : grid_(grid), from_degrees_(from.IsGeographic() != 0), to_degrees_(to.IsGeographic() != 0) {
    const CellSize least = metric.least();
    for (int row = 0; row < metric.rows(); ++row)
        cell_ = {std::max(cell_.dx_m, metric.at(row).dx_m), std::max(cell_.dy_m, metric.at(row).dy_m)};
    stray_m_ = stray_cells * std::min(least.dx_m, least.dy_m);
    near_ = Bounds{0, 0, static_cast<double>(grid.cols), static_cast<double>(grid.rows)}.grown(
        reach_m / least.dx_m * 1.01 + 2, reach_m / least.dy_m * 1.01 + 2);
    if (!from.IsSame(&to)) {
        forward_ = transformation(from, to, where);
        const auto back = transformation(to, from, where);
        find_box(back.get());
    } else {
        find_box(nullptr);
    }
}

Chain ToGrid::mapped(const Chain& chain) {
    Chain points = chain;
    place(points, chain);
    for (std::size_t i = 0; i + 1 < points.size(); ++i)
        longest_m_ = std::max(longest_m_, std::hypot((points[i + 1].x - points[i].x) * cell_.dx_m,
                                                     (points[i + 1].y - points[i].y) * cell_.dy_m));
    if (!forward_ || chain.size() < 2) return points;
    // Three points on every edge, all in one call: that is most of the cost.
    Chain probes;
    probes.reserve(3 * chain.size());
    for (std::size_t i = 0; i + 1 < chain.size(); ++i)
        for (const double t : {0.25, 0.5, 0.75})
            probes.push_back(between(chain[i], chain[i + 1], t));
    Chain placed = probes;
    place(placed, probes);
    Chain out{points.front()};
    for (std::size_t i = 0; i + 1 < chain.size(); ++i) {
        const std::array<GridPoint, 3> on = {placed[3 * i], placed[3 * i + 1], placed[3 * i + 2]};
        edge(chain[i], chain[i + 1], points[i], points[i + 1], on, most_halvings, out);
    }
    return out;
}

void ToGrid::place(Chain& points, const Chain& source) {
    if (forward_) transform(*forward_, points);
    for (std::size_t i = 0; i < points.size(); ++i) {
        GridPoint& p = points[i];
        if (!std::isfinite(p.x) || !std::isfinite(p.y)) throw Unusable{};
        // Degrees come back in one turn; keep the one in which the source was continuous, or else the
        // one that lies nearest to the raster.
        if (forward_ && to_degrees_) {
            const double by = from_degrees_ ? source[i].x : grid_.x_of(grid_.cols / 2.0);
            p.x += 360 * std::round((by - p.x) / 360);
        }
        p = {grid_.col_of(p.x), grid_.row_of(p.y)};
    }
}

void ToGrid::transform(OGRCoordinateTransformation& transformation, Chain& points) {
    GdalMessages quiet;
    const std::size_t count = points.size();
    xs_.resize(count);
    ys_.resize(count);
    good_.assign(count, 0);
    for (std::size_t i = 0; i < count; ++i) {
        xs_[i] = points[i].x;
        ys_[i] = points[i].y;
    }
    transformation.Transform(static_cast<int>(count), xs_.data(), ys_.data(), nullptr, good_.data());
    constexpr double nan = std::numeric_limits<double>::quiet_NaN();
    for (std::size_t i = 0; i < count; ++i)
        points[i] = good_[i] ? GridPoint{xs_[i], ys_[i]} : GridPoint{nan, nan};
}

void ToGrid::find_box(OGRCoordinateTransformation* back) {
    constexpr int steps = 32;
    const double infinity = std::numeric_limits<double>::infinity();
    Chain net;
    for (int j = 0; j <= steps; ++j)
        for (int i = 0; i <= steps; ++i)
            net.push_back({grid_.x_of(near_.left + (near_.right - near_.left) * i / steps),
                           grid_.y_of(near_.low + (near_.high - near_.low) * j / steps)});
    if (back) {
        transform(*back, net);
        // Longitudes go on across 180; between two grids in degrees they keep the raster's own turn.
        const double centre = to_degrees_ ? grid_.x_of(grid_.cols / 2.0) : net[net.size() / 2].x;
        for (GridPoint& p : net)
            if (from_degrees_) p.x -= 360 * std::round((p.x - centre) / 360);
    }
    for (const GridPoint p : net) {
        if (!std::isfinite(p.x) || !std::isfinite(p.y)) {
            box_ = {-infinity, -infinity, infinity, infinity};
            return;
        }
        box_.add(p);
    }
    if (back) box_ = box_.grown(0.1 * (box_.right - box_.left), 0.1 * (box_.high - box_.low));
    if (!from_degrees_) return;
    // Near a pole a box of degrees says little about what is near.
    if (box_.high > 89 || box_.low < -89) box_ = {-infinity, -infinity, infinity, infinity};
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
    double stray = 0;
    for (const GridPoint p : {a, on[0], on[1], on[2], b})
        chord.add(p);
    for (const GridPoint p : on)
        stray = std::max(stray, distance_m(p, a, b));
    const double away = away_m(chord);
    if (stray <= std::max(stray_m_, far_stray * away) || halvings == 0) {
        // Between the probes a smooth curve strays little more than at them; twice is ample.
        if (away <= 0) strayed_m_ = std::max(strayed_m_, 2 * stray);
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
