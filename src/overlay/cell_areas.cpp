#include "overlay/cell_areas.hpp"

#include <cmath>
#include <limits>

namespace swingroom {

CellAreas::CellAreas(const GroundMetric& metric, Window window) : metric_(&metric) {
    const CellSize greatest = metric.greatest(window.row, window.row_end() - 1);
    int exponent = 0; // of a power of two above the area of the window
    std::frexp(greatest.dx_m * greatest.dy_m * static_cast<double>(window.cells()), &exponent);
    step_m2_ = std::ldexp(1.0, exponent + 1 - std::numeric_limits<double>::digits);
}

double CellAreas::at(int row) const {
    const CellSize cell = metric_->at(row);
    return std::floor(cell.dx_m * cell.dy_m / step_m2_) * step_m2_;
}

} // namespace swingroom
