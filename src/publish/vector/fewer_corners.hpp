#pragma once

#include "publish/vector/polygon_rings.hpp"

#include <cstddef>

namespace swingroom {

/// Which side of a ring may only get smaller: of a zone that is good the inside, of a danger the outside.
enum class Shrinks { inside, outside };

/// A ring with at most so many vertices, closing one included, that encloses nothing which the ring does not
/// (Shrinks::inside), or all that it encloses (Shrinks::outside). A ring that is short enough stays as it is;
/// one that crosses itself has no inside to be sure of: nothing is left of it, or the hull is drawn around
/// it.
/// @pre most >= 9   @throws IoError  GEOS cannot do it
[[nodiscard]] LatticeRing with_fewer_corners(LatticeRing ring, std::size_t most, Shrinks side);

} // namespace swingroom
