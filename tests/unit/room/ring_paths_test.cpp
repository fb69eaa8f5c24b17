#include "swingroom/room/zones.hpp"

#include "room/ring_paths.hpp"
#include "support/drawing.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cstdint>
#include <deque>
#include <optional>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

using testing::ElementsAreArray;
using testing_support::Dice;

std::vector<std::int64_t> read(Steps&& steps) {
    std::vector<std::int64_t> cells;
    for_each_step(std::move(steps).packed(), [&](std::int64_t step) { cells.push_back(step); });
    return cells;
}

/// Of any size, small ones as often as large ones.
int any_step(Dice& dice) {
    const int size = dice.whole(0, 2'000'000'000) >> dice.whole(0, 31);
    return dice.chance(0.5) ? size : -size;
}

TEST(Steps, TakeAByteEachUnlessTheyAreLong) {
    Steps steps;
    for (const int cells : {1, -1, 63, -64, 0}) {
        steps.append(cells);
    }
    EXPECT_EQ(std::move(steps).packed().size(), 5U);
    Steps long_ones;
    long_ones.append(64);
    long_ones.prepend(-65);
    EXPECT_EQ(std::move(long_ones).packed().size(), 4U);
}

// Against a list of numbers.
TEST(Steps, GrowAtBothEndsAndIntoEachOther) {
    for (std::uint64_t seed = 0; seed < 200; ++seed) {
        SCOPED_TRACE(seed);
        Dice dice(seed);
        std::vector<Steps> all(4);
        std::vector<std::deque<std::int64_t>> meant(4);
        for (int turn = 0; turn < 60; ++turn) {
            const auto one = static_cast<std::size_t>(dice.whole(0, 3)),
                       other = static_cast<std::size_t>(dice.whole(0, 3));
            const int cells = any_step(dice);
            if (dice.chance(0.45)) {
                all[one].append(cells);
                meant[one].push_back(cells);
            } else if (dice.chance(0.8)) {
                all[one].prepend(cells);
                meant[one].push_front(cells);
            } else if (one != other) {
                all[one].append(std::move(all[other]));
                meant[one].insert(meant[one].end(), meant[other].begin(), meant[other].end());
                all[other] = {};
                meant[other].clear();
            }
        }
        for (std::size_t i = 0; i < all.size(); ++i) {
            EXPECT_THAT(read(std::move(all[i])), ElementsAreArray(meant[i]));
        }
    }
}

// A block of two by two cells, entered in both rows: two sides begin, and the line below closes the ring.
TEST(RingPaths, CloseARingWhereItsSidesEnd) {
    RingPaths paths;
    const RingPaths::Side left = paths.begin_side(3), right = paths.begin_side(5);
    EXPECT_FALSE(paths.link(left, right, 7).has_value());
    const std::optional<PackedRing> ring = paths.link(right, left, 9);
    ASSERT_TRUE(ring.has_value());
    EXPECT_THAT(ring->corners(),
                ElementsAreArray(std::vector<GridPoint>{{3, 7}, {5, 7}, {5, 9}, {3, 9}, {3, 7}}));
    EXPECT_EQ(ring->steps.size(), 4U);
}

// The largest raster that there may be has 2e9 cells a side.
TEST(RingPaths, HoldRastersOfAnySize) {
    std::vector<Zone> zones;
    ZoneTracer tracer(
        1'999'999'998, [](int) { return 1.0; }, [&](Zone&& zone) { zones.push_back(std::move(zone)); });
    const swingroom::Run wide{0, 2'000'000'000, Verdict::full, {}, false},
        narrow{1'999'999'999, 2'000'000'000, Verdict::full, {}, false};
    tracer.add_row({&wide, 1});
    tracer.add_row({&narrow, 1});
    tracer.finish();
    ASSERT_EQ(zones.size(), 1U);
    EXPECT_THAT(zones[0].rings,
                testing::ElementsAre(ElementsAreArray(std::vector<GridPoint>{{0, 1'999'999'998},
                                                                             {2e9, 1'999'999'998},
                                                                             {2e9, 2e9},
                                                                             {1'999'999'999, 2e9},
                                                                             {1'999'999'999, 1'999'999'999},
                                                                             {0, 1'999'999'999},
                                                                             {0, 1'999'999'998}})));
}

} // namespace
} // namespace swingroom
