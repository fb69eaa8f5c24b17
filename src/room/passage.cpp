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

/// By the upper half of the numbers, a few bits at a time, the lowest first: each pass keeps the order of the
/// one before.
void sort_by_level(std::vector<std::uint64_t>& numbers, std::vector<std::uint64_t>& scratch) {
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

BlockPassages uniform_passages(Window block, float level_m, std::span<const GridCell> also) {
    BlockPassages found;
    found.block = block;
    found.cells = rim_cells(block);
    found.cells.insert(found.cells.end(), also.begin(), also.end());
    found.level_m.assign(found.cells.size(), level_m);
    for (std::uint32_t cell = 1; cell < found.cells.size() && level_m < never; ++cell) {
        found.links.push_back({cell - 1, cell, level_m});
    }
    return found;
}

void Passages::order(const Plane<float>& needed_m) {
    assert(needed_m.size() < none);
    by_level_.clear();
    // Those at the least level are many where all up to it count as that, and are in order as they come.
    const float* const levels_m = needed_m.data();
    const float least_m =
        needed_m.size() > 0 ? *std::min_element(levels_m, levels_m + needed_m.size()) : never;
    above_.clear();
    for (std::uint32_t cell = 0; cell < needed_m.size(); ++cell) {
        const float level_m = levels_m[cell];
        if (!(level_m < never)) continue;
        (level_m == least_m ? by_level_ : above_).push_back(std::uint64_t{in_order(level_m)} << 32 | cell);
    }
    sort_by_level(above_, scratch_);
    by_level_.insert(by_level_.end(), above_.begin(), above_.end());
    parent_.assign(needed_m.size(), none);
    of_pool_.assign(needed_m.size(), none);
}

std::uint32_t Passages::root(std::uint32_t cell) {
    while (parent_[cell] != cell) {
        parent_[cell] = parent_[parent_[cell]]; // halves the way of whoever comes next
        cell = parent_[cell];
    }
    return cell;
}

/// Puts a cell under water, and joins the pools that it connects.
/// @param join  called with the two roots, the first of which is the root of both from then on
template <class Join>
void Passages::wet(std::uint32_t cell, Window block, const Join& join) {
    parent_[cell] = cell;
    const auto cols = static_cast<std::uint32_t>(block.cols);
    const std::uint32_t col = cell % cols;
    const auto meet = [&](std::uint32_t neighbour) {
        if (parent_[neighbour] == none) return;
        const std::uint32_t kept = root(neighbour), gone = root(cell);
        if (kept == gone) return;
        join(kept, gone);
        parent_[gone] = kept;
    };
    if (col > 0) meet(cell - 1);
    if (col + 1 < cols) meet(cell + 1);
    if (cell >= cols) meet(cell - cols);
    if (cell + cols < parent_.size()) meet(cell + cols);
}

BlockPassages Passages::of_block(const Plane<float>& needed_m, std::span<const GridCell> also) {
    const Window block = needed_m.window();
    BlockPassages found;
    found.block = block;
    found.cells = rim_cells(block);
    found.cells.insert(found.cells.end(), also.begin(), also.end());
    order(needed_m);
    std::vector<std::uint32_t>& number_at = last_; // of the first of these cells at a place
    number_at.assign(needed_m.size(), none);
    for (std::uint32_t number = 0; number < found.cells.size(); ++number) {
        const std::uint32_t place = place_in(block, found.cells[number]);
        const float level_m = needed_m.data()[place];
        found.level_m.push_back(level_m);
        if (number_at[place] == none) {
            number_at[place] = number;
        } else if (level_m < never) { // the same cell once more
            found.links.push_back({number_at[place], number, level_m});
        }
    }
    const auto same_cells = static_cast<std::ptrdiff_t>(found.links.size());
    for (const LevelAndCell next : by_level_) {
        const auto cell = static_cast<std::uint32_t>(next);
        of_pool_[cell] = number_at[cell];
        wet(cell, block, [&](std::uint32_t kept, std::uint32_t gone) {
            const std::uint32_t from = of_pool_[kept], to = of_pool_[gone];
            if (from != none && to != none) found.links.push_back({from, to, needed_m.data()[cell]});
            if (from == none) of_pool_[kept] = to;
        });
    }
    const auto lower = [](const BlockPassages::Link& a, const BlockPassages::Link& b) {
        return a.level_m < b.level_m;
    };
    std::stable_sort(found.links.begin(), found.links.begin() + same_cells, lower);
    std::inplace_merge(found.links.begin(), found.links.begin() + same_cells, found.links.end(), lower);
    return found;
}

void Passages::reach(std::uint32_t pool, float level_m, Plane<float>& reached_m) {
    for (std::uint32_t cell = of_pool_[pool]; cell != none; cell = next_[cell]) {
        reached_m.data()[cell] = level_m;
    }
    of_pool_[pool] = none;
}

/// Of each pool, of_pool_ is the first of its cells that wait; none: it is reached, and all that joins it is
/// reached as it does.
void Passages::flood(const Plane<float>& needed_m, std::span<const ReachedCell> from,
                     Plane<float>& reached_m) {
    const Window block = needed_m.window();
    reached_m.reset(block, never);
    order(needed_m);
    next_.assign(needed_m.size(), none);
    last_.resize(needed_m.size());
    std::vector<ReachedCell> sources(from.begin(), from.end());
    for (ReachedCell& source : sources) {
        source.level_m = std::max(source.level_m, needed_m.at(source.cell.col, source.cell.row));
    }
    std::erase_if(sources, [](const ReachedCell& source) { return !(source.level_m < never); });
    std::ranges::sort(sources, {}, &ReachedCell::level_m);
    auto source = sources.begin();
    const auto let_in = [&](float below_m) { // what comes from outside before the water stands so high
        for (; source != sources.end() && source->level_m < below_m; ++source) {
            reach(root(place_in(block, source->cell)), source->level_m, reached_m);
        }
    };
    for (const LevelAndCell next : by_level_) {
        const auto cell = static_cast<std::uint32_t>(next);
        const float level_m = needed_m.data()[cell];
        let_in(level_m);
        of_pool_[cell] = last_[cell] = cell;
        wet(cell, block, [&](std::uint32_t kept, std::uint32_t gone) {
            if (of_pool_[kept] == none || of_pool_[gone] == none) {
                reach(kept, level_m, reached_m);
                reach(gone, level_m, reached_m);
                return;
            }
            next_[last_[kept]] = of_pool_[gone];
            last_[kept] = last_[gone];
        });
    }
    let_in(never);
}

} // namespace swingroom
