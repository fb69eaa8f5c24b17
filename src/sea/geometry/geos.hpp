#pragma once

#include "sea/geometry/planar.hpp"

#include <geos_c.h>

#include <cstddef>
#include <memory>
#include <vector>

/// GEOS at arm's length: polygons of one plane, built, joined and taken apart.
namespace swingroom {

/// Gives a geometry back to the context that it is of.
struct DestroyGeometry {
    /// Outlives the geometry.
    GEOSContextHandle_t context = nullptr;
    /// As std::unique_ptr calls it.
    void operator()(GEOSGeometry* g) const noexcept { GEOSGeom_destroy_r(context, g); }
};
/// A geometry with its owner; null where there is none.
using Geometry = std::unique_ptr<GEOSGeometry, DestroyGeometry>;

/// One context of GEOS, which prints nothing. It outlives its geometries; one per thread.
class Geos {
public:
    /// A context of its own, in which errors come back as null.
    Geos();
    ~Geos();
    Geos(const Geos&) = delete;
    Geos& operator=(const Geos&) = delete;

    /// A polygon as its rings say, sound or not: the outer one first, each closed, of four vertices or more.
    /// Null if GEOS cannot make one.
    [[nodiscard]] Geometry polygon(const std::vector<Chain>& rings) const;
    /// The inside of rings by the even-odd rule, repaired where they cross or touch; null if they enclose
    /// nothing.
    [[nodiscard]] Geometry inside(const std::vector<Chain>& rings) const;
    /// A point inside of a polygon that is not empty.
    [[nodiscard]] GridPoint inner_point(const Geometry& polygon) const;
    /// For each point the polygon that holds it: its number in the order of each_polygon, beyond the last one
    /// if there is none.
    [[nodiscard]] std::vector<std::size_t> polygons_around(const Geometry& polygons,
                                                           const std::vector<GridPoint>& points) const;
    /// The smallest convex ring around some vertices; empty if these lie on one line.
    [[nodiscard]] Chain hull(const std::vector<Chain>& chains) const;
    /// A ring with about that share of its corners, no others, that lies within what it encloses or,
    /// outwards, encloses all of it. Empty if the ring crosses itself, or GEOS cannot do it.
    [[nodiscard]] Chain with_fewer_corners(const Chain& ring, double share, bool outwards) const;
    /// Lines and polygons with all that is within a width of them; null if GEOS cannot do it. What it costs
    /// has no bound, and it may smooth by a hundredth of the width.
    [[nodiscard]] Geometry buffered(const std::vector<Chain>& lines, const std::vector<Geometry>& polygons,
                                    double width, int quadrant_segments) const;
    /// All polygons together as polygons that do not touch along any line.
    /// @param snap  a length in the plane that does not matter: where numbers defeat the exact way, vertices
    ///              move by up to this
    /// @throws IoError  GEOS cannot do it
    [[nodiscard]] Geometry united(std::vector<Geometry> parts, double snap) const;
    /// The rings of each polygon of a geometry, the outer one first.
    template <class Take>
    void each_polygon(const Geometry& shape, Take&& take) const {
        each_part(shape, [&](const GEOSGeometry* part) { take(rings_of(part)); });
    }

private:
    template <class Take>
    void each_part(const Geometry& shape, Take&& take) const {
        const int count = shape ? GEOSGetNumGeometries_r(context_, shape.get()) : 0;
        for (int i = 0; i < count; ++i) {
            const GEOSGeometry* const part = GEOSGetGeometryN_r(context_, shape.get(), i);
            if (GEOSGeomTypeId_r(context_, part) == GEOS_POLYGON && GEOSisEmpty_r(context_, part) == 0) {
                take(part);
            }
        }
    }
    [[nodiscard]] Geometry own(GEOSGeometry* raw) const { return {raw, DestroyGeometry{context_}}; }
    [[nodiscard]] GEOSCoordSequence* sequence(const Chain& chain) const;
    [[nodiscard]] Chain points(const GEOSGeometry* ring) const;
    [[nodiscard]] std::vector<Chain> rings_of(const GEOSGeometry* polygon) const;
    [[nodiscard]] Geometry joined(std::vector<Geometry> parts, double snap) const;
    /// Parts in groups whose boxes neither touch nor overlap: to join each for itself is to join all of them,
    /// and much quicker, since GEOS looks at all of them again at every step of joining.
    [[nodiscard]] std::vector<std::vector<Geometry>> apart(std::vector<Geometry> parts) const;
    /// One geometry out of several, which it takes over.
    [[nodiscard]] Geometry collected(std::vector<Geometry> parts) const;

    /// More parts are sorted by neighbourhood before they are joined.
    static constexpr std::size_t most_at_once = 4000;
    GEOSContextHandle_t context_;
};

} // namespace swingroom
