#include "swingroom/room/passage.hpp"

#include "room/vectorised.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cassert>
#include <cmath>
#include <limits>
#include <numeric>
#include <ranges>

namespace swingroom {
namespace {

constexpr std::uint32_t none = std::numeric_limits<std::uint32_t>::max();
constexpr float never = std::numeric_limits<float>::infinity();

/// What is known of a run that a cell is asked about in, until it has a node.
constexpr std::uint32_t awaited = none - 1;

/// Integers in the order of the floats.
std::uint32_t in_order(float level_m) {
    const auto bits = std::bit_cast<std::uint32_t>(level_m);
    constexpr std::uint32_t sign = 1U << 31;
    return (bits & sign) != 0 ? ~bits : bits | sign;
}

std::uint32_t place_in(Window block, GridCell cell) {
    return static_cast<std::uint32_t>(cell.row - block.row) * static_cast<std::uint32_t>(block.cols) +
           static_cast<std::uint32_t>(cell.col - block.col);
}

/// The run that a cell is in; none where it cannot be passed.
std::uint32_t run_at(const PassableRuns& of, GridCell cell) {
    const std::uint32_t place = place_in(of.block, cell);
    const auto found = std::ranges::upper_bound(of.runs, place, {}, &PassableRuns::Run::end);
    if (found == of.runs.end() || found->first > place) return none;
    return static_cast<std::uint32_t>(found - of.runs.begin());
}

/// By the upper half of the numbers, a few bits at a time, the lowest first: each pass keeps the order of the
/// one before.
void sort_by_level(std::vector<std::uint64_t>& numbers, std::vector<std::uint64_t>& scratch) {
    constexpr std::size_t few = 2000; // for which counting takes longer
    if (numbers.size() < few) {
        std::ranges::sort(numbers); // those of a level by their lower half, as they come
        return;
    }
    constexpr int bits = 11, passes = 3; // 33 of 32
    scratch.resize(numbers.size());
    for (int pass = 0; pass < passes; ++pass) {
        const int shift = 32 + bits * pass;
        const auto digit = [shift](std::uint64_t number) { return (number >> shift) & ((1U << bits) - 1); };
        std::array<std::size_t, (1U << bits) + 1> begin{};
        for (const std::uint64_t number : numbers) {
            ++begin[digit(number) + 1];
        }
        for (std::size_t i = 1; i < begin.size(); ++i) {
            begin[i] += begin[i - 1];
        }
        for (const std::uint64_t number : numbers) {
            scratch[begin[digit(number)]++] = number;
        }
        numbers.swap(scratch);
    }
}

/// Calls `meet` with each two runs of which cells share an edge, the later one first.
template <class Meet>
void each_meeting(const PassableRuns& of, const Meet& meet) {
    const std::vector<PassableRuns::Run>& runs = of.runs;
    const auto cols = static_cast<std::uint32_t>(of.block.cols);
    std::uint32_t above = 0, row = 0; // what may touch it in the row before; the first cell of its own
    for (std::uint32_t run = 0; run < runs.size(); ++run) {
        const auto [first, end, level_m] = runs[run];
        while (row + cols <= first) {
            row += cols;
        }
        if (first != row && run > 0 && runs[run - 1].end == first) meet(run, run - 1);
        while (runs[above].end + cols <= first) {
            ++above;
        }
        for (std::uint32_t other = above; runs[other].first + cols < end; ++other) {
            meet(run, other);
        }
    }
}

/// How many of the first values are this one.
SWINGROOM_VECTORISED std::uint32_t count_of(float value, const float* values, std::uint32_t count) {
    constexpr std::uint32_t stretch = 32; // compared at once, a bit for each
    std::uint32_t found = 0;
    for (; found + stretch <= count; found += stretch) {
        const float* const at = values + found;
        std::uint32_t others = 0;
        for (std::uint32_t i = 0; i < stretch; ++i) {
            others |= static_cast<std::uint32_t>(at[i] != value) << i;
        }
        if (others != 0) return found + static_cast<std::uint32_t>(std::countr_zero(others));
    }
    while (found < count && values[found] == value) {
        ++found;
    }
    return found;
}

} // namespace

std::vector<GridCell> rim_cells(Window block) {
    std::vector<GridCell> cells;
    for (int row = block.row; row < block.row_end(); ++row) {
        const bool edge = row == block.row || row == block.row_end() - 1;
        const int step = edge ? 1 : std::max(1, block.cols - 1);
        for (int col = block.col; col < block.col_end(); col += step) {
            cells.push_back({col, row});
        }
    }
    return cells;
}

std::size_t rim_size(Window block) {
    const auto cols = static_cast<std::size_t>(block.cols), rows = static_cast<std::size_t>(block.rows);
    if (rows <= 2) return cols * rows;
    return 2 * cols + (rows - 2) * std::min<std::size_t>(2, cols);
}

void PassableRuns::take(const Plane<float>& needed_m) {
    assert(needed_m.size() < none);
    begin(needed_m.window());
    for (int row = block.row; row < block.row_end(); ++row) {
        take_row(row, needed_m.row(row));
    }
}

void PassableRuns::take(Window of_block, float needed_m) {
    begin(of_block);
    if (!(needed_m < never)) return;
    for (int row = block.row; row < block.row_end(); ++row) {
        const std::uint32_t first = place_in(block, {block.col, row});
        runs.push_back({first, first + static_cast<std::uint32_t>(block.cols), needed_m});
    }
}

void PassableRuns::begin(Window of_block) {
    block = of_block;
    runs.clear();
}

void PassableRuns::take_row(int row, const float* needed_m) {
    const auto cols = static_cast<std::uint32_t>(block.cols);
    const std::uint32_t first = place_in(block, {block.col, row});
    for (std::uint32_t i = 0; i < cols;) {
        const float level_m = needed_m[i];
        std::uint32_t end = i + 1;
        if (end < cols && needed_m[end] == level_m) end += count_of(level_m, needed_m + end, cols - end);
        if (level_m < never) runs.push_back({first + i, first + end, level_m});
        i = end;
    }
}

/// Water runs off from each run to one beside it that is lower, down to where there is none: what it reaches
/// there is a basin, and all that drains to it is connected with it as soon as it is under water.
void Passages::find_basins(const PassableRuns& of) {
    const std::vector<PassableRuns::Run>& runs = of.runs;
    parent_.resize(runs.size());
    std::iota(parent_.begin(), parent_.end(), 0U);
    const auto drain = [&](std::uint32_t run, std::uint32_t to) { // unless it drains elsewhere
        if (runs[parent_[run]].level_m < runs[run].level_m) return;
        const std::uint32_t lowest = root(run);
        if (runs[lowest].level_m != runs[run].level_m) return;
        const std::uint32_t outlet = root(to);
        if (lowest != outlet) parent_[lowest] = outlet;
    };
    each_meeting(of, [&](std::uint32_t run, std::uint32_t other) {
        if (runs[run].level_m >= runs[other].level_m) drain(run, other);
        if (runs[run].level_m <= runs[other].level_m) drain(other, run);
    });
    basin_of_.assign(runs.size(), none);
    basins_ = 0;
    for (auto run = static_cast<std::uint32_t>(runs.size()); run-- > 0;) {
        std::uint32_t& of_lowest = basin_of_[root(run)];
        if (of_lowest == none) of_lowest = basins_++;
        basin_of_[run] = of_lowest;
    }
}

/// Where two basins meet, the lowest first; from then on no basin has joined another.
void Passages::find_saddles(const PassableRuns& of) {
    saddles_.clear();
    by_level_.clear();
    each_meeting(of, [&](std::uint32_t run, std::uint32_t other) {
        const std::uint32_t from = basin_of_[run], to = basin_of_[other];
        if (from == to) return;
        const float level_m = std::max(of.runs[run].level_m, of.runs[other].level_m);
        by_level_.push_back(std::uint64_t{in_order(level_m)} << 32 | saddles_.size());
        saddles_.push_back({from, to, level_m});
    });
    sort_by_level(by_level_, scratch_);
    parent_.resize(basins_);
    std::iota(parent_.begin(), parent_.end(), 0U);
}

std::uint32_t Passages::root(std::uint32_t at) {
    while (parent_[at] != at) {
        parent_[at] = parent_[parent_[at]]; // halves the way of whoever comes next
        at = parent_[at];
    }
    return at;
}

/// Joins the pools that a saddle connects, if it is the first to do so.
/// @param join  called with the two roots, the first of which is the root of both from then on
template <class Join>
void Passages::overflow(const BlockPassages::Link& saddle, const Join& join) {
    const std::uint32_t kept = root(saddle.from), gone = root(saddle.to);
    if (kept == gone) return;
    join(kept, gone);
    parent_[gone] = kept;
}

void Passages::find_runs_at_cells(const PassableRuns& of, std::span<const GridCell> also) {
    run_at_.clear();
    std::uint32_t run = 0;
    const auto take = [&](std::uint32_t place) {
        while (run < of.runs.size() && of.runs[run].end <= place) {
            ++run;
        }
        run_at_.push_back(run < of.runs.size() && of.runs[run].first <= place ? run : none);
    };
    const Window block = of.block;
    std::uint32_t place = 0;
    for (int row = 0; row < block.rows; ++row) {
        const bool edge = row == 0 || row == block.rows - 1;
        const int step = edge ? 1 : std::max(1, block.cols - 1);
        for (int col = 0; col < block.cols; col += step) {
            take(place + static_cast<std::uint32_t>(col));
        }
        place += static_cast<std::uint32_t>(block.cols);
    }
    for (const GridCell cell : also) {
        run_at_.push_back(swingroom::run_at(of, cell));
    }
}

/// Of each pool, of_pool_ is one of its nodes, the last that was made in it or in one that it has joined.
BlockPassages Passages::of_block(const PassableRuns& of, std::span<const GridCell> also) {
    BlockPassages found;
    found.block = of.block;
    found.also.assign(also.begin(), also.end());
    find_basins(of);
    find_saddles(of);
    find_runs_at_cells(of, also);
    std::vector<LevelAndNumber> asked; // runs
    node_of_run_.assign(of.runs.size(), none);
    for (const std::uint32_t run : run_at_) {
        if (run == none || node_of_run_[run] == awaited) continue;
        node_of_run_[run] = awaited;
        asked.push_back(std::uint64_t{in_order(of.runs[run].level_m)} << 32 | run);
    }
    std::ranges::sort(asked);
    of_pool_.assign(basins_, none);
    auto next = by_level_.begin();
    const auto rise_to = [&](float level_m) {
        for (; next != by_level_.end(); ++next) {
            const BlockPassages::Link& saddle = saddles_[static_cast<std::uint32_t>(*next)];
            if (saddle.level_m > level_m) break;
            overflow(saddle, [&](std::uint32_t kept, std::uint32_t gone) {
                const std::uint32_t from = of_pool_[kept], to = of_pool_[gone];
                if (from != none && to != none) found.links.push_back({from, to, saddle.level_m});
                if (from == none) of_pool_[kept] = to;
            });
        }
    };
    for (const LevelAndNumber of_asked : asked) {
        const auto run = static_cast<std::uint32_t>(of_asked);
        const float level_m = of.runs[run].level_m;
        rise_to(level_m);
        std::uint32_t& of_pool = of_pool_[root(basin_of_[run])];
        if (of_pool == none || found.level_m[of_pool] != level_m) {
            const auto node = static_cast<std::uint32_t>(found.level_m.size());
            found.level_m.push_back(level_m);
            if (of_pool != none) found.links.push_back({of_pool, node, level_m});
            of_pool = node;
        }
        node_of_run_[run] = of_pool;
    }
    rise_to(never);
    for (const std::uint32_t run : run_at_) {
        found.node_of.push_back(run == none ? BlockPassages::no_node : node_of_run_[run]);
    }
    found.tidy();
    return found;
}

void Passages::reach(std::uint32_t pool, float level_m) {
    for (std::uint32_t basin = of_pool_[pool]; basin != none; basin = next_[basin]) {
        reached_m_[basin] = level_m;
    }
    of_pool_[pool] = none;
}

/// Of each pool, of_pool_ is the first of its basins that wait; none: it is reached, and all that joins it is
/// reached as it does. A run is reached as its basin is, but not before it is under water.
void Passages::flood(const PassableRuns& of, std::span<const ReachedCell> from, Plane<float>& reached_m) {
    find_basins(of);
    find_saddles(of);
    reached_m_.assign(basins_, never);
    next_.assign(basins_, none);
    last_.resize(basins_);
    std::iota(last_.begin(), last_.end(), 0U);
    of_pool_ = last_;
    struct Source {
        std::uint32_t basin = 0;
        float level_m = 0;
    };
    std::vector<Source> sources;
    for (const ReachedCell& cell : from) {
        const std::uint32_t run = run_at(of, cell.cell);
        if (run == none || !(cell.level_m < never)) continue;
        sources.push_back({basin_of_[run], std::max(cell.level_m, of.runs[run].level_m)});
    }
    std::ranges::sort(sources, {}, &Source::level_m);
    auto source = sources.begin();
    const auto let_in = [&](float below_m) { // what comes from outside before the water stands so high
        for (; source != sources.end() && source->level_m < below_m; ++source) {
            reach(root(source->basin), source->level_m);
        }
    };
    for (const LevelAndNumber next : by_level_) {
        const BlockPassages::Link& saddle = saddles_[static_cast<std::uint32_t>(next)];
        let_in(saddle.level_m);
        overflow(saddle, [&](std::uint32_t kept, std::uint32_t gone) {
            if (of_pool_[kept] == none || of_pool_[gone] == none) {
                reach(kept, saddle.level_m);
                reach(gone, saddle.level_m);
                return;
            }
            next_[last_[kept]] = of_pool_[gone];
            last_[kept] = last_[gone];
        });
    }
    let_in(never);
    reached_m.reset(of.block, never);
    for (std::size_t run = 0; run < of.runs.size(); ++run) {
        const auto [first, end, level_m] = of.runs[run];
        std::fill(reached_m.data() + first, reached_m.data() + end,
                  std::max(level_m, reached_m_[basin_of_[run]]));
    }
}

/// What hangs together at the lowest level is one basin and one node, and reached at one level, if it has a
/// cell of the rim.
void Passages::take_from_rim(const PassableRuns& of, std::span<const ReachedCell> from,
                             Plane<float>& reached_m) {
    constexpr float unknown = std::numeric_limits<float>::quiet_NaN();
    find_basins(of);
    reached_m_.assign(basins_, unknown);
    const auto cols = static_cast<std::uint32_t>(of.block.cols),
               last_row = static_cast<std::uint32_t>(of.block.cells()) - cols;
    for (std::uint32_t run = 0; run < of.runs.size(); ++run) {
        const auto [first, end, level_m] = of.runs[run];
        const bool on_rim = first < cols || first >= last_row || first % cols == 0 || end % cols == 0;
        if (on_rim) reached_m_[basin_of_[run]] = never;
    }
    for (const ReachedCell& cell : from) {
        const std::uint32_t run = run_at(of, cell.cell);
        if (run != none) reached_m_[basin_of_[run]] = cell.level_m;
    }
    reached_m.reset(of.block, unknown);
    for (std::size_t run = 0; run < of.runs.size(); ++run) {
        std::fill(reached_m.data() + of.runs[run].first, reached_m.data() + of.runs[run].end,
                  reached_m_[basin_of_[run]]);
    }
}

} // namespace swingroom
