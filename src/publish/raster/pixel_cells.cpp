#include "publish/raster/pixel_cells.hpp"

#include "room/vectorised.hpp"

#include <algorithm>
#include <climits>
#include <cstddef>

namespace swingroom {
namespace {

/// The edges of a window that grows.
struct Edges {
    int west = INT_MAX, north = INT_MAX, east = INT_MIN, south = INT_MIN;
    [[nodiscard]] Window window() const {
        return west < east ? Window{west, north, east - west, south - north} : Window{};
    }
};

/// Empties the windows that reach over the raster's edge, since such a pixel stands for what is not known,
/// too, and grows the edges around all others.
SWINGROOM_VECTORISED void keep_inside(Window extent, PixelWindows& of_row, Edges& around) {
    int least_col = around.west, least_row = around.north, col_end = around.east, row_end = around.south;
    for (std::size_t i = 0; i < tile_pixels; ++i) {
        const int west = of_row.col[i], north = of_row.row[i], east = west + of_row.cols[i],
                  south = north + of_row.rows[i];
        const bool inside = east > west && west >= extent.col && north >= extent.row &&
                            east <= extent.col_end() && south <= extent.row_end();
        const int kept = inside ? -1 : 0; // all bits or none
        of_row.col[i] &= kept;
        of_row.row[i] &= kept;
        of_row.cols[i] &= kept;
        of_row.rows[i] &= kept;
        least_col = std::min(least_col, (west & kept) | (INT_MAX & ~kept));
        least_row = std::min(least_row, (north & kept) | (INT_MAX & ~kept));
        col_end = std::max(col_end, (east & kept) | (INT_MIN & ~kept));
        row_end = std::max(row_end, (south & kept) | (INT_MIN & ~kept));
    }
    around = {least_col, least_row, col_end, row_end};
}

} // namespace

PixelCells pixel_cells(const Grid& grid, const Georeference& georeference, TileAddress tile) {
    const TileCorners corners(georeference, tile);
    PixelCells cells;
    cells.rows.reserve(tile_pixels);
    Edges around;
    CornerLine upper = corners.line(0);
    for (int row = 0; row < tile_pixels; ++row) {
        const CornerLine lower = corners.line(row + 1);
        keep_inside(grid.extent(), cells.rows.emplace_back(footprints(grid, upper, lower)), around);
        upper = lower;
    }
    cells.window = around.window();
    if (cells.window.empty()) cells.rows.clear();
    return cells;
}

} // namespace swingroom
