#pragma once

#include "sea/geometry/planar.hpp"

#include <ogr_geometry.h>

#include <string>
#include <vector>

namespace swingroom {

/// A feature's geometry taken apart, in the layer's plane. Each group of rings is a polygon set of its own:
/// inside and outside alternate within a group, and the danger is all groups together.
struct Shapes {
    /// Lines, and points as chains of one vertex.
    std::vector<Chain> paths;
    /// Each group holds at least one ring.
    std::vector<std::vector<Chain>> ring_groups;
};

/// A geometry that cannot be a hazard: "has ...", "is ...".
struct UnusableGeometry {
    /// The rest of a sentence that begins with the feature.
    std::string why;
};

/// Takes points, lines, polygons and collections of them apart, without curves (see
/// OGRGeometry::getLinearGeometry) and without height. Polygons that cross themselves keep all of their area,
/// what they enclose more than once included; those with very many crossings may gain some, up to their
/// convex hull.
/// @throws UnusableGeometry
Shapes shapes_of(const OGRGeometry& geometry);

} // namespace swingroom
