#include "sea/geometry/coverage.hpp"

#include <geos_c.h>

#include <cmath>

namespace swingroom {
namespace {

/// Of the areas of coordinates that are rounded to sixteen digits.
constexpr double area_tolerance = 1e-9;

struct FreeContext {
    void operator()(GEOSContextHandle_HS* context) const noexcept { GEOS_finish_r(context); }
};
struct DestroyGeometry {
    GEOSContextHandle_t context = nullptr;
    void operator()(GEOSGeometry* geometry) const noexcept { GEOSGeom_destroy_r(context, geometry); }
};

} // namespace

std::unique_ptr<OGRGeometry> coverage_united(const OGRMultiPolygon& polygons) {
    const std::unique_ptr<GEOSContextHandle_HS, FreeContext> owner(
        GEOS_init_r()); // without handlers it says nothing
    GEOSContextHandle_HS* const context = owner.get();
    if (context == nullptr || polygons.IsEmpty()) return nullptr;
    using Owned = std::unique_ptr<GEOSGeometry, DestroyGeometry>;
    const Owned all(polygons.exportToGEOS(context), DestroyGeometry{context});
    if (!all) return nullptr;
    const Owned together(GEOSCoverageUnion_r(context, all.get()), DestroyGeometry{context});
    double sum = 0, area = 0;
    const bool is_coverage = together && GEOSArea_r(context, all.get(), &sum) == 1 &&
                             GEOSArea_r(context, together.get(), &area) == 1 &&
                             std::abs(area - sum) <= area_tolerance * sum &&
                             GEOSisValid_r(context, together.get()) == 1;
    if (!is_coverage) return nullptr;
    return std::unique_ptr<OGRGeometry>(OGRGeometryFactory::createFromGEOS(context, together.get()));
}

std::unique_ptr<OGRGeometry> united(const OGRMultiPolygon& polygons) {
    if (auto together = coverage_united(polygons)) return together;
    return std::unique_ptr<OGRGeometry>(polygons.UnionCascaded());
}

} // namespace swingroom
