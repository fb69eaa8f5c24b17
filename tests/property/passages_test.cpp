#include "swingroom/room/passage.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <random>
#include <utility>
#include <vector>

// Ways over rising water against the plainest search that there is: levels are handed on from cell to cell
// until nothing changes any more.

namespace swingroom::testing_support {
namespace {

constexpr float never = std::numeric_limits<float>::infinity();

/// A small sea of few different levels, so that many are equal, with cells that no water makes passable.
struct PassageScene {
    explicit PassageScene(unsigned seed) : dice(seed) {
        needed_m.reset({3, -2, 1 + below(11), 1 + below(11)});
        for (std::size_t i = 0; i < needed_m.size(); ++i) {
            needed_m.data()[i] = below(8) == 0 ? never : level();
        }
    }
    int below(int end) { return static_cast<int>(dice() % static_cast<unsigned>(end)); }
    float level() { return static_cast<float>(below(13) - 6) / 4; }
    GridCell cell() {
        const Window all = needed_m.window();
        return {all.col + below(all.cols), all.row + below(all.rows)};
    }
    std::vector<ReachedCell> starts() {
        std::vector<ReachedCell> cells;
        for (int i = below(4); i > 0; --i) {
            cells.push_back({cell(), below(4) == 0 ? never : level()});
        }
        return cells;
    }

    std::mt19937 dice;
    Plane<float> needed_m;
};

Plane<float> handed_on(const Plane<float>& needed_m, const std::vector<ReachedCell>& from) {
    const Window all = needed_m.window();
    Plane<float> reached_m(all, never);
    const auto lower = [&](int col, int row, float level_m) {
        float& at = reached_m.at(col, row);
        level_m = std::max(level_m, needed_m.at(col, row));
        if (!(level_m < at)) return false;
        at = level_m;
        return true;
    };
    for (const ReachedCell& start : from) {
        lower(start.cell.col, start.cell.row, start.level_m);
    }
    constexpr std::array<GridCell, 4> steps = {{{1, 0}, {-1, 0}, {0, 1}, {0, -1}}};
    for (bool changes = true; changes;) {
        changes = false;
        for (int row = all.row; row < all.row_end(); ++row) {
            for (int col = all.col; col < all.col_end(); ++col) {
                for (const auto [right, down] : steps) {
                    if (!all.contains(col + right, row + down)) continue;
                    changes = lower(col, row, reached_m.at(col + right, row + down)) || changes;
                }
            }
        }
    }
    return reached_m;
}

std::vector<Window> cut(Window all, int cols, int rows) {
    std::vector<Window> blocks;
    for (int row = all.row; row < all.row_end(); row += rows) {
        for (int col = all.col; col < all.col_end(); col += cols) {
            blocks.push_back(common(all, {col, row, cols, rows}));
        }
    }
    return blocks;
}

Plane<float> part_of(const Plane<float>& plane, Window block) {
    Plane<float> part(block);
    for (int row = block.row; row < block.row_end(); ++row) {
        std::copy_n(plane.row(row) + (block.col - plane.window().col), block.cols, part.row(row));
    }
    return part;
}

PassableRuns runs_of(const Plane<float>& needed_m) {
    PassableRuns runs;
    runs.take(needed_m);
    return runs;
}

/// Those at the lowest level that there is.
PassableRuns lowest_of(PassableRuns runs) {
    float lowest_m = never;
    for (const PassableRuns::Run& run : runs.runs) {
        lowest_m = std::min(lowest_m, run.level_m);
    }
    std::erase_if(runs.runs, [lowest_m](const PassableRuns::Run& run) { return run.level_m > lowest_m; });
    return runs;
}

/// What is known by them is what is expected, and all along the rim is known.
/// @returns how many cells are not
int expect_from_rim(const PassableRuns& lowest, const Plane<float>& found, const Plane<float>& expected) {
    int unknown = 0;
    for (std::size_t i = 0; i < found.size(); ++i) {
        const bool known = !std::isnan(found.data()[i]);
        if (known) {
            EXPECT_EQ(found.data()[i], expected.data()[i]) << "cell " << i;
        }
        unknown += known ? 0 : 1;
    }
    const Window block = lowest.block;
    for (const PassableRuns::Run& run : lowest.runs) {
        for (std::uint32_t cell = run.first; cell < run.end; ++cell) {
            const int col = static_cast<int>(cell) % block.cols, row = static_cast<int>(cell) / block.cols;
            const bool on_rim = col == 0 || row == 0 || col + 1 == block.cols || row + 1 == block.rows;
            EXPECT_FALSE(on_rim && std::isnan(found.data()[cell])) << "cell " << cell;
        }
    }
    return unknown;
}

std::vector<GridCell> cells_of(const BlockPassages& block) {
    std::vector<GridCell> cells = rim_cells(block.block);
    cells.insert(cells.end(), block.also.begin(), block.also.end());
    return cells;
}

/// Levels of the nodes of a block from its tree alone.
std::vector<float> along_links(const BlockPassages& block, std::vector<float> reached_m) {
    for (bool changes = true; changes;) {
        changes = false;
        for (const BlockPassages::Link& link : block.links) {
            for (const auto& [from, to] : {std::pair(link.from, link.to), std::pair(link.to, link.from)}) {
                const float level_m = std::max(reached_m[from], link.level_m);
                if (!(level_m < reached_m[to])) continue;
                reached_m[to] = level_m;
                changes = true;
            }
        }
    }
    return reached_m;
}

constexpr unsigned scenes = 1500;

/// Of rows as long as those of blocks, most of whose cells are as those beside them.
TEST(PassableRuns, AreAsLongAsCellsOfARowAreTheSame) {
    PassageScene scene(1);
    for (int attempt = 0; attempt < 50; ++attempt) {
        Plane<float> needed_m({5, 7, 1 + scene.below(300), 3});
        for (int row = 7; row < 10; ++row) {
            for (int i = 0, same = 0; i < needed_m.window().cols; ++i, --same) {
                const float level_m = scene.below(3) == 0 ? never : scene.level();
                if (same == 0) same = 1 + scene.below(scene.below(4) == 0 ? 120 : 3);
                needed_m.row(row)[i] = same > 1 && i > 0 ? needed_m.row(row)[i - 1] : level_m;
            }
        }
        std::vector<PassableRuns::Run> expected;
        for (std::uint32_t cell = 0; cell < needed_m.size(); ++cell) {
            const float level_m = needed_m.data()[cell];
            const bool goes_on = !expected.empty() && expected.back().end == cell &&
                                 expected.back().level_m == level_m &&
                                 cell % static_cast<std::uint32_t>(needed_m.window().cols) != 0;
            if (goes_on) {
                ++expected.back().end;
            } else if (level_m < never) {
                expected.push_back({cell, cell + 1, level_m});
            }
        }
        const PassableRuns found = runs_of(needed_m);
        ASSERT_EQ(found.runs.size(), expected.size());
        for (std::size_t i = 0; i < expected.size(); ++i) {
            EXPECT_EQ(found.runs[i].first, expected[i].first);
            EXPECT_EQ(found.runs[i].end, expected[i].end);
            EXPECT_EQ(found.runs[i].level_m, expected[i].level_m);
        }
    }
}

TEST(Passages, ReachEachCellAtTheLevelThatTheSlowSearchFinds) {
    Passages passages;
    for (unsigned seed = 0; seed < scenes; ++seed) {
        PassageScene scene(seed);
        const std::vector<ReachedCell> from = scene.starts();
        Plane<float> reached_m;
        passages.flood(runs_of(scene.needed_m), from, reached_m);
        const Plane<float> expected = handed_on(scene.needed_m, from);
        for (std::size_t i = 0; i < expected.size(); ++i) {
            ASSERT_EQ(reached_m.data()[i], expected.data()[i]) << "seed " << seed << ", cell " << i;
        }
    }
}

TEST(Passages, OfABlockTellAtWhichLevelAnyTwoOfItsRimHangTogether) {
    Passages passages;
    std::size_t together = 0, nodes = 0;
    for (unsigned seed = 0; seed < scenes / 5; ++seed) {
        PassageScene scene(seed);
        const std::vector<GridCell> also = {scene.cell(), scene.cell()};
        const BlockPassages block = passages.of_block(runs_of(scene.needed_m), also);
        ASSERT_LE(block.links.size() + (block.level_m.empty() ? 0 : 1), block.level_m.size());
        const std::vector<GridCell> cells = cells_of(block);
        ASSERT_EQ(cells.size(), block.cells());
        const std::vector<GridCell> first = block.cell_of_each_node();
        nodes += first.size();
        for (std::size_t start = 0; start < cells.size(); ++start) {
            std::vector<float> reached_m(block.level_m.size(), never);
            const std::uint32_t own = block.node(start);
            const Plane<float> expected = handed_on(scene.needed_m, {{cells[start], -never}});
            if (own != BlockPassages::no_node) {
                reached_m[own] = block.level_m[own];
                reached_m = along_links(block, reached_m);
            }
            for (std::size_t i = 0; i < cells.size(); ++i) {
                const std::uint32_t node = block.node(i);
                const auto [col, row] = cells[i];
                ASSERT_EQ(node == BlockPassages::no_node ? never : reached_m[node], expected.at(col, row))
                    << "seed " << seed << ": " << start << " to " << i;
                together += node != BlockPassages::no_node && node == own && i != start ? 1 : 0;
            }
            if (own != BlockPassages::no_node) {
                ASSERT_EQ(block.level_m[own], scene.needed_m.at(first[own].col, first[own].row));
            }
        }
    }
    EXPECT_GT(together, nodes) << "nodes of several cells";
}

/// Starts inside of blocks are carried up, levels down again, whatever the cut.
TEST(Passages, OfBlocksThatAreJoinedAreThoseOfTheWhole) {
    Passages passages;
    std::int64_t cells_of_parts = 0, unknown_from_rim = 0;
    for (unsigned seed = 0; seed < scenes; ++seed) {
        PassageScene scene(seed);
        const Window all = scene.needed_m.window();
        const std::vector<ReachedCell> from = scene.starts();
        std::vector<BlockPassages> parts;
        std::vector<ReachedCell> entered;
        const std::vector<Window> blocks = cut(all, 1 + scene.below(all.cols), 1 + scene.below(all.rows));
        for (const Window block : blocks) {
            std::vector<GridCell> within;
            for (const ReachedCell& start : from) {
                if (!block.contains(start.cell.col, start.cell.row)) continue;
                within.push_back(start.cell);
                entered.push_back(
                    {start.cell, std::max(start.level_m, scene.needed_m.at(start.cell.col, start.cell.row))});
            }
            parts.push_back(passages.of_block(runs_of(part_of(scene.needed_m, block)), within));
        }
        // By the whole's tree alone first, then down to the parts from its nodes.
        const BlockPassages whole = joined(all, parts);
        const std::vector<GridCell> cells = cells_of(whole), first = whole.cell_of_each_node();
        std::vector<float> reached_m(whole.level_m.size(), never);
        for (std::size_t i = 0; i < entered.size(); ++i) {
            const std::uint32_t node = whole.node(cells.size() - entered.size() + i);
            if (node == BlockPassages::no_node) continue;
            reached_m[node] = std::min(reached_m[node], entered[i].level_m);
        }
        reached_m = along_links(whole, reached_m);
        std::vector<ReachedCell> of_whole;
        for (std::size_t node = 0; node < first.size(); ++node) {
            of_whole.push_back({first[node], reached_m[node]});
        }
        const auto of_parts = reached_in_parts(of_whole, parts);
        const Plane<float> expected = handed_on(scene.needed_m, from);
        for (std::size_t part = 0; part < parts.size(); ++part) {
            Plane<float> found;
            passages.flood(runs_of(part_of(scene.needed_m, blocks[part])), of_parts[part], found);
            const Plane<float> there = part_of(expected, blocks[part]);
            for (std::size_t i = 0; i < found.size(); ++i) {
                ASSERT_EQ(found.data()[i], there.data()[i])
                    << "seed " << seed << ", part " << part << ", cell " << i;
            }
            const PassableRuns lowest = lowest_of(runs_of(part_of(scene.needed_m, blocks[part])));
            passages.take_from_rim(lowest, of_parts[part], found);
            unknown_from_rim += expect_from_rim(lowest, found, there);
            cells_of_parts += static_cast<std::int64_t>(found.size());
            ASSERT_FALSE(HasFailure()) << "seed " << seed << ", part " << part;
        }
    }
    EXPECT_GT(unknown_from_rim, cells_of_parts / 10);
    EXPECT_LT(unknown_from_rim, cells_of_parts * 9 / 10);
}

} // namespace
} // namespace swingroom::testing_support
