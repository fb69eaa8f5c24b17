#include "cli/run/chart_cells.hpp"

#include "swingroom/base/measures.hpp"

#include <algorithm>
#include <cmath>

namespace swingroom::cli {
namespace {

constexpr double at_scale_m = 0.0005;    // 0.5 mm on paper
constexpr double of_radius = 0.25;       // cells beyond a third are warned of as coarse
constexpr double finest_m = 1;           // finer is to be asked for
constexpr double most_cells = 1e8;       // of the window
constexpr double where_nothing_says = 5; // neither a scale nor a radius
constexpr double steps_per_metre = 10;   // what people read

} // namespace

ChartCells chart_cells(int scale, double least_radius_m,
                       const std::function<std::size_t(double side_m)>& cells_in_window) {
    ChartCells cells{where_nothing_says, "where no chart states a scale, and the boat can lie nowhere"};
    if (scale > 0) {
        cells = {at_scale_m * scale, "0.5 mm at the largest scale of the charts, 1:" + std::to_string(scale)};
    }
    if (std::isfinite(least_radius_m) && (scale <= 0 || of_radius * least_radius_m < cells.side_m)) {
        cells = {of_radius * least_radius_m, "a quarter of the least swinging radius, " +
                                                 length_text(least_radius_m, Rounded::down, Measures{})};
    }
    constexpr double rounding_tolerance = 1e-9;
    cells.side_m = std::floor(cells.side_m * steps_per_metre + rounding_tolerance) / steps_per_metre;
    if (cells.side_m < finest_m) cells = {finest_m, "the finest that is made without being asked for"};
    for (auto count = static_cast<double>(cells_in_window(cells.side_m)); count > most_cells;
         count = static_cast<double>(cells_in_window(cells.side_m))) {
        const double coarser_m =
            std::max(cells.side_m * std::sqrt(count / most_cells), cells.side_m + 1 / steps_per_metre);
        cells = {std::ceil(coarser_m * steps_per_metre - rounding_tolerance) / steps_per_metre,
                 "so large that no more than 10^8 of them are to be decided"};
    }
    return cells;
}

} // namespace swingroom::cli
