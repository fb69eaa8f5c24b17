#include "swingroom/base/grid.hpp"

#include "swingroom/base/block_cut.hpp"

#include <cassert>
#include <cstdint>

namespace swingroom {
namespace {

/// The first cell of the block that a cell is in, left of and above the origin too.
std::int64_t block_begin(std::int64_t cell, std::int64_t origin, int size) {
    const std::int64_t beyond = (cell - origin) % size;
    return cell - (beyond < 0 ? beyond + size : beyond);
}

/// How many blocks it takes from a block's first cell to the end.
std::size_t blocks_to(std::int64_t begin, std::int64_t end, int size) {
    return static_cast<std::size_t>((end - begin + size - 1) / size);
}

struct Span {
    int first = 0, count = 0;
};
/// A block's cells in one direction that lie within [first, end).
Span span_within(std::int64_t begin, int size, int first, int end) {
    const auto from = std::max<std::int64_t>(first, begin), to = std::min<std::int64_t>(end, begin + size);
    return {static_cast<int>(from), static_cast<int>(to - from)};
}

} // namespace

BlockCut::BlockCut(Window window, BlockSize size, GridCell origin) : window_(window), size_(size) {
    assert(size.cols > 0 && size.rows > 0);
    if (window.empty()) return;
    first_col_ = block_begin(window.col, origin.col, size.cols);
    first_row_ = block_begin(window.row, origin.row, size.rows);
    across_ = blocks_to(first_col_, window.col_end(), size.cols);
    down_ = blocks_to(first_row_, window.row_end(), size.rows);
}

Window BlockCut::operator[](std::size_t i) const {
    assert(i < count());
    const auto across = static_cast<std::int64_t>(i % across_), down = static_cast<std::int64_t>(i / across_);
    const Span cols =
        span_within(first_col_ + across * size_.cols, size_.cols, window_.col, window_.col_end());
    const Span rows = span_within(first_row_ + down * size_.rows, size_.rows, window_.row, window_.row_end());
    return {cols.first, rows.first, cols.count, rows.count};
}

std::size_t BlockCut::by_columns(std::size_t i, std::size_t rows) const {
    assert(i < count() && rows > 0);
    const std::size_t first_row = i / (across_ * rows) * rows, rank = i - first_row * across_;
    const std::size_t together = std::min(rows, down_ - first_row); // fewer are left at the end
    return (first_row + rank % together) * across_ + rank / together;
}

std::vector<Window> cut_into_blocks(Window window, int block) {
    const BlockCut cut(window, block, {0, 0});
    std::vector<Window> blocks;
    blocks.reserve(cut.count());
    for (std::size_t i = 0; i < cut.count(); ++i) {
        blocks.push_back(cut[i]);
    }
    return blocks;
}

} // namespace swingroom
