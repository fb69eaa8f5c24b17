#include "overlay/chart_edge.hpp"

#include "swingroom/base/block_cut.hpp"

#include <algorithm>
#include <cstdint>
#include <limits>
#include <ranges>

namespace swingroom {
namespace {

constexpr float infinite = std::numeric_limits<float>::infinity();

/// A run of cells that no chart covers and that have no depth, and what it hangs together with.
struct Unknown {
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

/// Row by row, and from left to right in each.
std::vector<Window> tiles_of(Window extent) {
    constexpr int side = 512;
    std::vector<Window> tiles;
    for (int row = extent.row; row < extent.row_end(); row += side) {
        for (int col = extent.col; col < extent.col_end(); col += side) {
            tiles.push_back(common(extent, {col, row, side, side}));
        }
    }
    return tiles;
}

/// By hazard, as burn() takes them: all but what no chart covers is left out.
std::vector<Effects> uncharted_of(const HazardField& hazards) {
    std::vector<Effects> effects;
    for (const Hazard& hazard : hazards.hazards()) {
        effects.push_back(hazard.effects & effect::uncharted);
    }
    return effects;
}

/// Which cells no chart covers wholly and no source has a depth of.
class UnknownCells {
public:
    UnknownCells(const HazardField& hazards, const DepthSource& depths)
        : hazards_(hazards), depths_(depths), uncharted_(uncharted_of(hazards)) {}

    struct Scratch {
        Plane<Effects> bits; ///< not 0 for those cells
        DepthPlanes depths;
    };
    /// @returns whether there is any; the bits are filled then alone
    bool read(Window window, Scratch& scratch) const {
        Plane<Effects>& bits = scratch.bits;
        bits.reset(window, 0);
        hazards_.burn(bits, uncharted_);
        Effects all = 0;
        for (std::size_t i = 0; i < bits.size(); ++i) {
            bits.data()[i] &= effect::uncharted;
            all |= bits.data()[i];
        }
        if (all == 0) return false;
        scratch.depths.banded.reset({});
        scratch.depths.differs.reset({});
        depths_.read(window, scratch.depths);
        for (std::size_t i = 0; i < bits.size(); ++i) { // false for NaN
            if (scratch.depths.shoal_m.data()[i] <= scratch.depths.deep_m.data()[i]) bits.data()[i] = 0;
        }
        return true;
    }

private:
    const HazardField& hazards_;
    const DepthSource& depths_;
    std::vector<Effects> uncharted_;
};

} // namespace

bool ChartEdge::is_known(const HazardField& hazards) {
    return std::ranges::any_of(
        hazards.hazards(), [](const Hazard& hazard) { return (hazard.effects & effect::uncharted) != 0; });
}

ChartEdge::ChartEdge(const HazardField& hazards, const DepthSource& depths, Window extent)
    : extent_(extent), runs_(static_cast<std::size_t>(extent.rows)),
      rim_(static_cast<std::size_t>(extent.rows)) {
    Pools pools;
    const std::size_t beyond = pools.add(); // the grid
    std::vector<std::vector<Unknown>> found(runs_.size());
    const UnknownCells unknown(hazards, depths);
    UnknownCells::Scratch scratch;
    for (const Window tile : tiles_of(extent)) { // those of some rows from left to right
        if (!unknown.read(tile, scratch)) continue;
        for (int row = tile.row; row < tile.row_end(); ++row) {
            std::vector<Unknown>& here = found[static_cast<std::size_t>(row - extent.row)];
            for (int col = tile.col; col < tile.col_end(); ++col) {
                if (scratch.bits.at(col, row) == 0) continue;
                if (here.empty() || here.back().last + 1 != col) here.push_back({col, col, pools.add()});
                here.back().last = col;
            }
        }
    }
    for (int row = extent.row; row < extent.row_end(); ++row) {
        const std::vector<Unknown>& here = found[static_cast<std::size_t>(row - extent.row)];
        const bool border = row == extent.row || row == extent.row_end() - 1;
        for (const Unknown& run : here) {
            const bool at_side = run.first == extent.col || run.last == extent.col_end() - 1;
            if (border || at_side) pools.join(run.pool, beyond);
        }
        if (row == extent.row) continue;
        each_meeting(here, found[static_cast<std::size_t>(row - extent.row) - 1],
                     [&](const Unknown& a, const Unknown& b) { pools.join(a.pool, b.pool); });
    }
    for (std::size_t row = 0; row < found.size(); ++row) {
        for (const Unknown& run : found[row]) {
            if (pools.root(run.pool) == beyond) runs_[row].push_back({run.first, run.last});
        }
    }
}

bool ChartEdge::any_outside() const {
    return std::ranges::any_of(runs_, [](const std::vector<Run>& row) { return !row.empty(); });
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

std::vector<GridCell> ChartEdge::cells_of_rim() const {
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

std::vector<ChartEdge::RimCell> ChartEdge::rim(const HazardField& hazards) const {
    std::vector<RimCell> found;
    for (const GridCell cell : cells_of_rim()) {
        found.push_back({cell, false});
    }
    const std::vector<Effects> effects = uncharted_of(hazards);
    Plane<Effects> bits;
    auto first = found.begin(); // of the rows of tiles that are not yet looked at
    for (const Window tile : tiles_of(extent_)) {
        first = std::ranges::lower_bound(first, found.end(), tile.row, {},
                                         [](const RimCell& of) { return of.cell.row; });
        const Window around = common(grown(tile, 1), extent_);
        bool burnt = false;
        for (auto at = first; at != found.end() && at->cell.row < tile.row_end(); ++at) {
            if (!tile.contains(at->cell.col, at->cell.row)) continue;
            if (!burnt) {
                bits.reset(around, 0);
                hazards.burn(bits, effects);
                burnt = true;
            }
            const Window touching = common({at->cell.col - 1, at->cell.row - 1, 3, 3}, extent_);
            for (int row = touching.row; row < touching.row_end(); ++row) {
                for (int col = touching.col; col < touching.col_end(); ++col) {
                    if ((bits.at(col, row) & effect::uncharted) == 0) at->charted = true;
                }
            }
        }
    }
    return found;
}

void ChartEdge::begin_at(const std::vector<RimCell>& rim, const std::vector<bool>& of_start) {
    for (std::vector<Opener>& row : rim_) {
        row.clear();
    }
    for (std::size_t i = 0; i < rim.size(); ++i) {
        const bool starts = of_start[i];
        rim_[static_cast<std::size_t>(rim[i].cell.row - extent_.row)].push_back(
            {rim[i].cell.col, {starts && rim[i].charted, starts}});
    }
}

void ChartEdge::open_outside(const GroundMetric& metric, int reach, Plane<float>& floor_m) const {
    const Window seen = floor_m.window(), near = common(grown(seen, reach), extent_);
    struct Nearest {
        double squared_m = std::numeric_limits<double>::infinity();
        Opening opens; ///< by all that are so near
    };
    Plane<Nearest> nearest;
    const auto look = [&](const Opener& of_rim, int row) {
        const Window around = common({of_rim.col - reach, row - reach, 2 * reach + 1, 2 * reach + 1}, seen);
        for (int r = around.row; r < around.row_end(); ++r) {
            const CellSize cell = metric.at(std::clamp(r, extent_.row, extent_.row_end() - 1));
            for (int c = around.col; c < around.col_end(); ++c) {
                if (!outside(c, r)) continue;
                const double right_m = (c - of_rim.col) * cell.dx_m, down_m = (r - row) * cell.dy_m;
                const double squared_m = right_m * right_m + down_m * down_m;
                Nearest& known = nearest.at(c, r);
                if (squared_m > known.squared_m) continue;
                const bool nearer = squared_m < known.squared_m;
                known.opens.in_grid = of_rim.opens.in_grid && (nearer || known.opens.in_grid);
                known.opens.beyond_grid = of_rim.opens.beyond_grid && (nearer || known.opens.beyond_grid);
                known.squared_m = squared_m;
            }
        }
    };
    for (int row = near.row; row < near.row_end(); ++row) {
        const std::vector<Opener>& cells = rim_[static_cast<std::size_t>(row - extent_.row)];
        auto at = std::ranges::lower_bound(cells, near.col, {}, &Opener::col);
        for (; at != cells.end() && at->col < near.col_end(); ++at) {
            if (nearest.size() == 0) nearest.reset(seen, Nearest());
            look(*at, row);
        }
    }
    if (nearest.size() == 0) return;
    for (int row = seen.row; row < seen.row_end(); ++row) {
        for (int col = seen.col; col < seen.col_end(); ++col) {
            const Opening opens = nearest.at(col, row).opens;
            const bool open = extent_.contains(col, row) ? opens.in_grid : opens.beyond_grid;
            if (open) floor_m.at(col, row) = infinite;
        }
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
