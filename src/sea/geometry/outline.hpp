#pragma once

#include "sea/geometry/planar.hpp"

#include <ogr_geometry.h>

#include <cstdint>
#include <memory>
#include <optional>
#include <unordered_map>
#include <vector>

namespace swingroom {

/// Areas put together, and others taken out of them, whose edges fit to each other vertex by vertex, as the
/// objects of a chart do that share their edges. An edge that is passed in both directions falls away; what
/// remains is the outline. Its cost grows with the number of vertices, while overlays of any areas look for
/// crossings of all edges.
class Outline {
public:
    /// Polygons or several of them; other geometries count as nothing.
    void add(const OGRGeometry& areas) { pass(areas, true); }
    /// What is within of what was added.
    void take_out(const OGRGeometry& areas) { pass(areas, false); }

    /// What remains. Empty where nothing does.
    /// @returns null if edges alone do not tell it: areas overlap, some that is taken out lies beside what
    /// was
    ///          added, edges do not fit, or parts touch each other in a vertex. What is returned is proven:
    ///          if the outline encloses valid polygons with their inside to the left, then every point inside
    ///          has been added once more often than taken out, and every point outside as often.
    [[nodiscard]] std::unique_ptr<OGRMultiPolygon> polygons() const;

private:
    using Vertex = std::uint32_t;
    struct Hash {
        std::size_t operator()(const GridPoint& p) const;
        std::size_t operator()(std::uint64_t edge) const;
    };

    void pass(const OGRGeometry& areas, bool inside_left);
    void pass_ring(const OGRLinearRing& ring, bool to_the_left);
    void pass_edge(Vertex from, Vertex to);
    Vertex vertex(GridPoint p);
    /// The rings that the edges make; nothing if some parts in a vertex or do not close.
    [[nodiscard]] std::optional<std::vector<Chain>> rings() const;

    std::vector<GridPoint> places_; ///< of vertices
    std::unordered_map<GridPoint, Vertex, Hash> vertices_;
    /// How much more often an edge is passed from its lower vertex to its upper one than back.
    std::unordered_map<std::uint64_t, int, Hash> passes_;
};

} // namespace swingroom
