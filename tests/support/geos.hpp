#pragma once

#include "swingroom/base/grid.hpp"

#define GEOS_USE_ONLY_R_API
#include <geos_c.h>

#include <memory>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

namespace swingroom::testing_support {

/// GEOS, reentrant, with its last message at hand.
class Geos {
public:
    Geos() : handle_(GEOS_init_r()) { GEOSContext_setErrorMessageHandler_r(handle_, keep, &message_); }
    ~Geos() { GEOS_finish_r(handle_); }
    Geos(const Geos&) = delete;
    Geos& operator=(const Geos&) = delete;
    [[nodiscard]] GEOSContextHandle_t get() const { return handle_; }
    [[noreturn]] void fail() const { throw std::runtime_error("GEOS: " + message_); }

private:
    static void keep(const char* message, void* self) { *static_cast<std::string*>(self) = message; }
    GEOSContextHandle_t handle_;
    std::string message_;
};

struct DestroyGeometry {
    GEOSContextHandle_t context = nullptr;
    void operator()(GEOSGeometry* g) const noexcept { GEOSGeom_destroy_r(context, g); }
    void operator()(const GEOSPreparedGeometry* g) const noexcept { GEOSPreparedGeom_destroy_r(context, g); }
};
using Geometry = std::unique_ptr<GEOSGeometry, DestroyGeometry>;
using Prepared = std::unique_ptr<const GEOSPreparedGeometry, DestroyGeometry>;

/// The only door for a raw geometry: null is an error here, not three calls later.
inline Geometry own(const Geos& geos, GEOSGeometry* raw) {
    if (!raw) geos.fail();
    return {raw, DestroyGeometry{geos.get()}};
}

inline GEOSCoordSequence* sequence(const Geos& geos, const std::vector<GridPoint>& points) {
    static_assert(sizeof(GridPoint) == 2 * sizeof(double));
    auto* raw = GEOSCoordSeq_copyFromBuffer_r(geos.get(), points.empty() ? nullptr : &points[0].x,
                                              static_cast<unsigned>(points.size()), 0, 0);
    if (!raw) geos.fail();
    return raw;
}

inline Geometry point(const Geos& geos, GridPoint p) {
    return own(geos, GEOSGeom_createPointFromXY_r(geos.get(), p.x, p.y));
}

inline Geometry line(const Geos& geos, const std::vector<GridPoint>& points) {
    return own(geos, GEOSGeom_createLineString_r(geos.get(), sequence(geos, points)));
}

/// A polygon from closed rings, the outer one first.
inline Geometry polygon(const Geos& geos, const std::vector<std::vector<GridPoint>>& rings) {
    std::vector<GEOSGeometry*> raw;
    for (const auto& ring : rings) {
        raw.push_back(GEOSGeom_createLinearRing_r(geos.get(), sequence(geos, ring)));
        if (!raw.back()) geos.fail();
    }
    return own(geos, GEOSGeom_createPolygon_r(geos.get(), raw.at(0), raw.data() + 1,
                                              static_cast<unsigned>(raw.size() - 1)));
}

inline Geometry united(const Geos& geos, std::vector<Geometry> parts) {
    std::vector<GEOSGeometry*> raw;
    for (Geometry& part : parts) {
        raw.push_back(part.release());
    }
    const auto all = own(geos, GEOSGeom_createCollection_r(geos.get(), GEOS_GEOMETRYCOLLECTION, raw.data(),
                                                           static_cast<unsigned>(raw.size())));
    return own(geos, GEOSUnaryUnion_r(geos.get(), all.get()));
}

inline Prepared prepared(const Geos& geos, const Geometry& g) {
    const GEOSPreparedGeometry* raw = GEOSPrepare_r(geos.get(), g.get());
    if (!raw) geos.fail();
    return {raw, DestroyGeometry{geos.get()}};
}

inline double distance(const Geos& geos, const Prepared& from, const Geometry& to) {
    double d = 0;
    if (GEOSPreparedDistance_r(geos.get(), from.get(), to.get(), &d) != 1) geos.fail();
    return d;
}

inline bool valid(const Geos& geos, const Geometry& g) { return GEOSisValid_r(geos.get(), g.get()) == 1; }

} // namespace swingroom::testing_support
