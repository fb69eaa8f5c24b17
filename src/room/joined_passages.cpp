#include "swingroom/room/passage.hpp"

#include <algorithm>
#include <cstddef>
#include <limits>
#include <numeric>
#include <ranges>

namespace swingroom {
namespace {

constexpr std::uint32_t none = std::numeric_limits<std::uint32_t>::max();
constexpr float never = std::numeric_limits<float>::infinity();

/// Which of rim_cells() a cell of the rim is.
std::uint32_t number_on_rim(Window block, GridCell cell) {
    const int row = cell.row - block.row, col = cell.col - block.col;
    const int per_row = std::min(2, block.cols); // of the rows between the first and the last
    if (row == 0) return static_cast<std::uint32_t>(col);
    const int before = block.cols + (row - 1) * per_row;
    if (row == block.rows - 1) return static_cast<std::uint32_t>(before + col);
    return static_cast<std::uint32_t>(before + (col == 0 ? 0 : 1));
}

bool is_on_rim(Window block, GridCell cell) {
    return block.contains(cell.col, cell.row) && (cell.row == block.row || cell.row == block.row_end() - 1 ||
                                                  cell.col == block.col || cell.col == block.col_end() - 1);
}

/// The cells of several blocks as the nodes of one graph.
class Net {
public:
    explicit Net(std::span<const BlockPassages> parts) : parts_(parts) {
        for (const BlockPassages& part : parts) {
            first_.push_back(nodes_);
            nodes_ += static_cast<std::uint32_t>(part.cells.size());
        }
        add_links();
    }

    [[nodiscard]] std::uint32_t nodes() const { return nodes_; }
    [[nodiscard]] std::uint32_t first(std::size_t part) const { return first_[part]; }
    [[nodiscard]] float level_m(std::size_t part, std::size_t cell) const {
        return parts_[part].level_m[cell];
    }
    /// The lowest first.
    [[nodiscard]] const std::vector<BlockPassages::Link>& links() const { return links_; }
    /// The node of a cell on the rim of a part; none where no part has it on its rim.
    [[nodiscard]] std::uint32_t node_at(GridCell cell) const {
        for (std::size_t part = 0; part < parts_.size(); ++part) {
            if (is_on_rim(parts_[part].block, cell)) {
                return first_[part] + number_on_rim(parts_[part].block, cell);
            }
        }
        return none;
    }

private:
    void add_links() {
        for (std::size_t part = 0; part < parts_.size(); ++part) {
            for (const BlockPassages::Link& link : parts_[part].links) {
                links_.push_back({first_[part] + link.from, first_[part] + link.to, link.level_m});
            }
            join_right_and_below(part);
        }
        std::ranges::stable_sort(links_, {}, &BlockPassages::Link::level_m);
    }
    void join_right_and_below(std::size_t part) {
        const Window block = parts_[part].block;
        const auto rim = static_cast<std::uint32_t>(rim_size(block));
        for (std::uint32_t at = 0; at < rim; ++at) {
            const GridCell cell = parts_[part].cells[at];
            if (cell.col == block.col_end() - 1) meet(part, at, {cell.col + 1, cell.row});
            if (cell.row == block.row_end() - 1) meet(part, at, {cell.col, cell.row + 1});
        }
    }
    static std::size_t rim_size(Window block) {
        return number_on_rim(block, {block.col_end() - 1, block.row_end() - 1}) + std::size_t{1};
    }
    void meet(std::size_t part, std::uint32_t at, GridCell neighbour) {
        for (std::size_t other = 0; other < parts_.size(); ++other) {
            if (!parts_[other].block.contains(neighbour.col, neighbour.row)) continue;
            const std::uint32_t there = number_on_rim(parts_[other].block, neighbour);
            const float level_m = std::max(parts_[part].level_m[at], parts_[other].level_m[there]);
            if (level_m < never) links_.push_back({first_[part] + at, first_[other] + there, level_m});
        }
    }

    std::span<const BlockPassages> parts_;
    std::vector<std::uint32_t> first_; ///< node of each part
    std::uint32_t nodes_ = 0;
    std::vector<BlockPassages::Link> links_;
};

/// Nodes that hang together.
class Pools {
public:
    explicit Pools(std::uint32_t nodes) : parent_(nodes) { std::iota(parent_.begin(), parent_.end(), 0U); }
    std::uint32_t root(std::uint32_t node) {
        while (parent_[node] != node) {
            parent_[node] = parent_[parent_[node]];
            node = parent_[node];
        }
        return node;
    }
    void join(std::uint32_t kept, std::uint32_t gone) { parent_[gone] = kept; }

private:
    std::vector<std::uint32_t> parent_;
};

} // namespace

BlockPassages joined(Window window, std::span<const BlockPassages> parts) {
    const Net net(parts);
    BlockPassages whole;
    whole.block = window;
    whole.cells = rim_cells(window);
    std::vector<std::uint32_t> of_pool(net.nodes(), none); // a number of the whole's cells, by root
    const auto keep = [&](std::uint32_t node, float level_m) {
        const auto number = static_cast<std::uint32_t>(whole.level_m.size());
        whole.level_m.push_back(level_m);
        of_pool[node] = number;
    };
    for (const GridCell cell : whole.cells) {
        for (std::size_t part = 0; part < parts.size(); ++part) {
            if (!parts[part].block.contains(cell.col, cell.row)) continue;
            const std::uint32_t at = number_on_rim(parts[part].block, cell);
            keep(net.first(part) + at, net.level_m(part, at));
        }
    }
    for (std::size_t part = 0; part < parts.size(); ++part) {
        for (std::size_t at = rim_cells(parts[part].block).size(); at < parts[part].cells.size(); ++at) {
            whole.cells.push_back(parts[part].cells[at]);
            keep(net.first(part) + static_cast<std::uint32_t>(at), net.level_m(part, at));
        }
    }
    Pools pools(net.nodes());
    for (const BlockPassages::Link& link : net.links()) {
        const std::uint32_t kept = pools.root(link.from), gone = pools.root(link.to);
        if (kept == gone) continue;
        if (of_pool[kept] != none && of_pool[gone] != none) {
            whole.links.push_back({of_pool[kept], of_pool[gone], link.level_m});
        }
        if (of_pool[kept] == none) of_pool[kept] = of_pool[gone];
        pools.join(kept, gone);
    }
    return whole;
}

std::vector<std::vector<float>> levels_of_parts(const BlockPassages& whole, std::span<const float> reached_m,
                                                std::span<const BlockPassages> parts) {
    const Net net(parts);
    std::vector<float> levels(net.nodes(), never);
    std::vector<std::uint32_t> waiting(net.nodes()), last(net.nodes()), next(net.nodes(), none);
    std::iota(waiting.begin(), waiting.end(), 0U); // of each root the first of its nodes; none: it is reached
    std::iota(last.begin(), last.end(), 0U);
    Pools pools(net.nodes());
    const auto reach = [&](std::uint32_t pool, float level_m) {
        for (std::uint32_t node = waiting[pool]; node != none; node = next[node]) {
            levels[node] = level_m;
        }
        waiting[pool] = none;
    };
    struct Source {
        std::uint32_t node = 0;
        float level_m = 0;
    };
    std::vector<Source> sources;
    std::size_t at_whole = 0;
    const auto come_in = [&](std::uint32_t node) {
        if (const float level_m = reached_m[at_whole++]; level_m < never) sources.push_back({node, level_m});
    };
    for (const GridCell cell : rim_cells(whole.block)) {
        come_in(net.node_at(cell));
    }
    for (std::size_t part = 0; part < parts.size(); ++part) {
        for (std::size_t at = rim_cells(parts[part].block).size(); at < parts[part].cells.size(); ++at) {
            come_in(net.first(part) + static_cast<std::uint32_t>(at));
        }
    }
    std::ranges::sort(sources, {}, &Source::level_m);
    auto source = sources.begin();
    const auto let_in = [&](float below_m) {
        for (; source != sources.end() && source->level_m < below_m; ++source) {
            reach(pools.root(source->node), source->level_m);
        }
    };
    for (const BlockPassages::Link& link : net.links()) {
        let_in(link.level_m);
        const std::uint32_t kept = pools.root(link.from), gone = pools.root(link.to);
        if (kept == gone) continue;
        if (waiting[kept] == none || waiting[gone] == none) {
            reach(kept, link.level_m);
            reach(gone, link.level_m);
        } else {
            next[last[kept]] = waiting[gone];
            last[kept] = last[gone];
        }
        pools.join(kept, gone);
    }
    let_in(never);
    std::vector<std::vector<float>> by_part;
    for (std::size_t part = 0; part < parts.size(); ++part) {
        const auto from = levels.begin() + static_cast<std::ptrdiff_t>(net.first(part));
        by_part.emplace_back(from, from + static_cast<std::ptrdiff_t>(parts[part].cells.size()));
    }
    return by_part;
}

} // namespace swingroom
