#pragma once

#include "swingroom/base/grid.hpp"

#include <string>

namespace swingroom {

/// The longer side of the largest cells of a grid on the ground, metres: of its corners, its edges' middles
/// and its own middle, which tells it to what the scale of a projection bulges between them.
/// @param source  for messages   @throws InputError  as Georeference
double longest_cell_side_m(const Grid& grid, const std::string& source);

} // namespace swingroom
