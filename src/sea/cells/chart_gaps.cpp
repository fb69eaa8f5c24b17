#include "sea/cells/chart_gaps.hpp"

#include "swingroom/sea/georeference.hpp"

#include "sea/ground/operations.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace swingroom {
namespace {

OwnedGeometry box_of(const OGREnvelope& bounds) {
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

/// Moves every longitude.
class Turned final : public OGRDefaultGeometryVisitor {
public:
    explicit Turned(double degrees) : degrees_(degrees) {}
    void visit(OGRPoint* point) override { point->setX(point->getX() + degrees_); }

private:
    double degrees_;
};

} // namespace

OGRSpatialReference wgs84_lonlat() {
    OGRSpatialReference crs;
    crs.SetWellKnownGeogCS("WGS84");
    crs.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    return crs;
}

OGREnvelope lonlat_bounds(const Grid& grid) {
    const Georeference georeference(grid, "raster");
    constexpr int steps = 32;
    std::vector<GridPoint> points;
    for (int i = 0; i <= steps; ++i)
        for (int j = 0; j <= steps; ++j)
            points.push_back({grid.cols * (i * 1.0 / steps), grid.rows * (j * 1.0 / steps)});
    georeference.to_lonlat_unwrapped(points);
    OGREnvelope bounds;
    for (const GridPoint p : points)
        bounds.Merge(p.x, p.y);
    // Edges bulge between the points, the less the more of them there are.
    const double more = 0.01 + 0.05 * std::max(bounds.MaxX - bounds.MinX, bounds.MaxY - bounds.MinY);
    bounds.MinX -= more;
    bounds.MaxX += more;
    bounds.MinY = std::max(bounds.MinY - more, -90.0);
    bounds.MaxY = std::min(bounds.MaxY + more, 90.0);
    return bounds;
}

OwnedGeometry open_beside(const OGRGeometry& covered, const Grid& grid) {
    const GdalMessages quiet;
    const OGREnvelope bounds = lonlat_bounds(grid);
    OwnedGeometry open = box_of(bounds);
    for (const double turn : {-360.0, 0.0, 360.0}) {
        const OwnedGeometry turned(covered.clone());
        Turned visitor(turn);
        turned->accept(&visitor);
        OGREnvelope there;
        turned->getEnvelope(&there);
        if (!there.Intersects(bounds)) continue;
        if (OwnedGeometry rest{open->Difference(turned.get())}) open = std::move(rest);
    }
    OwnedGeometry wide(open->Buffer(-seam_deg, 1));
    if (!wide || wide->IsEmpty()) return nullptr;
    return wide;
}

std::vector<Hazard> chart_gaps(const EncCells& cells, const Placer& placer) {
    if (cells.empty()) return {};
    const OwnedGeometry covered = cells.covered();
    if (!covered) return {};
    const OwnedGeometry open = open_beside(*covered, placer.grid());
    if (!open) return {};
    Placer::From from(placer, wgs84_lonlat(), 1, "coverage of the charts");
    std::vector<Hazard> gaps = from.place(*open, "what no chart covers");
    for (Hazard& gap : gaps)
        gap.slack_m += seam_m;
    return gaps;
}

} // namespace swingroom
