#pragma once

#include <ogr_geometry.h>

#include <memory>

namespace swingroom {

/// Polygons that share edges and do not overlap, as one geometry: many times faster than joining what may
/// overlap.
/// @returns null if they are no such coverage. That is proven of the result: it is valid and its area is the
///          sum of theirs, to rounding. Where two overlapped it would be less, and where edges crossed it
///          would not be valid.
std::unique_ptr<OGRGeometry> coverage_united(const OGRMultiPolygon& polygons);

/// The same for any polygons, as a coverage where they are one.   @returns null if GEOS cannot do it
std::unique_ptr<OGRGeometry> united(const OGRMultiPolygon& polygons);

} // namespace swingroom
