#pragma once

#include "swingroom/base/grid.hpp"

#include <algorithm>
#include <cstdint>

namespace swingroom {

/// A window cut into tiles from its own first cell on, row by row. Unlike BlockCut it does not mind where the
/// raster begins, so that no tile is cut off at the window's first row or column.
class TileCut {
public:
    TileCut() = default; ///< of nothing
    /// @pre tile_cells > 0
    TileCut(Window window, int tile_cells)
        : window_(window), side_(tile_cells), across_(tiles(window.cols)), down_(tiles(window.rows)) {}

    [[nodiscard]] const Window& window() const { return window_; } ///< all of it
    [[nodiscard]] std::int64_t across() const { return across_; }  ///< tiles side by side
    [[nodiscard]] std::int64_t count() const { return across_ * down_; }
    /// @pre 0 <= tile < count()
    [[nodiscard]] Window operator[](std::int64_t tile) const {
        const auto col = static_cast<int>(tile % across_) * side_,
                   row = static_cast<int>(tile / across_) * side_;
        return {window_.col + col, window_.row + row, std::min(side_, window_.cols - col),
                std::min(side_, window_.rows - row)};
    }
    /// The tile of a cell of the window.
    [[nodiscard]] std::int64_t tile_of(int col, int row) const {
        return std::int64_t{(row - window_.row) / side_} * across_ + (col - window_.col) / side_;
    }
    /// The first tile of a part's share; that of the part after the last is the end.
    [[nodiscard]] std::int64_t first_of(int part, int parts) const {
        // Without a product that could overflow.
        const std::int64_t each = count() / parts, more = count() % parts;
        return each * (part - 1) + more * (part - 1) / parts;
    }
    /// The least window that holds some tiles that follow each other: rows of tiles, or a piece of one.
    [[nodiscard]] Window around(std::int64_t first, std::int64_t end) const {
        if (first >= end) return {window_.col, window_.row, 0, 0};
        const Window from = (*this)[first], to = (*this)[end - 1];
        const bool one_row = first / across_ == (end - 1) / across_;
        const int col = one_row ? from.col : window_.col,
                  col_end = one_row ? to.col_end() : window_.col_end();
        return {col, from.row, col_end - col, to.row_end() - from.row};
    }

private:
    [[nodiscard]] std::int64_t tiles(int cells) const {
        return cells <= 0 ? 0 : (std::int64_t{cells} + side_ - 1) / side_;
    }
    Window window_;
    int side_ = 1;
    std::int64_t across_ = 0, down_ = 0;
};

} // namespace swingroom
