#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/room/inner_places.hpp"
#include "swingroom/room/metric.hpp"

#include <vector>

namespace swingroom {

/// Whether a zone's window has so few cells that innermost_cell() is the quicker way.
bool has_few_cells(Window zone);

/// The first of a zone's InnerPlaces, found by looking at all of its cells. Many a zone is a narrow seam, all
/// of whose cells are about as far inside as any, so that there is no way past most of them; and to look at
/// one is to look at the few rows beside it.
/// @param rings  a zone's, as ZoneTracer gives them   @param zone  the window around them
/// @param sizes  of the zone's rows, from the first one on   @pre has_few_cells(zone), and one of them is the
/// zone's
InnerPlace innermost_cell(const std::vector<std::vector<GridPoint>>& rings, Window zone,
                          const GroundMetric& sizes);

} // namespace swingroom
