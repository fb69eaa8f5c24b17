#include "swingroom/room/passage.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cassert>
#include <cmath>
#include <limits>
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

/// How many values in a row are the first one.
std::size_t count_of_first(const float* values, std::size_t count) {
    constexpr std::size_t stretch = 16; // compared at once: most of a long row is
    std::size_t end = 1;
    const auto stretch_is_so = [&] {
        int same = 1;
        for (std::size_t i = 0; i < stretch; ++i) {
            same &= static_cast<int>(values[end + i] == values[0]);
        }
        return same != 0;
    };
    if (end < count && values[end] != values[0]) return end;
    while (end + stretch <= count && stretch_is_so()) {
        end += stretch;
    }
    while (end < count && values[end] == values[0]) {
        ++end;
    }
    return end;
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
    block = needed_m.window();
    runs.clear();
    std::uint32_t place = 0;
    for (int row = block.row; row < block.row_end(); ++row) {
        const float* const levels_m = needed_m.row(row);
        for (int i = 0; i < block.cols;) {
            const float level_m = levels_m[i];
            const int end =
                i + static_cast<int>(count_of_first(levels_m + i, static_cast<std::size_t>(block.cols - i)));
            if (level_m < never) {
                runs.push_back({place + static_cast<std::uint32_t>(i),
                                place + static_cast<std::uint32_t>(end), level_m});
            }
            i = end;
        }
        place += static_cast<std::uint32_t>(block.cols);
    }
}

void Passages::order(const PassableRuns& of) {
    by_level_.clear();
    above_level_.clear();
    // Those at the least level are many where all up to it count as that, and are in order as they come.
    float least_m = never;
    for (const PassableRuns::Run& run : of.runs) {
        least_m = std::min(least_m, run.level_m);
    }
    for (std::uint32_t run = 0; run < of.runs.size(); ++run) {
        const float level_m = of.runs[run].level_m;
        (level_m == least_m ? by_level_ : above_level_)
            .push_back(std::uint64_t{in_order(level_m)} << 32 | run);
    }
    sort_by_level(above_level_, scratch_);
    by_level_.insert(by_level_.end(), above_level_.begin(), above_level_.end());
    find_neighbours(of);
    parent_.assign(of.runs.size(), none);
    of_pool_.assign(of.runs.size(), none);
}

void Passages::find_neighbours(const PassableRuns& of) {
    const auto cols = static_cast<std::uint32_t>(of.block.cols);
    const std::vector<PassableRuns::Run>& runs = of.runs;
    above_.resize(runs.size());
    below_.resize(runs.size());
    std::uint32_t above = 0, below = 0;
    for (std::uint32_t run = 0; run < runs.size(); ++run) {
        while (runs[above].end + cols <= runs[run].first) {
            ++above;
        }
        while (below < runs.size() && runs[below].end <= runs[run].first + cols) {
            ++below;
        }
        above_[run] = above;
        below_[run] = below;
    }
}

std::uint32_t Passages::root(std::uint32_t run) {
    while (parent_[run] != run) {
        parent_[run] = parent_[parent_[run]]; // halves the way of whoever comes next
        run = parent_[run];
    }
    return run;
}

/// Puts a run under water, and joins the pools that it connects.
/// @param join  called with the two roots, the first of which is the root of both from then on
template <class Join>
void Passages::wet(std::uint32_t run, const PassableRuns& of, const Join& join) {
    parent_[run] = run;
    const std::vector<PassableRuns::Run>& runs = of.runs;
    const auto cols = static_cast<std::uint32_t>(of.block.cols);
    const auto [first, end, level_m] = runs[run];
    const auto meet = [&](std::uint32_t neighbour) {
        if (parent_[neighbour] == none) return;
        const std::uint32_t kept = root(neighbour), gone = root(run);
        if (kept == gone) return;
        join(kept, gone);
        parent_[gone] = kept;
    };
    if (run > 0 && runs[run - 1].end == first && first % cols != 0) meet(run - 1);
    if (run + 1 < runs.size() && runs[run + 1].first == end && end % cols != 0) meet(run + 1);
    for (std::uint32_t other = above_[run]; runs[other].first + cols < end; ++other) {
        meet(other);
    }
    for (std::uint32_t other = below_[run]; other < runs.size() && runs[other].first < end + cols; ++other) {
        meet(other);
    }
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
    order(of);
    find_runs_at_cells(of, also);
    node_of_run_.assign(of.runs.size(), none);
    for (const std::uint32_t run : run_at_) {
        if (run != none) node_of_run_[run] = awaited;
    }
    const auto add_node = [&](std::uint32_t run, float level_m) {
        std::uint32_t& of_pool = of_pool_[root(run)];
        if (of_pool == none || found.level_m[of_pool] != level_m) {
            const auto node = static_cast<std::uint32_t>(found.level_m.size());
            found.level_m.push_back(level_m);
            if (of_pool != none) found.links.push_back({of_pool, node, level_m});
            of_pool = node;
        }
        node_of_run_[run] = of_pool;
    };
    for (auto next = by_level_.begin(); next != by_level_.end();) {
        const float level_m = of.runs[static_cast<std::uint32_t>(*next)].level_m;
        const auto first = next;
        for (; next != by_level_.end(); ++next) {
            const auto run = static_cast<std::uint32_t>(*next);
            if (of.runs[run].level_m != level_m) break;
            wet(run, of, [&](std::uint32_t kept, std::uint32_t gone) {
                const std::uint32_t from = of_pool_[kept], to = of_pool_[gone];
                if (from != none && to != none) found.links.push_back({from, to, level_m});
                if (from == none) of_pool_[kept] = to;
            });
        }
        for (auto wetted = first; wetted != next; ++wetted) {
            const auto run = static_cast<std::uint32_t>(*wetted);
            if (node_of_run_[run] == awaited) add_node(run, level_m);
        }
    }
    for (const std::uint32_t run : run_at_) {
        found.node_of.push_back(run == none ? BlockPassages::no_node : node_of_run_[run]);
    }
    found.tidy();
    return found;
}

void Passages::reach(std::uint32_t pool, float level_m) {
    for (std::uint32_t run = of_pool_[pool]; run != none; run = next_[run]) {
        reached_m_[run] = level_m;
    }
    of_pool_[pool] = none;
}

/// Of each pool, of_pool_ is the first of its runs that wait; none: it is reached, and all that joins it is
/// reached as it does.
void Passages::flood(const PassableRuns& of, std::span<const ReachedCell> from, Plane<float>& reached_m) {
    order(of);
    reached_m_.assign(of.runs.size(), never);
    next_.assign(of.runs.size(), none);
    last_.resize(of.runs.size());
    struct Source {
        std::uint32_t run = 0;
        float level_m = 0;
    };
    std::vector<Source> sources;
    for (const ReachedCell& cell : from) {
        const std::uint32_t run = run_at(of, cell.cell);
        if (run == none || !(cell.level_m < never)) continue;
        sources.push_back({run, std::max(cell.level_m, of.runs[run].level_m)});
    }
    std::ranges::sort(sources, {}, &Source::level_m);
    auto source = sources.begin();
    const auto let_in = [&](float below_m) { // what comes from outside before the water stands so high
        for (; source != sources.end() && source->level_m < below_m; ++source) {
            reach(root(source->run), source->level_m);
        }
    };
    for (const LevelAndRun next : by_level_) {
        const auto run = static_cast<std::uint32_t>(next);
        const float level_m = of.runs[run].level_m;
        let_in(level_m);
        of_pool_[run] = last_[run] = run;
        wet(run, of, [&](std::uint32_t kept, std::uint32_t gone) {
            if (of_pool_[kept] == none || of_pool_[gone] == none) {
                reach(kept, level_m);
                reach(gone, level_m);
                return;
            }
            next_[last_[kept]] = of_pool_[gone];
            last_[kept] = last_[gone];
        });
    }
    let_in(never);
    spread(of, never, reached_m);
}

void Passages::spread(const PassableRuns& of, float other_m, Plane<float>& reached_m) const {
    reached_m.reset(of.block, other_m);
    for (std::size_t run = 0; run < of.runs.size(); ++run) {
        std::fill(reached_m.data() + of.runs[run].first, reached_m.data() + of.runs[run].end,
                  reached_m_[run]);
    }
}

/// What hangs together at the lowest level is one node, and reached at one level, if it has a cell of the
/// rim.
void Passages::take_from_rim(const PassableRuns& of, std::span<const ReachedCell> from,
                             Plane<float>& reached_m) {
    constexpr float unknown = std::numeric_limits<float>::quiet_NaN();
    order(of);
    for (const LevelAndRun next : by_level_) {
        wet(static_cast<std::uint32_t>(next), of, [](std::uint32_t, std::uint32_t) {});
    }
    reached_m_.assign(of.runs.size(), unknown); // what stands at the root of a pool counts for all of it
    const auto cols = static_cast<std::uint32_t>(of.block.cols),
               last_row = static_cast<std::uint32_t>(of.block.cells()) - cols;
    for (std::uint32_t run = 0; run < of.runs.size(); ++run) {
        const auto [first, end, level_m] = of.runs[run];
        const bool on_rim = first < cols || first >= last_row || first % cols == 0 || end % cols == 0;
        if (on_rim) reached_m_[root(run)] = never;
    }
    for (const ReachedCell& cell : from) {
        const std::uint32_t run = run_at(of, cell.cell);
        if (run != none) reached_m_[root(run)] = cell.level_m;
    }
    for (std::uint32_t run = 0; run < of.runs.size(); ++run) {
        reached_m_[run] = reached_m_[root(run)];
    }
    spread(of, unknown, reached_m);
}

} // namespace swingroom
