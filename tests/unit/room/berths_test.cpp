#include "swingroom/room/berths.hpp"

#include "support/zone_drawing.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>
#include <string>

namespace swingroom {
namespace {

using namespace testing_support;
using Rings = std::vector<std::vector<GridPoint>>;

Rings box(double cols, double rows) { return {{{0, 0}, {cols, 0}, {cols, rows}, {0, rows}, {0, 0}}}; }

/// Cells of a metre.
std::vector<GridCell> berths_m(const Rings& rings, double radius_m, int rows = 2000) {
    return berths(rings, GroundMetric::uniform(rows, 1, 1), radius_m);
}

TEST(Berths, ALoneCellHoldsOneBoat) {
    const auto found = berths_m(box(1, 1), 50);
    ASSERT_EQ(found.size(), 1u);
    EXPECT_EQ(found[0].col, 0);
    EXPECT_EQ(found[0].row, 0);
    EXPECT_TRUE(berths_m({}, 50).empty());
}

TEST(Berths, ACorridorHoldsARow) {
    // From the first centre to the last 100 m: one more than the circles that go into it.
    EXPECT_EQ(berths_m(box(101, 1), 10).size(), 6u);
    EXPECT_EQ(berths_m(box(100, 1), 10).size(), 5u);
    EXPECT_EQ(berths_m(box(1, 101), 10).size(), 6u);
    EXPECT_EQ(berths_m(box(1, 100), 10).size(), 5u);
    // So wide that two rows are just not possible, and just are.
    EXPECT_EQ(berths_m(box(21, 20), 10).size(), 2u + 1u) << "the third between and below the two";
}

TEST(Berths, RowsAreThoseOfAHoneycomb) {
    // 21 places in the first row, 20 in the gaps of the next one 18 m below it (17.3 m, in whole cells), and
    // so on: 400 / 18 rows more.
    const auto found = berths_m(box(401, 401), 10);
    EXPECT_EQ(found.size(), 12u * 21u + 11u * 20u);
}

// The greatest number of points with a mutual distance of 1 in a square of side s: the sides at which one
// more fits are the inverse of the greatest least distance of n points in a unit square, of which those up to
// 9 are proved (Schaer 1965, Schaer and Meir 1965; a table is in Croft, Falconer, Guy, Unsolved Problems in
// Geometry, D1).
TEST(Berths, AreNeverMoreThanTheDensestPackingOfASquare) {
    const double root2 = std::numbers::sqrt2, root3 = std::numbers::sqrt3;
    const std::array<double, 10> greatest_distance = {0,
                                                      std::numeric_limits<double>::infinity(),
                                                      root2,
                                                      std::sqrt(6.0) - root2,
                                                      1,
                                                      root2 / 2,
                                                      std::sqrt(13.0) / 6,
                                                      4 - 2 * root3,
                                                      (std::sqrt(6.0) - root2) / 2,
                                                      0.5};
    for (int side = 1; side < 400; ++side) {
        const std::size_t found = berths_m(box(side + 1, side + 1), 100).size();
        std::size_t most = 1;
        while (most + 1 < greatest_distance.size() && side * greatest_distance[most + 1] >= 200) {
            ++most;
        }
        ASSERT_LE(found, most) << "centres up to " << side << " m apart";
        ASSERT_GE(2 * found, most) << side;
    }
}

TEST(Berths, ADiscHoldsMostOfWhatItCan) {
    // A disc of radius R holds at most so many points a distance d apart as the densest packing of the plane
    // (Thue; Fejes Toth) has in a disc of radius R + d / 2.
    std::vector<GridPoint> ring;
    for (int i = 0; i <= 720; ++i) {
        const double turn = i % 720 * std::numbers::pi / 360;
        ring.push_back({1000 + 900 * std::cos(turn), 1000 + 900 * std::sin(turn)});
    }
    for (const double radius_m : {20.0, 33.0, 60.0, 130.0, 400.0}) {
        const auto found = static_cast<double>(berths_m({ring}, radius_m).size());
        const double densest =
            std::numbers::pi * std::pow(900 + radius_m, 2) / (2 * std::numbers::sqrt3 * radius_m * radius_m);
        EXPECT_LE(found, densest);
        EXPECT_GE(found, 0.7 * densest - 2) << radius_m;
    }
}

class BerthScenes : public testing::TestWithParam<std::uint64_t> {};

TEST_P(BerthScenes, LieInsideAndApartAndLeaveNoRoomForOneMore) {
    Dice dice(GetParam() * 13 + 1);
    const int cols = dice.whole(1, 60), rows = dice.whole(1, 60);
    const Drawing drawing = random_drawing(dice, cols, rows);
    SCOPED_TRACE(text_of(drawing));
    // Cells that shrink from row to row, as towards a pole.
    std::vector<CellSize> sizes;
    const double dx_m = dice.between(0.5, 5), dy_m = dice.between(0.5, 5),
                 less = dice.chance(0.5) ? 0 : dice.between(0, 0.01);
    for (int row = 0; row < rows; ++row) {
        sizes.push_back({dx_m * (1 - less * row), dy_m * (1 - less * row / 2)});
    }
    const GroundMetric metric(sizes);
    const double radius_m = dice.between(0.1, 30);
    for (const Zone& zone : trace(drawing)) {
        const auto found = berths(zone.rings, metric, radius_m);
        ASSERT_GE(found.size(), 1u);
        const auto distance_m = [&](GridCell a, GridCell b) {
            const CellSize cell = metric.least(std::min(a.row, b.row), std::max(a.row, b.row));
            return std::hypot((a.col - b.col) * cell.dx_m, (a.row - b.row) * cell.dy_m);
        };
        for (std::size_t i = 0; i < found.size(); ++i) {
            ASSERT_TRUE(covers_cell(zone.rings, found[i].col, found[i].row));
            for (std::size_t k = 0; k < i; ++k) {
                ASSERT_GE(distance_m(found[i], found[k]), 2 * radius_m);
            }
        }
        if (less > 0) continue; // the metric of a pair may be a little better than that of all that is near
        for (int row = 0; row < rows; ++row) {
            for (int col = 0; col < cols; ++col) {
                if (!covers_cell(zone.rings, col, row)) continue;
                ASSERT_TRUE(std::any_of(found.begin(), found.end(),
                                        [&](GridCell boat) {
                                            return distance_m(boat, {col, row}) < 2 * radius_m;
                                        }))
                    << col << ", " << row << " is free";
            }
        }
    }
}

INSTANTIATE_TEST_SUITE_P(Random, BerthScenes, testing::Range<std::uint64_t>(0, 200));

} // namespace
} // namespace swingroom
