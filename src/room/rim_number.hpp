#pragma once

#include "swingroom/base/grid.hpp"

#include <algorithm>
#include <cstddef>
#include <cstdint>

namespace swingroom {

/// Which of rim_cells() a cell of the rim is.
inline std::uint32_t number_on_rim(Window block, GridCell cell) {
    const int row = cell.row - block.row, col = cell.col - block.col;
    const int per_row = std::min(2, block.cols); // of the rows between the first and the last
    if (row == 0) return static_cast<std::uint32_t>(col);
    const int before = block.cols + (row - 1) * per_row;
    if (row == block.rows - 1) return static_cast<std::uint32_t>(before + col);
    return static_cast<std::uint32_t>(before + (col == 0 ? 0 : 1));
}

/// The other way round.
inline GridCell rim_cell(Window block, std::size_t number) {
    const auto cols = static_cast<std::size_t>(block.cols);
    const auto at = [block](std::size_t col, std::size_t row) {
        return GridCell{block.col + static_cast<int>(col), block.row + static_cast<int>(row)};
    };
    if (number < cols) return at(number, 0);
    const std::size_t behind = number - cols, per_row = std::min<std::size_t>(2, cols),
                      between = (static_cast<std::size_t>(block.rows) - 2) * per_row;
    if (behind >= between) return at(behind - between, static_cast<std::size_t>(block.rows) - 1);
    return at(behind % per_row == 0 ? 0 : cols - 1, 1 + behind / per_row);
}

inline bool is_on_rim(Window block, GridCell cell) {
    return block.contains(cell.col, cell.row) && (cell.row == block.row || cell.row == block.row_end() - 1 ||
                                                  cell.col == block.col || cell.col == block.col_end() - 1);
}

} // namespace swingroom
