#include "swingroom/base/grid.hpp"

#include <cassert>

namespace swingroom {

std::vector<Window> cut_into_blocks(Window window, int block) {
    assert(block > 0);
    std::vector<Window> blocks;
    if (window.empty()) return blocks;
    const auto aligned_end = [block](int position, int end) {
        const int within = (position % block + block) % block; // also left of and above the origin
        return std::min(position - within + block, end);
    };
    for (int row = window.row; row < window.row_end();) {
        const int row_end = aligned_end(row, window.row_end());
        for (int col = window.col; col < window.col_end();) {
            const int col_end = aligned_end(col, window.col_end());
            blocks.push_back({col, row, col_end - col, row_end - row});
            col = col_end;
        }
        row = row_end;
    }
    return blocks;
}

} // namespace swingroom
