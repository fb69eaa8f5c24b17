#include "overlay/passage_tiers.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <numeric>
#include <random>
#include <ranges>
#include <span>
#include <vector>

// That the levels are the right ones is tried by the property tests, against a search over all cells.

namespace swingroom {
namespace {

constexpr int side = 3; ///< cells of a block
constexpr float never = std::numeric_limits<float>::infinity();

std::vector<std::size_t> counted(std::size_t count) {
    std::vector<std::size_t> numbers(count);
    std::iota(numbers.begin(), numbers.end(), std::size_t{0});
    return numbers;
}

TEST(PassageTiers, HasEachBlockOnceInItsOrder) {
    struct Size {
        std::size_t across, down;
    };
    for (const auto& [across, down] : {Size{1, 1}, Size{1, 5}, Size{7, 3}, Size{100, 70}}) {
        const std::vector<std::size_t> order = PassageTiers(across, down, {}).order();
        std::vector<std::size_t> sorted = order;
        std::ranges::sort(sorted);
        EXPECT_EQ(sorted, counted(across * down)) << across << " x " << down;
        EXPECT_EQ(std::ranges::is_sorted(order), across <= 32) << "row by row where they are few";
    }
}

TEST(PassageTiers, KeepsGroupsTogetherInItsOrder) {
    constexpr std::size_t across = 100, down = 70;
    const std::vector<std::size_t> order = PassageTiers(across, down, {}).order();
    std::vector<std::size_t> place(order.size());
    for (std::size_t i = 0; i < order.size(); ++i) {
        place[order[i]] = i;
    }
    for (std::size_t row = 0; row + 1 < down; row += 2) {
        for (std::size_t col = 0; col + 1 < across; col += 2) {
            const std::size_t first = row * across + col;
            EXPECT_LE(place[first + across + 1] - place[first], 34U) << "not more than a row of 32 later";
        }
    }
}

/// Passable at a few levels, some of them closed; many blocks of one level.
BlockPassages block_of(std::size_t block, std::size_t across, std::mt19937& random) {
    const Window window{static_cast<int>(block % across) * side, static_cast<int>(block / across) * side,
                        side, side};
    const auto some = [&] { return random() % 5 == 0 ? never : static_cast<float>(random() % 4); };
    if (random() % 3 == 0) return uniform_block(window, some());
    Plane<float> needed_m(window, 0);
    std::generate_n(needed_m.data(), needed_m.size(), some);
    const std::vector<GridCell> also = {{window.col + 1, window.row + 1}};
    PassableRuns runs;
    runs.take(needed_m);
    return Passages().of_block(runs, random() % 4 == 0 ? also : std::vector<GridCell>());
}

/// By block, the levels of its nodes that are reached; of a uniform block a single one.
std::vector<std::vector<float>> levels(const std::vector<BlockPassages>& blocks, std::size_t across,
                                       const std::vector<std::size_t>& order, const Spooling& spooling) {
    PassageTiers tiers(across, blocks.size() / across, spooling);
    for (const std::size_t i : order) {
        tiers.add(i, BlockPassages(blocks[i]));
    }
    EXPECT_EQ(tiers.bytes_on_disk() > 0, spooling.in_memory_bytes == 0);
    const std::vector<GridCell> cells = tiers.raster().cell_of_each_node();
    std::vector<ReachedCell> start;
    if (!cells.empty()) {
        start = {{cells.front(), tiers.raster().level_m.front()},
                 {cells.back(), tiers.raster().level_m.back()}};
    }
    std::vector<std::vector<float>> found(blocks.size());
    std::vector<bool> told(blocks.size());
    tiers.hand_down(start, [&](std::size_t block, std::span<const ReachedCell> reached) {
        EXPECT_FALSE(told[block]);
        told[block] = true;
        for (const ReachedCell& cell : reached) {
            found[block].push_back(cell.level_m);
        }
    });
    EXPECT_TRUE(std::ranges::all_of(told, [](bool of) { return of; }));
    return found;
}

TEST(PassageTiers, GiveTheSameInAnyOrderFromMemoryAndFromDisk) {
    for (std::uint32_t trial = 0; trial < 40; ++trial) {
        std::mt19937 random(trial);
        const std::size_t across = 1 + random() % 9, down = 3 + random() % 9;
        std::vector<BlockPassages> blocks;
        for (std::size_t i = 0; i < across * down; ++i) {
            blocks.push_back(block_of(i, across, random));
        }
        std::vector<std::size_t> order = counted(blocks.size());
        const std::vector<std::vector<float>> expected = levels(blocks, across, order, {});
        std::size_t reached = 0;
        for (std::size_t i = 0; i < blocks.size(); ++i) {
            reached += expected[i].size();
            EXPECT_LE(expected[i].size(), blocks[i].level_m.size());
        }
        EXPECT_GT(reached, 0U);
        std::ranges::shuffle(order, random);
        EXPECT_EQ(levels(blocks, across, order, {{}, 0}), expected);
    }
}

} // namespace
} // namespace swingroom
