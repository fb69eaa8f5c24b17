#pragma once

#include "swingroom/base/grid.hpp"

#include <cstddef>
#include <cstdint>

namespace swingroom {

/// The cut of cut_into_blocks() without its list, which for a window of any size would grow with it.
class BlockCut {
public:
    /// @param window  what is cut; an empty one has no blocks
    /// @param block   cells along the side of a block   @pre block > 0
    BlockCut(Window window, int block);
    /// How many blocks lie side by side in one row of blocks.
    [[nodiscard]] std::size_t across() const { return across_; }
    /// How many blocks there are in all.
    [[nodiscard]] std::size_t count() const { return across_ * down_; }
    /// The i-th block in row-major order, cut off at the window's edges.   @pre i < count()
    [[nodiscard]] Window operator[](std::size_t i) const;

private:
    Window window_;
    int block_;
    std::int64_t first_col_ = 0, first_row_ = 0; ///< in blocks from the raster's origin
    std::size_t across_ = 0, down_ = 0;
};

} // namespace swingroom
