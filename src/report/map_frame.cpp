#include "report/map_frame.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace swingroom {

MapFrame::MapFrame(const Grid& grid, const Georeference& georeference, Window cells, double longest_units)
    : georeference_(&georeference), cells_(cells), turned_over_(grid.step_y > 0) {
    const GridPoint middle{cells.col + cells.cols / 2.0, cells.row + cells.rows / 2.0};
    const CellSize cell = cell_size(middle);
    units_per_m_ = longest_units / std::max(cells.cols * cell.dx_m, cells.rows * cell.dy_m);
    col_units_ = units_per_m_ * cell.dx_m;
    row_units_ = units_per_m_ * cell.dy_m;

    // A step northwards of about a cell, on the side that stays on the earth.
    const LonLat here = georeference.lonlat(middle);
    constexpr double m_per_degree = 111'000;
    const double step_deg =
        std::copysign(std::clamp(cell.dy_m / m_per_degree, 1e-6, 0.1), here.lat > 0 ? -1.0 : 1.0);
    const GridPoint there = georeference.grid_point({here.lon, here.lat + step_deg});
    const GridPoint from = of_cell(middle), to = of_cell(there);
    const double sign = step_deg > 0 ? 1 : -1;
    north_deg_ = std::atan2(sign * (to.x - from.x), -sign * (to.y - from.y)) * 180 / std::numbers::pi;
}

/// Of a cell's worth around a point, by geodesics.
CellSize MapFrame::cell_size(GridPoint at) const {
    const auto length_m = [&](GridPoint from, GridPoint to) {
        return geodesic(georeference_->lonlat(from), georeference_->lonlat(to)).distance_m;
    };
    return {length_m({at.x - 0.5, at.y}, {at.x + 0.5, at.y}),
            length_m({at.x, at.y - 0.5}, {at.x, at.y + 0.5})};
}

GridPoint MapFrame::of_cell(GridPoint cell) const {
    const double down = cell.y - cells_.row;
    return {(cell.x - cells_.col) * col_units_, (turned_over_ ? cells_.rows - down : down) * row_units_};
}

GridPoint MapFrame::of_position(LonLat position) const {
    return of_cell(georeference_->grid_point(position));
}

GridPoint MapFrame::units_of(double metres, LonLat at) const {
    const CellSize cell = cell_size(georeference_->grid_point(at));
    return {metres / cell.dx_m * col_units_, metres / cell.dy_m * row_units_};
}

} // namespace swingroom
