#include "sea/cells/chart_gaps.hpp"

#include "swingroom/sea/georeference.hpp"

#include "sea/ground/operations.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace swingroom {
namespace {

/// Moves every longitude.
class ShiftedLongitudes final : public OGRDefaultGeometryVisitor {
public:
    explicit ShiftedLongitudes(double degrees) : degrees_(degrees) {}
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

OwnedGeometry open_beside(const OGRGeometry& covered, const OGREnvelope& bounds) {
    const GdalMessages quiet;
    OwnedGeometry open = box_of(bounds);
    for (const double turn : {-360.0, 0.0, 360.0}) {
        const OwnedGeometry turned(covered.clone());
        ShiftedLongitudes visitor(turn);
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

std::vector<Shape> chart_gaps(const EncCells& cells, const Placer& placer, const Vicinity& near) {
    if (!cells.covered()) return {};
    const OwnedGeometry open =
        open_beside(*cells.covered(), near.box() ? *near.box() : lonlat_bounds(placer.grid()));
    if (!open) return {};
    Placer::From from(placer, wgs84_lonlat(), 1, "coverage of the charts");
    std::vector<Shape> gaps = from.place(*open, "what no chart covers");
    for (Shape& gap : gaps) {
        gap.placement_allowance_m += seam_m;
    }
    return gaps;
}

} // namespace swingroom
