#include "swingroom/base/rounding.hpp"
#include "swingroom/room/distance.hpp"

#include "support/drawing.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <ostream>
#include <string>
#include <vector>

namespace swingroom {
namespace {

using testing_support::Dice;
using testing_support::draw;
using testing_support::Drawing;
using testing_support::text_of;

using Unsafe = Plane<std::uint8_t>;

/// Unsafe cells of a raster, with what lies around it marked unsafe or left open.
struct Mask {
    int cols = 0, rows = 0;
    std::vector<std::uint8_t> bits;
    std::uint8_t outside = unsafe::hull | unsafe::ground;

    Mask(int columns, int lines)
        : cols(columns), rows(lines),
          bits(static_cast<std::size_t>(columns) * static_cast<std::size_t>(lines), std::uint8_t{0}) {}
    std::uint8_t& at(int col, int row) {
        return bits[static_cast<std::size_t>(row) * static_cast<std::size_t>(cols) +
                    static_cast<std::size_t>(col)];
    }
    [[nodiscard]] std::uint8_t look(int col, int row) const {
        if (col < 0 || row < 0 || col >= cols || row >= rows) return outside;
        return bits[static_cast<std::size_t>(row) * static_cast<std::size_t>(cols) +
                    static_cast<std::size_t>(col)];
    }
    [[nodiscard]] Unsafe plane(Window window) const {
        Unsafe plane(window);
        for (int row = window.row; row < window.row_end(); ++row) {
            for (int col = window.col; col < window.col_end(); ++col) {
                plane.at(col, row) = look(col, row);
            }
        }
        return plane;
    }
};

Plane<float> rooms(const RoomTransform& transform, const Mask& mask, Window asked, std::uint8_t bit) {
    Plane<float> room_m(asked);
    transform.run(mask.plane(grown(asked, transform.halo())), bit, room_m);
    return room_m;
}

/// By the words of the definition: the least gap between two squares, over all squares that could matter.
double room_by_hand_m(const Mask& mask, std::uint8_t bit, CellSize cell, int col, int row, double reach_m) {
    const int across = static_cast<int>(reach_m / cell.dx_m) + 3,
              down = static_cast<int>(reach_m / cell.dy_m) + 3;
    double least_m2 = reach_m * reach_m;
    for (int r = row - down; r <= row + down; ++r) {
        const double y_m = std::max(std::abs(r - row) - 1, 0) * cell.dy_m;
        for (int c = col - across; c <= col + across; ++c) {
            if ((mask.look(c, r) & bit) == 0) continue;
            const double x_m = std::max(std::abs(c - col) - 1, 0) * cell.dx_m;
            least_m2 = std::min(least_m2, x_m * x_m + y_m * y_m);
        }
    }
    return std::sqrt(least_m2);
}

/// What a drawing says yes to: Y where the room is at least so much. # and letters are unsafe, what lies
/// beyond the drawing too.
std::string yes_at(double radius_m, double dx_m, double dy_m, const Drawing& drawing) {
    Mask mask(static_cast<int>(drawing.front().size()), static_cast<int>(drawing.size()));
    for (int row = 0; row < mask.rows; ++row) {
        for (int col = 0; col < mask.cols; ++col) {
            if (drawing[static_cast<std::size_t>(row)][static_cast<std::size_t>(col)] != '.') {
                mask.at(col, row) = unsafe::hull;
            }
        }
    }
    const RoomTransform transform(GroundMetric::uniform(mask.rows, dx_m, dy_m), radius_m + 1);
    const Plane<float> room_m = rooms(transform, mask, {0, 0, mask.cols, mask.rows}, unsafe::hull);
    Drawing yes = drawing;
    for (int row = 0; row < mask.rows; ++row) {
        for (int col = 0; col < mask.cols; ++col) {
            if (static_cast<double>(room_m.at(col, row)) >= radius_m) {
                yes[static_cast<std::size_t>(row)][static_cast<std::size_t>(col)] = 'Y';
            }
        }
    }
    return text_of(yes);
}

TEST(HullRoom, ARockTakesTheCellsWhoseCircleWouldReachIt) {
    EXPECT_EQ(yes_at(10, 10, 10, draw(R"(
        ##########
        #........#
        #........#
        #......r.#
        #........#
        #........#
        ##########)")),
              text_of(draw(R"(
        ##########
        #........#
        #.YYYY...#
        #.YYYY.r.#
        #.YYYY...#
        #........#
        ##########)")));
}

TEST(HullRoom, ADiagonalGapIsLongerThanAStraightOne) {
    // A radius of 14: one cell between is too little straight on, yet enough, 14.14, cornerwise.
    EXPECT_EQ(yes_at(14, 10, 10, draw(R"(
        ...........
        ...........
        ...........
        ...........
        ...........
        .....r.....
        ...........
        ...........
        ...........
        ...........
        ...........)")),
              text_of(draw(R"(
        ...........
        ...........
        ..YYYYYYY..
        ..YY...YY..
        ..Y.....Y..
        ..Y..r..Y..
        ..Y.....Y..
        ..YY...YY..
        ..YYYYYYY..
        ...........
        ...........)")));
}

TEST(HullRoom, OblongCellsMakeOblongRooms) {
    // Floats give away their last digits: a radius of just 10 would be a no.
    EXPECT_EQ(yes_at(9.99999, 10, 5, draw(R"(
        .........
        .........
        .........
        .........
        ....r....
        .........
        .........
        .........
        .........)")),
              text_of(draw(R"(
        .........
        .........
        .YY...YY.
        .YY...YY.
        .YY.r.YY.
        .YY...YY.
        .YY...YY.
        .........
        .........)")));
}

TEST(HullRoom, TouchingCellsAndTheCellItselfHaveNone) {
    Mask mask(9, 9);
    mask.outside = 0;
    mask.at(4, 4) = unsafe::hull;
    const RoomTransform transform(GroundMetric::uniform(9, 2, 2), 20);
    const Plane<float> room_m = rooms(transform, mask, {0, 0, 9, 9}, unsafe::hull);
    for (int row = 3; row <= 5; ++row) {
        for (int col = 3; col <= 5; ++col) {
            EXPECT_EQ(room_m.at(col, row), 0) << col << ' ' << row;
        }
    }
    EXPECT_EQ(room_m.at(6, 4), 2);
    EXPECT_EQ(room_m.at(4, 8), 6);
    EXPECT_EQ(room_m.at(0, 4), 6);
    EXPECT_FLOAT_EQ(room_m.at(8, 8), 6 * std::sqrt(2.0F));
}

TEST(HullRoom, NothingUnsafeGivesTheReachAndEverythingUnsafeGivesNothing) {
    for (const double dy_m : {3.0, 4.5}) {
        Mask mask(70, 20);
        mask.outside = 0;
        const RoomTransform transform(GroundMetric::uniform(20, 3, dy_m), 31.4159);
        const Window all{0, 0, 70, 20};
        const Plane<float> open_m = rooms(transform, mask, all, unsafe::hull);
        std::fill(mask.bits.begin(), mask.bits.end(), unsafe::hull);
        mask.outside = unsafe::hull;
        const Plane<float> closed_m = rooms(transform, mask, all, unsafe::hull),
                           other_bit_m = rooms(transform, mask, all, unsafe::ground);
        for (std::size_t i = 0; i < open_m.size(); ++i) {
            ASSERT_EQ(open_m.data()[i], narrow_down(31.4159));
            ASSERT_EQ(closed_m.data()[i], 0);
            ASSERT_EQ(other_bit_m.data()[i], narrow_down(31.4159)) << "the other bit's danger was counted";
        }
        EXPECT_LE(static_cast<double>(open_m.at(0, 0)), transform.reach_m());
    }
}

TEST(HullRoom, TheReachIsACapAndNothingWithinItIsLost) {
    // One unsafe cell in the middle of nowhere: each cell has its distance or the cap, whichever is less.
    for (const double reach_m : {0.5, 3.0, 6.0, 6.0001, 8.999, 9.0, 29.9, 30.0, 100.0}) {
        Mask mask(41, 41);
        mask.outside = 0;
        mask.at(20, 20) = unsafe::ground;
        const RoomTransform transform(GroundMetric::uniform(41, 3, 3), reach_m);
        const Plane<float> room_m = rooms(transform, mask, {0, 0, 41, 41}, unsafe::ground);
        for (int row = 0; row < 41; ++row) {
            for (int col = 0; col < 41; ++col) {
                const double exact_m = std::hypot(3 * std::max(std::abs(col - 20) - 1, 0),
                                                  3 * std::max(std::abs(row - 20) - 1, 0));
                ASSERT_EQ(room_m.at(col, row), narrow_down(std::min(exact_m, reach_m)))
                    << "reach " << reach_m << ", column " << col << ", row " << row;
            }
        }
    }
}

/// Which of the inner loops a case is about.
struct Sizes {
    const char* name;
    double dx_m, dy_m, reach_m;
    int rows;
    double density;
    friend void PrintTo(const Sizes& s, std::ostream* out) { *out << s.name; }
};
class Kernels : public testing::TestWithParam<Sizes> {};

TEST_P(Kernels, GiveTheRoomByHandAtAllWidthsOfATile) {
    const Sizes& s = GetParam();
    Dice dice(static_cast<std::uint64_t>(s.rows) * 1000 + static_cast<std::uint64_t>(s.reach_m));
    for (const int cols : {1, 2, 63, 64, 65, 129}) {
        Mask mask(cols, s.rows);
        for (auto& bits : mask.bits) {
            bits = static_cast<std::uint8_t>((dice.chance(s.density) ? unsafe::hull : 0) |
                                             (dice.chance(2 * s.density) ? unsafe::ground : 0));
        }
        mask.outside = dice.chance(0.5) ? unsafe::hull | unsafe::ground : 0;
        SCOPED_TRACE(std::to_string(cols) + " columns, outside " + std::to_string(mask.outside));
        const RoomTransform transform(GroundMetric::uniform(s.rows, s.dx_m, s.dy_m), s.reach_m);
        for (const std::uint8_t bit : {unsafe::hull, unsafe::ground}) {
            const Plane<float> room_m = rooms(transform, mask, {0, 0, cols, s.rows}, bit);
            // By hand is slow: every cell of small rasters, else a sample.
            const bool all = s.reach_m / s.dx_m < 32;
            for (int i = 0, n = all ? cols * s.rows : 20; i < n; ++i) {
                const int col = all ? i % cols : dice.whole(0, cols - 1),
                          row = all ? i / cols : dice.whole(0, s.rows - 1);
                const double exact_m = room_by_hand_m(mask, bit, {s.dx_m, s.dy_m}, col, row, s.reach_m);
                const auto ours_m = static_cast<double>(room_m.at(col, row));
                ASSERT_LE(ours_m, exact_m * (1 + 1e-15)) << "column " << col << ", row " << row;
                ASSERT_GE(ours_m, exact_m * (1 - RoomTransform::rounding_loss))
                    << "column " << col << ", row " << row;
            }
        }
    }
}

// Reach in cells decides between 16 and 32 bits where cells are square; oblong cells are done in floats.
INSTANTIATE_TEST_SUITE_P(
    Sizes, Kernels,
    testing::Values(
        Sizes{"square_near", 2, 2, 50, 40, 0.01}, Sizes{"square_dense", 2, 2, 50, 40, 0.3},
        Sizes{"square_odd", 3.7, 3.7, 61.1, 40, 0.004}, Sizes{"square_last_of_16_bits", 1, 1, 178.5, 9, 2e-4},
        Sizes{"square_first_of_32_bits", 1, 1, 179, 9, 2e-4}, Sizes{"square_far", 0.5, 0.5, 330.2, 7, 1e-4},
        Sizes{"square_far_and_bare", 0.1, 0.1, 40, 5, 0}, Sizes{"oblong", 2, 5, 60, 40, 0.01},
        Sizes{"oblong_other_way", 5.3, 1.9, 60, 40, 0.01}, Sizes{"oblong_dense", 2, 2.5, 60, 40, 0.3},
        Sizes{"oblong_far", 0.7, 0.4, 210, 9, 1e-4}, Sizes{"hardly_oblong", 4, 4.0000001, 90, 30, 0.002},
        Sizes{"less_than_a_cell", 20, 20, 7, 12, 0.2}),
    [](const auto& test) { return test.param.name; });

TEST(RoomTransform, EveryGapOfTheSmallKernelIsExactUpToItsLastCell) {
    // One unsafe cell at each distance: the sums of squares must neither overflow nor be mistaken for "far".
    for (const double reach_m : {177.0, 178.0, 178.99, 179.0, 180.0, 181.0}) {
        constexpr int size = 400, middle = 200;
        Mask mask(size, 3);
        mask.outside = 0;
        mask.at(middle, 1) = unsafe::hull;
        const RoomTransform transform(GroundMetric::uniform(3, 1, 1), reach_m);
        const Plane<float> beside_m = rooms(transform, mask, {0, 0, size, 3}, unsafe::hull);
        const Plane<float> above_m = rooms(transform, mask, {middle - 140, -200, 281, 400}, unsafe::hull);
        for (int col = 0; col < size; ++col) {
            const double exact_m = std::min<double>(std::max(std::abs(col - middle) - 1, 0), reach_m);
            ASSERT_EQ(beside_m.at(col, 1), narrow_down(exact_m)) << "reach " << reach_m << ", column " << col;
        }
        const Window seen = above_m.window();
        for (int row = seen.row; row < seen.row_end(); ++row) {
            for (int col = seen.col; col < seen.col_end(); ++col) {
                const double exact_m = std::min(
                    std::hypot(std::max(std::abs(col - middle) - 1, 0), std::max(std::abs(row - 1) - 1, 0)),
                    reach_m);
                ASSERT_NEAR(static_cast<double>(above_m.at(col, row)), exact_m, 2e-7 * exact_m)
                    << "reach " << reach_m << ", column " << col << ", row " << row;
            }
        }
    }
}

TEST(RoomTransform, PartsAreThePartsOfTheWhole) {
    for (const double dy_m : {2.0, 3.1}) {
        Dice dice(static_cast<std::uint64_t>(10 * dy_m));
        constexpr int cols = 150, rows = 110;
        Mask mask(cols, rows);
        for (auto& bits : mask.bits) {
            bits = dice.chance(0.003) ? unsafe::hull : std::uint8_t{0};
        }
        const RoomTransform transform(GroundMetric::uniform(rows, 2, dy_m), 55);
        const Plane<float> whole_m = rooms(transform, mask, {0, 0, cols, rows}, unsafe::hull);
        for (int i = 0; i < 60; ++i) {
            const int col = dice.whole(0, cols - 1), row = dice.whole(0, rows - 1);
            const Window part{col, row, dice.whole(1, cols - col), dice.whole(1, rows - row)};
            const Plane<float> part_m = rooms(transform, mask, part, unsafe::hull);
            for (int r = part.row; r < part.row_end(); ++r) {
                for (int c = part.col; c < part.col_end(); ++c) {
                    ASSERT_EQ(part_m.at(c, r), whole_m.at(c, r)) << "column " << c << ", row " << r;
                }
            }
        }
        // More seen than needed changes nothing.
        Plane<float> room_m(Window{40, 30, 50, 40});
        transform.run(mask.plane(grown(room_m.window(), transform.halo() + 17)), unsafe::hull, room_m);
        for (int r = 30; r < 70; ++r) {
            for (int c = 40; c < 90; ++c) {
                ASSERT_EQ(room_m.at(c, r), whole_m.at(c, r));
            }
        }
    }
}

TEST(RoomTransform, RowsOfDifferentSizesTakeTheLeastWithinReach) {
    // As in a raster in degrees: cells grow wider towards the equator. A room must not exceed the distance
    // over the true rows between, and must keep to the least size that its reach can touch.
    for (std::uint64_t seed = 0; seed < 12; ++seed) {
        Dice dice(seed);
        const int cols = dice.whole(20, 90), rows = dice.whole(20, 90);
        std::vector<CellSize> sizes;
        const double first_m = dice.between(1, 5), growth = dice.between(-0.004, 0.008);
        const bool square = dice.chance(0.5);
        for (int row = 0; row < rows; ++row) {
            const double dx_m = first_m * (1 + growth * row);
            sizes.push_back({dx_m, square ? dx_m : dice.between(1.5, 2)});
        }
        const GroundMetric metric(sizes);
        const double reach_m = dice.between(5, 40);
        const RoomTransform transform(metric, reach_m);
        const GroundMetric within = metric.within(reach_m);
        Mask mask(cols, rows);
        for (auto& bits : mask.bits) {
            bits = dice.chance(0.01) ? unsafe::hull : std::uint8_t{0};
        }
        const Plane<float> room_m = rooms(transform, mask, {0, 0, cols, rows}, unsafe::hull);
        for (int row = 0; row < rows; ++row) {
            for (int col = 0; col < cols; ++col) {
                const double exact_m = room_by_hand_m(mask, unsafe::hull, within.at(row), col, row, reach_m);
                const auto ours_m = static_cast<double>(room_m.at(col, row));
                ASSERT_LE(ours_m, exact_m * (1 + 1e-15)) << "seed " << seed << ' ' << col << ' ' << row;
                ASSERT_GE(ours_m, exact_m * (1 - RoomTransform::rounding_loss))
                    << "seed " << seed << ' ' << col << ' ' << row;
                // Over the true rows: the gap to a cell r rows off is the sum of the rows between, and no
                // column is narrower than the narrowest of them.
                double over_rows_m = reach_m;
                for (int r = 0; r < rows; ++r) {
                    for (int c = 0; c < cols; ++c) {
                        if ((mask.look(c, r) & unsafe::hull) == 0) continue;
                        const int top = std::min(r, row), bottom = std::max(r, row);
                        double y_m = 0;
                        for (int between = top + 1; between < bottom; ++between) {
                            y_m += metric.at(between).dy_m;
                        }
                        if (y_m >= over_rows_m) continue;
                        const double x_m =
                            std::max(std::abs(c - col) - 1, 0) * metric.least(top, bottom).dx_m;
                        over_rows_m = std::min(over_rows_m, std::hypot(x_m, y_m));
                    }
                }
                ASSERT_LE(ours_m, over_rows_m * (1 + 1e-12)) << "seed " << seed << ' ' << col << ' ' << row;
            }
        }
    }
}

TEST(RoomTransform, HaloIsEnoughAndNotMuchMore) {
    for (const auto& [dx_m, dy_m, reach_m] :
         {std::array{2.0, 2.0, 50.0}, std::array{2.0, 7.0, 50.0}, std::array{9.0, 1.0, 3.3}}) {
        const RoomTransform transform(GroundMetric::uniform(5, dx_m, dy_m), reach_m);
        // A cell halo + 1 away has halo whole cells between: at least the reach.
        EXPECT_GE(transform.halo() * std::min(dx_m, dy_m), reach_m);
        EXPECT_LE((transform.halo() - 2) * std::min(dx_m, dy_m), reach_m);
        EXPECT_EQ(transform.reach_m(), reach_m);
    }
}

} // namespace
} // namespace swingroom
