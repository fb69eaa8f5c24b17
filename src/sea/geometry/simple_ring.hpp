#pragma once

#include "sea/geometry/planar.hpp"

#include <vector>

namespace swingroom {

/// Whether a closed ring (first vertex repeated last) is proven to be simple: it neither crosses nor touches
/// itself, so that it is the outline of a valid polygon. `false` also where rounding leaves that open.
///
/// The time grows with n log n for n vertices, wherever they lie. GEOS compares all pairs of monotone runs
/// whose boxes overlap, which for long narrow teeth are nearly all.
bool proven_simple(const Chain& ring);

/// The same of polygons, each as its rings, the outer one first, all closed: whether they are proven to be
/// one valid set of polygons. No ring crosses or touches itself or another, the holes lie in their own
/// polygon and not in each other, and no polygon lies inside another.
bool proven_valid(const std::vector<std::vector<Chain>>& polygons);

} // namespace swingroom
