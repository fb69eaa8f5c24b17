#pragma once

#include "swingroom/boat/way.hpp"

#include <array>
#include <vector>

namespace swingroom {

/// The least depths in the swinging circles of a row of cells, by way and cell.
struct RowWater {
    /// In metres. NaN where nobody asks, where the cell is unsurveyed or the way is not to be had; 0 where
    /// the cell does not float her even at high water. There the next one means nothing.
    std::array<std::vector<float>, all_ways.size()> radius_m;
    /// Metres below chart datum; negative infinity where the circle meets what no water clears.
    std::array<std::vector<float>, all_ways.size()> least_depth_m;
};

} // namespace swingroom
