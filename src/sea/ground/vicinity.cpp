#include "sea/ground/vicinity.hpp"

#include <algorithm>
#include <cmath>
#include <memory>
#include <numbers>
#include <vector>

namespace swingroom {
namespace {

/// Least length of a degree of latitude on WGS 84, at the equator.
constexpr double least_degree_m = 110'574;
/// Nearer to a pole a box of degrees says little about what is near.
constexpr double farthest_lat = 88;

/// A box grown by a length on the ground, the width of its degrees taken where they are narrowest.
OGREnvelope grown(OGREnvelope box, double by_m) {
    const double lat_deg = by_m / least_degree_m;
    box.MinY -= lat_deg;
    box.MaxY += lat_deg;
    const double farthest = std::min(89.0, std::max(std::abs(box.MinY), std::abs(box.MaxY)));
    const double lon_deg = lat_deg / std::cos(farthest * std::numbers::pi / 180);
    box.MinX -= lon_deg;
    box.MaxX += lon_deg;
    return box;
}

} // namespace

std::unique_ptr<OGRGeometry> box_of(const OGREnvelope& bounds) {
    OGRLinearRing ring;
    ring.addPoint(bounds.MinX, bounds.MinY);
    ring.addPoint(bounds.MaxX, bounds.MinY);
    ring.addPoint(bounds.MaxX, bounds.MaxY);
    ring.addPoint(bounds.MinX, bounds.MaxY);
    ring.closeRings();
    auto box = std::make_unique<OGRPolygon>();
    box->addRing(&ring);
    return box;
}

namespace {

/// Bounds of a window of a grid, 5 % and so many degrees more.
OGREnvelope bounds_of(const Georeference& georeference, Window window, double more_deg) {
    constexpr int steps = 32;
    std::vector<GridPoint> points;
    for (int i = 0; i <= steps; ++i) {
        for (int j = 0; j <= steps; ++j) {
            points.push_back(
                {window.col + window.cols * (i * 1.0 / steps), window.row + window.rows * (j * 1.0 / steps)});
        }
    }
    georeference.to_lonlat_unwrapped(points);
    OGREnvelope bounds;
    for (const GridPoint p : points) {
        bounds.Merge(p.x, p.y);
    }
    // Edges bulge between the points, the less the more of them there are.
    const double more = more_deg + 0.05 * std::max(bounds.MaxX - bounds.MinX, bounds.MaxY - bounds.MinY);
    bounds.MinX -= more;
    bounds.MaxX += more;
    bounds.MinY = std::max(bounds.MinY - more, -90.0);
    bounds.MaxY = std::min(bounds.MaxY + more, 90.0);
    return bounds;
}

} // namespace

OGREnvelope lonlat_bounds(const Grid& grid) {
    return bounds_of(Georeference(grid, "raster"), grid.extent(), 0.01);
}

Vicinity::Vicinity(const Georeference& georeference, Window cells, double reach_m) {
    const OGREnvelope box = grown(bounds_of(georeference, cells, 0.0005), reach_m);
    // NaN where a corner has no place on earth, infinite bounds likewise.
    const bool useful =
        std::abs(box.MinY) < farthest_lat && std::abs(box.MaxY) < farthest_lat && box.MaxX - box.MinX < 360;
    if (useful) box_ = box;
}

bool Vicinity::may_hold(const OGREnvelope& lonlat, double more_m) const {
    if (!box_) return true;
    const OGREnvelope near = grown(*box_, more_m);
    if (!(std::isfinite(lonlat.MinX) && std::isfinite(lonlat.MaxX))) return true;
    const double turns = std::ceil((near.MinX - lonlat.MaxX) / 360);
    return lonlat.MinX + 360 * turns <= near.MaxX && lonlat.MinY <= near.MaxY && near.MinY <= lonlat.MaxY;
}

} // namespace swingroom
