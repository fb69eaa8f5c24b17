#pragma once

#include "swingroom/base/grid.hpp"

#include <vector>

namespace swingroom {

/// What smoothing may do, in cells.
struct Smoothing {
    double tolerance = 1; ///< no corner that is dropped lies farther from the edge that takes its place
    /// No new edge comes nearer than this to another corner or to `keep`: a narrow place stays wide enough
    /// for whatever its coordinates go through later.
    double clearance = 0.25;
};

/// The step of coordinates in cells that smoothing is exact for: a power of two, so that multiples of it are
/// exact too.
inline constexpr double shape_step = 1.0 / 1024;

/// A zone with smoother edges, only ever smaller: corners are dropped one by one, the one that costs least
/// area first, as long as
///  * the zone is convex there, so that dropping the corner cuts a triangle off and adds nothing;
///  * all corners that the new edge replaces lie within the tolerance of it;
///  * the closed triangle holds no other corner of any ring, nor `keep`, and none is within the clearance of
///    the new edge: what is cut off is of the zone, edges never cross, holes stay inside;
///  * no angle of the zone becomes sharper than 45 degrees on the grid.
/// A staircase so becomes the straight line through its inner corners. The order is total, so the result
/// depends on the rings alone. Time is about n log n for n corners; memory some 44 bytes each, while the
/// rings given are let go.
/// @param rings  a zone's, as traced or `shrunk`: outer ring first, first corner repeated last, the zone on
///               the left by x in columns and y in rows; coordinates are multiples of shape_step
/// @param keep   a point inside that stays inside
/// @returns the rings in their order, each with at least three corners and starting at the first that is
/// left.
///          A zone more than a million cells wide or high comes back as it is
std::vector<std::vector<GridPoint>> smoothed_inwards(std::vector<std::vector<GridPoint>> rings,
                                                     GridPoint keep, const Smoothing& limits);

} // namespace swingroom
