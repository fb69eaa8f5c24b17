#include "overlay/chart_edge.hpp"

#include "swingroom/base/block_cut.hpp"

#include <algorithm>
#include <cstdint>
#include <limits>
#include <ranges>

namespace swingroom {
namespace {

constexpr float infinite = std::numeric_limits<float>::infinity();

/// A run of cells that no chart covers, and what it hangs together with.
struct Uncharted {
    int first, last;
    std::size_t pool;
};

/// Pools by number, each known by its least member.
class Pools {
public:
    std::size_t add() {
        parent_.push_back(parent_.size());
        return parent_.size() - 1;
    }
    std::size_t root(std::size_t pool) {
        while (parent_[pool] != pool) {
            parent_[pool] = parent_[parent_[pool]];
            pool = parent_[pool];
        }
        return pool;
    }
    void join(std::size_t a, std::size_t b) {
        a = root(a);
        b = root(b);
        parent_[std::max(a, b)] = std::min(a, b);
    }

private:
    std::vector<std::size_t> parent_;
};

/// Runs that share columns.
template <class One, class Other, class Meet>
void each_meeting(const std::vector<One>& one, const std::vector<Other>& other, const Meet& meet) {
    auto from = other.begin();
    for (const One& run : one) {
        while (from != other.end() && from->last < run.first) {
            ++from;
        }
        for (auto at = from; at != other.end() && at->first <= run.last; ++at) {
            meet(run, *at);
        }
    }
}

} // namespace

ChartEdge::ChartEdge(const HazardField& hazards, Window extent)
    : extent_(extent), runs_(static_cast<std::size_t>(extent.rows)),
      rim_(static_cast<std::size_t>(extent.rows)) {
    std::vector<Effects> effects;
    for (const Hazard& hazard : hazards.hazards()) {
        effects.push_back(hazard.effects & effect::uncharted);
    }
    Pools pools;
    const std::size_t beyond = pools.add(); // the grid
    std::vector<std::vector<Uncharted>> found(runs_.size());
    const int strip_rows = std::max(
        1, static_cast<int>(std::min<std::int64_t>((1 << 22) / std::max(1, extent.cols), extent.rows)));
    Plane<Effects> bits;
    for (int top = extent.row; top < extent.row_end(); top += strip_rows) {
        const Window strip = common(extent, {extent.col, top, extent.cols, strip_rows});
        bits.reset(strip, 0);
        hazards.burn(bits, effects);
        for (int row = strip.row; row < strip.row_end(); ++row) {
            std::vector<Uncharted>& here = found[static_cast<std::size_t>(row - extent.row)];
            for (int col = extent.col; col < extent.col_end(); ++col) {
                if ((bits.at(col, row) & effect::uncharted) == 0) continue;
                if (here.empty() || here.back().last + 1 != col) here.push_back({col, col, pools.add()});
                here.back().last = col;
            }
            const bool border = row == extent.row || row == extent.row_end() - 1;
            for (const Uncharted& run : here) {
                const bool at_side = run.first == extent.col || run.last == extent.col_end() - 1;
                if (border || at_side) pools.join(run.pool, beyond);
            }
            if (row == extent.row) continue;
            each_meeting(here, found[static_cast<std::size_t>(row - extent.row) - 1],
                         [&](const Uncharted& a, const Uncharted& b) { pools.join(a.pool, b.pool); });
        }
    }
    for (std::size_t row = 0; row < found.size(); ++row) {
        for (const Uncharted& run : found[row]) {
            if (pools.root(run.pool) == beyond) runs_[row].push_back({run.first, run.last});
        }
    }
}

bool ChartEdge::outside(int col, int row) const {
    if (!extent_.contains(col, row)) return true;
    const std::vector<Run>& here = runs(row);
    const auto at = std::ranges::lower_bound(here, col, {}, &Run::last);
    return at != here.end() && at->first <= col;
}

std::vector<ChartEdge::Run> ChartEdge::outside_of(int row) const {
    if (row < extent_.row || row >= extent_.row_end()) return {{extent_.col, extent_.col_end() - 1}};
    return runs(row);
}

std::vector<ChartEdge::Run> ChartEdge::inside_of(int row) const {
    std::vector<Run> inside;
    int from = extent_.col;
    for (const Run& run : runs(row)) {
        if (run.first > from) inside.push_back({from, run.first - 1});
        from = run.last + 1;
    }
    if (from < extent_.col_end()) inside.push_back({from, extent_.col_end() - 1});
    return inside;
}

std::vector<GridCell> ChartEdge::rim() const {
    std::vector<GridCell> cells;
    std::vector<int> cols;
    for (int row = extent_.row; row < extent_.row_end(); ++row) {
        const std::vector<Run> inside = inside_of(row);
        cols.clear();
        for (const Run& run : inside) {
            cols.push_back(run.first);
            cols.push_back(run.last);
        }
        for (const int beside : {row - 1, row + 1}) {
            each_meeting(inside, outside_of(beside), [&](const Run& in, const Run& out) {
                for (int col = std::max(in.first, out.first); col <= std::min(in.last, out.last); ++col) {
                    cols.push_back(col);
                }
            });
        }
        std::ranges::sort(cols);
        cols.erase(std::unique(cols.begin(), cols.end()), cols.end());
        for (const int col : cols) {
            cells.push_back({col, row});
        }
    }
    return cells;
}

void ChartEdge::begin_at(const std::vector<GridCell>& rim, const std::vector<bool>& of_start) {
    for (std::vector<RimCell>& row : rim_) {
        row.clear();
    }
    for (std::size_t i = 0; i < rim.size(); ++i) {
        rim_[static_cast<std::size_t>(rim[i].row - extent_.row)].push_back({rim[i].col, of_start[i]});
    }
}

void ChartEdge::open_outside(const GroundMetric& metric, int reach, Plane<float>& floor_m) const {
    const Window seen = floor_m.window(), near = common(grown(seen, reach), extent_);
    struct Nearest {
        double squared_m = std::numeric_limits<double>::infinity();
        bool of_start = false; ///< all that are so near
    };
    Plane<Nearest> nearest;
    const auto look = [&](const RimCell& of_rim, int row) {
        const Window around = common({of_rim.col - reach, row - reach, 2 * reach + 1, 2 * reach + 1}, seen);
        for (int r = around.row; r < around.row_end(); ++r) {
            const CellSize cell = metric.at(std::clamp(r, extent_.row, extent_.row_end() - 1));
            for (int c = around.col; c < around.col_end(); ++c) {
                if (!outside(c, r)) continue;
                const double right_m = (c - of_rim.col) * cell.dx_m, down_m = (r - row) * cell.dy_m;
                const double squared_m = right_m * right_m + down_m * down_m;
                Nearest& known = nearest.at(c, r);
                if (squared_m > known.squared_m) continue;
                known.of_start = of_rim.of_start && (squared_m < known.squared_m || known.of_start);
                known.squared_m = squared_m;
            }
        }
    };
    for (int row = near.row; row < near.row_end(); ++row) {
        const std::vector<RimCell>& cells = rim_[static_cast<std::size_t>(row - extent_.row)];
        auto at = std::ranges::lower_bound(cells, near.col, {}, &RimCell::col);
        for (; at != cells.end() && at->col < near.col_end(); ++at) {
            if (nearest.size() == 0) nearest.reset(seen, Nearest());
            look(*at, row);
        }
    }
    for (std::size_t i = 0; i < nearest.size(); ++i) {
        if (nearest.data()[i].of_start) floor_m.data()[i] = infinite;
    }
}

bool ChartEdge::meets(Window window) const {
    if (common(window, extent_) != window) return true;
    for (int row = window.row; row < window.row_end(); ++row) {
        const std::vector<Run>& here = runs(row);
        const auto at = std::ranges::lower_bound(here, window.col, {}, &Run::last);
        if (at != here.end() && at->first < window.col_end()) return true;
    }
    return false;
}

} // namespace swingroom
