#pragma once

#include "swingroom/base/grid.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <utility>
#include <vector>

/// Boxes of cells, and which of many meet a window.
namespace swingroom {

/// Cells from first to last, both included; empty if last < first.
struct Box {
    /// In cells of the raster; unless something is put in, the box is empty.
    int col_first = 0, row_first = 0, col_last = -1, row_last = -1;
    /// Whether no cell is in it.
    [[nodiscard]] bool empty() const { return col_last < col_first || row_last < row_first; }
    /// Whether both have a cell in common; neither is empty.
    [[nodiscard]] bool meets(const Box& o) const {
        return col_first <= o.col_last && o.col_first <= col_last && row_first <= o.row_last &&
               o.row_first <= row_last;
    }
};

/// The same cells; a window without cells gives an empty box.
inline Box box_of(Window w) { return {w.col, w.row, w.col_end() - 1, w.row_end() - 1}; }

/// The cells that are in both; empty if there are none.
inline Box common(const Box& a, const Box& b) {
    return {std::max(a.col_first, b.col_first), std::max(a.row_first, b.row_first),
            std::min(a.col_last, b.col_last), std::min(a.row_last, b.row_last)};
}

/// A whole number of cells as int, held within a range first: a double outside int is no number to convert.
inline int clamped_to_int(double cells, int least, int greatest) {
    return static_cast<int>(std::clamp(cells, static_cast<double>(least), static_cast<double>(greatest)));
}

/// The first and last cell that a closed interval [from, to] touches, held one beyond the given range.
struct Cells {
    /// Both included.
    int first, last;
};
/// A cell that the interval meets in nothing but its edge is touched, too.
inline Cells cells_touched(double from, double to, int least, int greatest) {
    return {clamped_to_int(std::ceil(from) - 1, least - 1, greatest + 1),
            clamped_to_int(std::floor(to), least - 1, greatest + 1)};
}

/// Boxes in a spatial order, bundled by sixteens, so that a window visits what it meets and little else.
class BoxTree {
public:
    /// Leaves keep their indexes; they should be in a spatial order, as arranged() makes it.
    explicit BoxTree(std::vector<Box> leaves = {}) {
        levels_.push_back(std::move(leaves));
        while (levels_.back().size() > 1) {
            levels_.push_back(bundled(levels_.back()));
        }
    }
    /// Calls visit(index) for every leaf that meets the box, in order.
    template <class Visit>
    void each(const Box& query, Visit&& visit) const {
        if (!levels_.front().empty() && !query.empty()) descend(levels_.size() - 1, 0, query, visit);
    }
    /// A leaf, and what it costs.
    struct Found {
        std::size_t index = 0;
        double cost = 0;
    };
    /// The leaf of least cost, of equals any.
    /// @param cost_of       of a box, never more than that of a box or a leaf inside it
    /// @param cost_of_leaf  by the leaf's index   @param no_more  than the least cost
    /// @pre there is a leaf
    template <class Cost, class LeafCost>
    [[nodiscard]] Found least(Cost&& cost_of, LeafCost&& cost_of_leaf, double no_more) const {
        Found found{0, std::nextafter(no_more, std::numeric_limits<double>::infinity())};
        seek(levels_.size() - 1, 0, cost_of, cost_of_leaf, found);
        return found;
    }

private:
    static constexpr std::size_t fan_out = 16;

    /// The nearest child first, so that most of the others need no look.
    template <class Cost, class LeafCost>
    void seek(std::size_t level, std::size_t index, Cost& cost_of, LeafCost& cost_of_leaf,
              Found& found) const {
        if (level == 0) {
            if (const double cost = cost_of_leaf(index); cost < found.cost) found = {index, cost};
            return;
        }
        const std::vector<Box>& below = levels_[level - 1];
        const std::size_t begin = index * fan_out, count = std::min(fan_out, below.size() - begin);
        std::array<double, fan_out> costs{};
        for (std::size_t i = 0; i < count; ++i) {
            costs[i] = cost_of(below[begin + i]);
        }
        const auto nearest = static_cast<std::size_t>(
            std::min_element(costs.begin(), costs.begin() + static_cast<std::ptrdiff_t>(count)) -
            costs.begin());
        if (!(costs[nearest] < found.cost)) return;
        seek(level - 1, begin + nearest, cost_of, cost_of_leaf, found);
        for (std::size_t i = 0; i < count; ++i) {
            if (i == nearest || !(costs[i] < found.cost)) continue;
            seek(level - 1, begin + i, cost_of, cost_of_leaf, found);
        }
    }

    static std::vector<Box> bundled(const std::vector<Box>& below) {
        std::vector<Box> above((below.size() + fan_out - 1) / fan_out);
        for (std::size_t i = 0; i < below.size(); ++i) {
            Box& box = above[i / fan_out];
            const Box& b = below[i];
            box = i % fan_out == 0
                      ? b
                      : Box{std::min(box.col_first, b.col_first), std::min(box.row_first, b.row_first),
                            std::max(box.col_last, b.col_last), std::max(box.row_last, b.row_last)};
        }
        return above;
    }
    template <class Visit>
    void descend(std::size_t level, std::size_t index, const Box& query, Visit& visit) const {
        if (!levels_[level][index].meets(query)) return;
        if (level == 0) {
            visit(index);
            return;
        }
        const std::size_t end = std::min((index + 1) * fan_out, levels_[level - 1].size());
        for (std::size_t i = index * fan_out; i < end; ++i) {
            descend(level - 1, i, query, visit);
        }
    }

    std::vector<std::vector<Box>> levels_; // leaves first
};

/// Bits of the lower half of a number moved to the even places (Morton order).
inline std::uint64_t spread(std::uint64_t v) {
    v &= 0xffffffffu;
    v = (v | (v << 16)) & 0x0000ffff0000ffffu;
    v = (v | (v << 8)) & 0x00ff00ff00ff00ffu;
    v = (v | (v << 4)) & 0x0f0f0f0f0f0f0f0fu;
    v = (v | (v << 2)) & 0x3333333333333333u;
    return (v | (v << 1)) & 0x5555555555555555u;
}

/// Puts items and their boxes into an order in which neighbours in the list are neighbours on the ground.
template <class Item>
BoxTree arranged(std::vector<Item>& items, const std::vector<Box>& boxes, Window extent) {
    const auto key = [&](const Box& b) {
        const auto col = static_cast<std::uint64_t>((b.col_first - extent.col + b.col_last - extent.col) / 2);
        const auto row = static_cast<std::uint64_t>((b.row_first - extent.row + b.row_last - extent.row) / 2);
        return spread(col) | spread(row) << 1;
    };
    std::vector<std::pair<std::uint64_t, std::size_t>> order(items.size());
    for (std::size_t i = 0; i < items.size(); ++i) {
        order[i] = {key(boxes[i]), i};
    }
    std::sort(order.begin(), order.end());
    std::vector<Item> sorted;
    std::vector<Box> leaves;
    sorted.reserve(items.size());
    leaves.reserve(items.size());
    for (const auto& entry : order) {
        sorted.push_back(items[entry.second]);
        leaves.push_back(boxes[entry.second]);
    }
    items = std::move(sorted);
    return BoxTree(std::move(leaves));
}

} // namespace swingroom
