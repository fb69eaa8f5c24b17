#pragma once

#include "sea/geometry/planar.hpp"

namespace swingroom {

/// Whether a closed ring (first vertex repeated last) is proven to be simple: it neither crosses nor touches
/// itself, so that it is the outline of a valid polygon. `false` also where rounding leaves that open.
///
/// The time grows with n log n for n vertices, wherever they lie. GEOS compares all pairs of monotone runs
/// whose boxes overlap, which for long narrow teeth are nearly all.
bool proven_simple(const Chain& ring);

} // namespace swingroom
