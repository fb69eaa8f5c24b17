#include "swingroom/room/passage.hpp"

#include "room/rim_number.hpp"

#include <algorithm>

namespace swingroom {

std::vector<GridCell> BlockPassages::cell_of_each_node() const {
    std::vector<GridCell> first(level_m.size());
    if (node_of.empty()) {
        if (!first.empty()) first.front() = {block.col, block.row};
        return first;
    }
    std::uint32_t found = 0; // nodes are numbered by their first cells
    const std::size_t rim = rim_size(block);
    for (std::size_t cell = 0; cell < node_of.size() && found < first.size(); ++cell) {
        if (node_of[cell] != found) continue;
        first[found++] = cell < rim ? rim_cell(block, cell) : also[cell - rim];
    }
    return first;
}

void BlockPassages::tidy() {
    std::vector<std::uint32_t> number(level_m.size(), no_node);
    std::uint32_t numbered = 0;
    bool one = level_m.size() <= 1;
    for (std::uint32_t& node : node_of) {
        one = one && node == node_of.front();
        if (node == no_node) continue;
        if (number[node] == no_node) number[node] = numbered++;
        node = number[node];
    }
    std::vector<float> levels_m(level_m.size());
    for (std::size_t node = 0; node < level_m.size(); ++node) {
        levels_m[number[node]] = level_m[node];
    }
    level_m.swap(levels_m);
    for (Link& link : links) {
        link.from = number[link.from];
        link.to = number[link.to];
    }
    if (one) std::vector<std::uint32_t>().swap(node_of);
    links.shrink_to_fit();
    node_of.shrink_to_fit();
}

BlockPassages uniform_block(Window block, float level_m) {
    BlockPassages uniform;
    uniform.block = block;
    uniform.uniform = true;
    if (level_m < std::numeric_limits<float>::infinity()) uniform.level_m = {level_m};
    return uniform;
}

} // namespace swingroom
