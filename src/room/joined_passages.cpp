#include "swingroom/room/passage.hpp"

#include "room/rim_number.hpp"

#include <algorithm>
#include <cstddef>
#include <limits>
#include <numeric>
#include <ranges>

namespace swingroom {
namespace {

constexpr std::uint32_t none = BlockPassages::no_node;
constexpr float never = std::numeric_limits<float>::infinity();

/// The nodes of several blocks in one graph.
class Net {
public:
    explicit Net(std::span<const BlockPassages> parts) : parts_(parts) {
        for (const BlockPassages& part : parts) {
            first_.push_back(static_cast<std::uint32_t>(level_m_.size()));
            level_m_.insert(level_m_.end(), part.level_m.begin(), part.level_m.end());
        }
        add_links();
    }

    [[nodiscard]] std::size_t nodes() const { return level_m_.size(); }
    [[nodiscard]] std::uint32_t first(std::size_t part) const { return first_[part]; }
    [[nodiscard]] float level_m(std::uint32_t node) const { return level_m_[node]; }
    /// The lowest first.
    [[nodiscard]] const std::vector<BlockPassages::Link>& links() const { return links_; }
    /// The node of one of a part's cells; none where it cannot be passed.
    [[nodiscard]] std::uint32_t node(std::size_t part, std::size_t cell) const {
        const std::uint32_t own = parts_[part].node(cell);
        return own == none ? none : first_[part] + own;
    }
    /// The node of a cell that is on the rim of a part, or was asked for.
    [[nodiscard]] std::uint32_t node_at(GridCell cell) const {
        for (std::size_t part = 0; part < parts_.size(); ++part) {
            const Window block = parts_[part].block;
            if (!block.contains(cell.col, cell.row)) continue;
            if (is_on_rim(block, cell)) return node(part, number_on_rim(block, cell));
            const std::vector<GridCell>& also = parts_[part].also;
            const auto found = std::ranges::find_if(
                also, [cell](GridCell other) { return other.col == cell.col && other.row == cell.row; });
            if (found == also.end()) return none;
            return node(part, rim_size(block) + static_cast<std::size_t>(found - also.begin()));
        }
        return none;
    }

private:
    void add_links() {
        for (std::size_t part = 0; part < parts_.size(); ++part) {
            for (const BlockPassages::Link& link : parts_[part].links) {
                links_.push_back({first_[part] + link.from, first_[part] + link.to, link.level_m});
            }
            const Window block = parts_[part].block;
            const int col = block.col_end() - 1, row = block.row_end() - 1;
            for (int r = block.row; r <= row; ++r) {
                meet({col, r}, {col + 1, r}, part);
            }
            for (int c = block.col; c <= col; ++c) {
                meet({c, row}, {c, row + 1}, part);
            }
        }
        std::ranges::stable_sort(links_, {}, &BlockPassages::Link::level_m);
    }
    void meet(GridCell cell, GridCell neighbour, std::size_t part) {
        const std::uint32_t from = node(part, number_on_rim(parts_[part].block, cell)),
                            to = from == none ? none : node_at(neighbour);
        if (to == none) return;
        // Along an edge there are mostly the same two again.
        if (!links_.empty() && links_.back().from == from && links_.back().to == to) return;
        links_.push_back({from, to, std::max(level_m_[from], level_m_[to])});
    }

    std::span<const BlockPassages> parts_;
    std::vector<std::uint32_t> first_; ///< node of each part
    std::vector<float> level_m_;       ///< by node
    std::vector<BlockPassages::Link> links_;
};

/// Nodes that hang together.
class Pools {
public:
    explicit Pools(std::size_t nodes) : parent_(nodes) { std::iota(parent_.begin(), parent_.end(), 0U); }
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

/// Gives the whole the nodes and links of what hangs together in a net.
class Joining {
public:
    Joining(const Net& net, BlockPassages& whole)
        : net_(net), whole_(whole), pools_(net.nodes()), of_pool_(net.nodes(), none),
          number_(net.nodes(), none) {}

    /// @param asked  by node of the net, whether it has a cell of the whole
    /// @returns by node of the net, that of the whole
    const std::vector<std::uint32_t>& join(const std::vector<bool>& asked) {
        std::vector<std::uint32_t> nodes;
        for (std::uint32_t node = 0; node < net_.nodes(); ++node) {
            if (asked[node]) nodes.push_back(node);
        }
        std::ranges::stable_sort(nodes, {}, [&](std::uint32_t node) { return net_.level_m(node); });
        auto link = net_.links().begin();
        const auto wet_up_to = [&](float level_m) {
            for (; link != net_.links().end() && link->level_m <= level_m; ++link) {
                meet(*link);
            }
        };
        for (const std::uint32_t node : nodes) {
            wet_up_to(net_.level_m(node));
            add(node);
        }
        wet_up_to(never);
        return number_;
    }

private:
    void meet(const BlockPassages::Link& link) {
        const std::uint32_t kept = pools_.root(link.from), gone = pools_.root(link.to);
        if (kept == gone) return;
        if (of_pool_[kept] != none && of_pool_[gone] != none) {
            whole_.links.push_back({of_pool_[kept], of_pool_[gone], link.level_m});
        }
        if (of_pool_[kept] == none) of_pool_[kept] = of_pool_[gone];
        pools_.join(kept, gone);
    }
    void add(std::uint32_t node) {
        const float level_m = net_.level_m(node);
        std::uint32_t& of_pool = of_pool_[pools_.root(node)];
        if (of_pool == none || whole_.level_m[of_pool] != level_m) {
            const auto made = static_cast<std::uint32_t>(whole_.level_m.size());
            whole_.level_m.push_back(level_m);
            if (of_pool != none) whole_.links.push_back({of_pool, made, level_m});
            of_pool = made;
        }
        number_[node] = of_pool;
    }

    const Net& net_;
    BlockPassages& whole_;
    Pools pools_;
    std::vector<std::uint32_t> of_pool_; ///< one of the whole's nodes in each pool, by root
    std::vector<std::uint32_t> number_;
};

} // namespace

BlockPassages joined(Window window, std::span<const BlockPassages> parts) {
    const Net net(parts);
    BlockPassages whole;
    whole.block = window;
    std::vector<bool> asked(net.nodes());
    const auto take = [&](std::uint32_t node) {
        whole.node_of.push_back(node);
        if (node != none) asked[node] = true;
    };
    for (const GridCell cell : rim_cells(window)) {
        take(net.node_at(cell));
    }
    for (std::size_t part = 0; part < parts.size(); ++part) {
        whole.also.insert(whole.also.end(), parts[part].also.begin(), parts[part].also.end());
        for (std::size_t cell = rim_size(parts[part].block); cell < parts[part].cells(); ++cell) {
            take(net.node(part, cell));
        }
    }
    Joining joining(net, whole);
    const std::vector<std::uint32_t>& number = joining.join(asked);
    for (std::uint32_t& node : whole.node_of) {
        if (node != none) node = number[node];
    }
    whole.tidy();
    return whole;
}

std::vector<std::vector<ReachedCell>> reached_in_parts(std::span<const ReachedCell> from,
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
    for (const ReachedCell& cell : from) {
        const std::uint32_t node = net.node_at(cell.cell);
        if (node != none && cell.level_m < never) sources.push_back({node, cell.level_m});
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
    std::vector<std::vector<ReachedCell>> by_part(parts.size());
    for (std::size_t part = 0; part < parts.size(); ++part) {
        const std::vector<GridCell> cells = parts[part].cell_of_each_node();
        for (std::size_t node = 0; node < cells.size(); ++node) {
            const float level_m = levels[net.first(part) + node];
            if (level_m < never) by_part[part].push_back({cells[node], level_m});
        }
    }
    return by_part;
}

} // namespace swingroom
