#include "swingroom/base/grid.hpp"

#include "swingroom/base/block_cut.hpp"

#include <cassert>
#include <cstdint>

namespace swingroom {
namespace {

/// Rounds down also left of and above the origin.
std::int64_t blocks_before(std::int64_t cell, int block) {
    return (cell >= 0 ? cell : cell - block + 1) / block;
}

} // namespace

BlockCut::BlockCut(Window window, int block) : window_(window), block_(block) {
    assert(block > 0);
    if (window.empty()) return;
    first_col_ = blocks_before(window.col, block);
    first_row_ = blocks_before(window.row, block);
    across_ = static_cast<std::size_t>(blocks_before(window.col_end() - 1, block) - first_col_ + 1);
    down_ = static_cast<std::size_t>(blocks_before(window.row_end() - 1, block) - first_row_ + 1);
}

Window BlockCut::operator[](std::size_t i) const {
    assert(i < count());
    struct Span {
        int first, count;
    };
    const auto span = [this](std::int64_t at, std::int64_t first, std::int64_t end) -> Span {
        const std::int64_t from = std::max(first, at * block_), to = std::min(end, (at + 1) * block_);
        return {static_cast<int>(from), static_cast<int>(to - from)};
    };
    const Span cols =
        span(first_col_ + static_cast<std::int64_t>(i % across_), window_.col, window_.col_end());
    const Span rows =
        span(first_row_ + static_cast<std::int64_t>(i / across_), window_.row, window_.row_end());
    return {cols.first, rows.first, cols.count, rows.count};
}

std::vector<Window> cut_into_blocks(Window window, int block) {
    const BlockCut cut(window, block);
    std::vector<Window> blocks;
    blocks.reserve(cut.count());
    for (std::size_t i = 0; i < cut.count(); ++i) {
        blocks.push_back(cut[i]);
    }
    return blocks;
}

} // namespace swingroom
