#pragma once

#include "swingroom/base/grid.hpp"

#include <cstddef>
#include <cstdint>

namespace swingroom {

/// How large the blocks of a cut are, in cells, at least 1 each way. A number alone is a square's side.
struct BlockSize {
    int cols = 0, rows = 0; ///< its width and height
    // NOLINTNEXTLINE(google-explicit-constructor): a number of cells says all of a square
    constexpr BlockSize(int side) : cols(side), rows(side) {}
    constexpr BlockSize(int its_cols, int its_rows) : cols(its_cols), rows(its_rows) {}
    friend bool operator==(const BlockSize&, const BlockSize&) = default;
};

/// A window cut into blocks, counted from its first cell unless another origin is given. It needs no list of
/// them, which for a window of any size would grow with it.
class BlockCut {
public:
    /// @param window  what is cut; an empty one has no blocks
    BlockCut(Window window, BlockSize size) : BlockCut(window, size, {window.col, window.row}) {}
    /// @param origin  a corner of blocks, wherever the window lies: it is the first cell of one
    BlockCut(Window window, BlockSize size, GridCell origin);
    /// How many blocks lie side by side in one row of blocks.
    [[nodiscard]] std::size_t across() const { return across_; }
    /// How many blocks there are in all.
    [[nodiscard]] std::size_t count() const { return across_ * down_; }
    /// The i-th block in row-major order, cut off at the window's edges.   @pre i < count()
    [[nodiscard]] Window operator[](std::size_t i) const;
    /// The number of the i-th block where some rows of blocks go together, column by column, before the next
    /// such rows begin: what lies side by side is then soon complete to the height of all of them.
    /// @pre i < count(), rows > 0
    [[nodiscard]] std::size_t by_columns(std::size_t i, std::size_t rows) const;

private:
    Window window_;
    BlockSize size_;
    std::int64_t first_col_ = 0, first_row_ = 0; ///< of the first block, before it is cut off
    std::size_t across_ = 0, down_ = 0;
};

} // namespace swingroom
