#include "swingroom/room/passage.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cstddef>
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

/// Levels of some cells of a block from its tree alone.
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

TEST(Passages, ReachEachCellAtTheLevelThatTheSlowSearchFinds) {
    Passages passages;
    for (unsigned seed = 0; seed < scenes; ++seed) {
        PassageScene scene(seed);
        const std::vector<ReachedCell> from = scene.starts();
        Plane<float> reached_m;
        passages.flood(scene.needed_m, from, reached_m);
        const Plane<float> expected = handed_on(scene.needed_m, from);
        for (std::size_t i = 0; i < expected.size(); ++i) {
            ASSERT_EQ(reached_m.data()[i], expected.data()[i]) << "seed " << seed << ", cell " << i;
        }
    }
}

TEST(Passages, OfABlockTellAtWhichLevelAnyTwoOfItsRimHangTogether) {
    Passages passages;
    for (unsigned seed = 0; seed < scenes / 5; ++seed) {
        PassageScene scene(seed);
        const std::vector<GridCell> also = {scene.cell(), scene.cell()};
        const BlockPassages block = passages.of_block(scene.needed_m, also);
        ASSERT_LT(block.links.size(), block.cells.size());
        for (std::size_t start = 0; start < block.cells.size(); ++start) {
            std::vector<float> reached_m(block.cells.size(), never);
            reached_m[start] = block.level_m[start];
            reached_m = along_links(block, reached_m);
            const Plane<float> expected = handed_on(scene.needed_m, {{block.cells[start], -never}});
            for (std::size_t i = 0; i < block.cells.size(); ++i) {
                const auto [col, row] = block.cells[i];
                ASSERT_EQ(reached_m[i], expected.at(col, row))
                    << "seed " << seed << ": " << start << " to " << i;
            }
        }
    }
}

/// Starts inside of blocks are carried up, levels down again, whatever the cut.
TEST(Passages, OfBlocksThatAreJoinedAreThoseOfTheWhole) {
    Passages passages;
    for (unsigned seed = 0; seed < scenes; ++seed) {
        PassageScene scene(seed);
        const Window all = scene.needed_m.window();
        const std::vector<ReachedCell> from = scene.starts();
        std::vector<BlockPassages> parts;
        std::vector<float> at_starts_m;
        const std::vector<Window> blocks = cut(all, 1 + scene.below(all.cols), 1 + scene.below(all.rows));
        for (const Window block : blocks) {
            std::vector<GridCell> within;
            for (const ReachedCell& start : from) {
                if (!block.contains(start.cell.col, start.cell.row)) continue;
                within.push_back(start.cell);
                at_starts_m.push_back(
                    std::max(start.level_m, scene.needed_m.at(start.cell.col, start.cell.row)));
            }
            parts.push_back(passages.of_block(part_of(scene.needed_m, block), within));
        }
        const BlockPassages whole = joined(all, parts);
        std::vector<float> reached_m(whole.cells.size(), never);
        ASSERT_EQ(whole.level_m.size(), whole.cells.size());
        std::copy(at_starts_m.begin(), at_starts_m.end(),
                  reached_m.end() - static_cast<std::ptrdiff_t>(from.size()));
        const auto of_parts = levels_of_parts(whole, along_links(whole, reached_m), parts);
        const Plane<float> expected = handed_on(scene.needed_m, from);
        for (std::size_t part = 0; part < parts.size(); ++part) {
            std::vector<ReachedCell> seeds;
            for (std::size_t i = 0; i < parts[part].cells.size(); ++i) {
                seeds.push_back({parts[part].cells[i], of_parts[part][i]});
            }
            Plane<float> found;
            passages.flood(part_of(scene.needed_m, blocks[part]), seeds, found);
            const Plane<float> there = part_of(expected, blocks[part]);
            for (std::size_t i = 0; i < found.size(); ++i) {
                ASSERT_EQ(found.data()[i], there.data()[i])
                    << "seed " << seed << ", part " << part << ", cell " << i;
            }
        }
    }
}

} // namespace
} // namespace swingroom::testing_support
