// The least within a circle on hand-made planes, and on made ones against a sweep over all cells.

#include "swingroom/room/distance.hpp"
#include "swingroom/room/least_in_disc.hpp"

#include "support/drawing.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <limits>
#include <string>
#include <vector>

namespace swingroom {
namespace {

using testing_support::Dice;

constexpr float infinite = std::numeric_limits<float>::infinity();
constexpr float untouched = -777;

/// Of a row of cells of a plane.
std::vector<float> least_of_row(LeastInDisc& kernel, const Plane<float>& values, CellSize cell, int row,
                                int first_col, const std::vector<float>& radius_m) {
    std::vector<float> least(radius_m.size(), untouched);
    const LeastInDisc::Row asked{radius_m, least};
    kernel.run(values, cell, row, first_col, {&asked, 1});
    return least;
}

/// Which cells belong to the circle of the middle one: '#' where a lone low value is seen from there.
std::vector<std::string> circle(CellSize cell, float radius_m, int across) {
    std::vector<std::string> drawn;
    LeastInDisc kernel;
    const int middle = across / 2;
    for (int row = 0; row < across; ++row) {
        drawn.emplace_back();
        for (int col = 0; col < across; ++col) {
            Plane<float> values({0, 0, across, across}, 5);
            values.at(col, row) = 1;
            drawn.back() +=
                least_of_row(kernel, values, cell, middle, middle, {radius_m})[0] == 1 ? '#' : '.';
        }
    }
    return drawn;
}

// Any point of the middle cell may be the anchor's: its neighbours are met by the smallest circle, and a
// circle of just two metres touches no cell that is two metres away.
TEST(LeastInDisc, HasTheCellsWhoseSquaresComeNearerThanTheRadius) {
    const std::vector<std::string> smallest = {".....", ".###.", ".###.", ".###.", "....."};
    EXPECT_EQ(circle({2, 2}, 0.001F, 5), smallest);
    EXPECT_EQ(circle({2, 2}, 2.0F, 5), smallest);
    EXPECT_EQ(circle({2, 2}, 2.001F, 5),
              (std::vector<std::string>{".###.", "#####", "#####", "#####", ".###."}));
    EXPECT_EQ(circle({2, 2}, 2.829F, 5), (std::vector<std::string>(5, "#####"))) << "sqrt(8) is 2.828";
    EXPECT_EQ(circle({2, 2}, 4.1F, 7), (std::vector<std::string>{"..###..", ".#####.", "#######", "#######",
                                                                 "#######", ".#####.", "..###.."}));
}

TEST(LeastInDisc, IsAnEllipseOfCellsThatAreNotSquare) {
    EXPECT_EQ(circle({1, 3}, 2.5F, 7), (std::vector<std::string>{".......", ".......", "#######", "#######",
                                                                 "#######", ".......", "......."}));
    EXPECT_EQ(circle({3, 1}, 2.5F, 7), (std::vector<std::string>(7, "..###..")));
}

TEST(LeastInDisc, LeavesCellsAloneThatNobodyAsksAbout) {
    Plane<float> values({0, 0, 9, 9}, 4);
    values.at(4, 4) = -infinite;
    LeastInDisc kernel;
    const float nan = std::numeric_limits<float>::quiet_NaN();
    EXPECT_EQ(least_of_row(kernel, values, {2, 2}, 4, 2, {1, nan, 0, -1, 1}),
              (std::vector<float>{4, untouched, untouched, untouched, 4}));
    EXPECT_EQ(least_of_row(kernel, values, {2, 2}, 4, 3, {1, 1}), (std::vector<float>{-infinite, -infinite}));
    EXPECT_EQ(least_of_row(kernel, values, {2, 2}, 4, 3, {nan, 0}),
              (std::vector<float>{untouched, untouched}));
}

// What a circle is made of and what a room is measured by are one and the same.
TEST(RoomBeside, IsTheRoomThatTheTransformFinds) {
    for (const CellSize cell : {CellSize{2, 2}, {1.7, 1.7}, {3.3, 1.9}, {0.11, 0.13}}) {
        for (const double reach_cells : {7.0, 60.0, 200.0}) {
            const double reach_m = reach_cells * cell.dx_m;
            const RoomTransform transform(GroundMetric::uniform(1, cell.dx_m, cell.dy_m), reach_m);
            Dice dice(static_cast<std::uint64_t>(reach_cells));
            for (int i = 0; i < 20; ++i) {
                const int across = transform.halo(), col = dice.whole(-across, across),
                          row = dice.whole(-across, across);
                Plane<std::uint8_t> unsafe(grown({0, 0, 1, 1}, across));
                unsafe.at(col, row) = 1;
                Plane<float> room_m({0, 0, 1, 1});
                transform.run(unsafe, 1, room_m);
                const float beside_m = room_beside_m(cell, std::abs(col), std::abs(row));
                if (double{beside_m} < reach_m * 0.999) {
                    ASSERT_EQ(room_m.at(0, 0), beside_m) << col << " " << row;
                } else {
                    ASSERT_GE(double{beside_m}, reach_m * 0.99);
                }
            }
        }
    }
}

float swept(const Plane<float>& values, CellSize cell, int col, int row, float radius_m) {
    float least = infinite;
    const Window all = values.window();
    for (int r = all.row; r < all.row_end(); ++r) {
        for (int c = all.col; c < all.col_end(); ++c) {
            if (room_beside_m(cell, std::abs(c - col), std::abs(r - row)) < radius_m) {
                least = std::min(least, values.at(c, r));
            }
        }
    }
    return least;
}

// Rows of sizes that differ by next to nothing, as in degrees, radii that jump, come again and lie on the
// very edge of a circle: one object for all of them, as a run has.
TEST(LeastInDisc, IsTheLeastOfASweepOverAllCells) {
    LeastInDisc kernel;
    for (std::uint64_t seed = 0; seed < 60; ++seed) {
        SCOPED_TRACE("seed " + std::to_string(seed));
        Dice dice(seed * 13 + 1);
        CellSize cell{dice.between(0.8, 4), 0};
        cell.dy_m = dice.chance(0.5) ? cell.dx_m : dice.between(0.8, 4);
        const int cols = dice.whole(1, 90), rows = 4, halo = 12;
        const double greatest_m = (halo - 1) * std::min(cell.dx_m, cell.dy_m);
        Plane<float> values(grown({5, -3, cols, rows}, halo + 1));
        for (std::size_t i = 0; i < values.size(); ++i) {
            values.data()[i] = dice.chance(0.02) ? -infinite : static_cast<float>(dice.between(-2, 20));
        }
        for (int row = -3; row < -3 + rows; ++row) {
            std::array<std::vector<float>, 2> radius_m, least;
            for (std::size_t k = 0; k < 2; ++k) {
                float at_m = static_cast<float>(dice.between(0.1, greatest_m));
                for (int col = 0; col < cols; ++col) {
                    if (dice.chance(0.2)) at_m = static_cast<float>(dice.between(0.1, greatest_m));
                    if (dice.chance(0.1)) at_m = room_beside_m(cell, dice.whole(2, 9), dice.whole(0, 7));
                    if (double{at_m} > greatest_m) at_m = 1;
                    radius_m[k].push_back(dice.chance(0.2) ? 0 : at_m);
                }
                least[k].assign(radius_m[k].size(), untouched);
            }
            const std::array<LeastInDisc::Row, 2> asked = {
                {{radius_m[0], least[0]}, {radius_m[1], least[1]}}};
            kernel.run(values, cell, row, 5, asked);
            for (std::size_t k = 0; k < 2; ++k) {
                for (int col = 0; col < cols; ++col) {
                    const auto i = static_cast<std::size_t>(col);
                    const float wanted =
                        radius_m[k][i] > 0 ? swept(values, cell, 5 + col, row, radius_m[k][i]) : untouched;
                    ASSERT_EQ(least[k][i], wanted) << "column " << col << ", radius " << radius_m[k][i];
                }
            }
            cell.dx_m *= 1 - dice.between(0, 1e-4);
            if (dice.chance(0.5)) cell.dy_m *= 1 - dice.between(0, 1e-4);
        }
    }
}

// The promise that ties the two together: where the room is at least the radius, nothing unsafe is in the
// circle, and elsewhere something is.
TEST(LeastInDisc, MeetsAnUnsafeCellExactlyWhereTheRoomIsLessThanTheRadius) {
    for (std::uint64_t seed = 0; seed < 20; ++seed) {
        Dice dice(seed + 500);
        const double dx_m = dice.between(1, 5), dy_m = dice.chance(0.5) ? dx_m : dice.between(1, 5);
        const RoomTransform transform(GroundMetric::uniform(40, dx_m, dy_m), 30);
        const Window core{0, 0, 40, 40}, seen = grown(core, transform.halo());
        Plane<std::uint8_t> unsafe(seen);
        Plane<float> safe(seen, 1);
        for (int i = 0; i < 12; ++i) {
            const int col = dice.whole(seen.col, seen.col_end() - 1),
                      row = dice.whole(seen.row, seen.row_end() - 1);
            unsafe.at(col, row) = 1;
            safe.at(col, row) = 0;
        }
        Plane<float> room_m(core);
        transform.run(unsafe, 1, room_m);
        LeastInDisc kernel;
        for (int row = 0; row < core.rows; ++row) {
            std::vector<float> radius_m;
            for (int col = 0; col < core.cols; ++col) {
                const float room = room_m.at(col, row); // at the very edge, and anywhere
                radius_m.push_back(dice.chance(0.3) && room > 0 ? room
                                   : dice.chance(0.3) && room < 29
                                       ? std::nextafter(room, infinite)
                                       : static_cast<float>(dice.between(0.1, 29)));
            }
            const std::vector<float> least =
                least_of_row(kernel, safe, transform.metric().at(row), row, 0, radius_m);
            for (int col = 0; col < core.cols; ++col) {
                const auto i = static_cast<std::size_t>(col);
                ASSERT_EQ(least[i] == 1, room_m.at(col, row) >= radius_m[i]) << col << " " << row;
            }
        }
    }
}

} // namespace
} // namespace swingroom
