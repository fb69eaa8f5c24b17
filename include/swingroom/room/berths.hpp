#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/room/metric.hpp"

#include <vector>

namespace swingroom {

/// Drop points for as many boats as find room beside each other in a zone: cells whose centres lie inside its
/// rings, any two of them at least twice the radius apart on the ground by the metric's lower bound, so that
/// full circles never overlap. So many boats fit for certain, and sometimes a few more: places are taken row
/// by row, each the first that is free, which gives rows as in a honeycomb; in zones of few corners from all
/// four of the grid's, and the most counts. The densest packing is known for some shapes only.
/// Time goes with the zone's rows, times how many boats fit beside each other.
/// @param rings   of any polygon, as `shrunk` or `smoothed_inwards` give them; edges may be slanted
/// @param metric  of the raster   @param radius_m  greatest swinging radius in the zone, > 0
/// @returns in row order, in a row by column; one at least if there is a centre inside
std::vector<GridCell> berths(const std::vector<std::vector<GridPoint>>& rings, const GroundMetric& metric,
                             double radius_m);

} // namespace swingroom
