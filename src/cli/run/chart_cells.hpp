#pragma once

#include <cstddef>
#include <functional>
#include <string>

namespace swingroom::cli {

/// The side of the cells of a grid made for charts alone, and what decided it.
struct ChartCells {
    double side_m = 0;
    std::string why; ///< "a quarter of the least swinging radius, 15.6 m"
};

/// The cells that nobody has chosen: 0.5 mm at the largest scale of the charts, which is finer than what is
/// drawn on them is placed; but no more than a quarter of the least swinging radius, so that a circle has
/// room for an answer; at least a metre; and coarser where the window would have more than 10^8 of them. In
/// whole decimetres, rounded towards the finer but for the last. Common practice, no source. Cells of any
/// size promise the same: coarse ones say no more often.
/// @param scale            1 to this many; 0: no chart states one, and the radius decides alone
/// @param least_radius_m   of the boat, infinite where she can lie nowhere
/// @param cells_in_window  how many cells of a side, metres, the window has; falls with the side
ChartCells chart_cells(int scale, double least_radius_m,
                       const std::function<std::size_t(double side_m)>& cells_in_window);

} // namespace swingroom::cli
