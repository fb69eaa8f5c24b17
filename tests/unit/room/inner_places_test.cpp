// Places far inside, against a sweep of every cell centre: the least distance to any edge, by the plainest
// formulas.

#include "swingroom/room/inner_places.hpp"

#include "support/zone_drawing.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <optional>
#include <tuple>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

using namespace testing_support;
using Rings = std::vector<std::vector<GridPoint>>;

std::vector<Zone> zones_of(const char* drawn) { return trace(draw(drawn)); }

/// Distance from a point to a segment, in metres.
double to_edge_m(GridPoint p, GridPoint a, GridPoint b, CellSize size) {
    const double ax = (a.x - p.x) * size.dx_m, ay = (a.y - p.y) * size.dy_m, bx = (b.x - p.x) * size.dx_m,
                 by = (b.y - p.y) * size.dy_m;
    const double ux = bx - ax, uy = by - ay;
    const double t = std::clamp(-(ax * ux + ay * uy) / (ux * ux + uy * uy), 0.0, 1.0);
    return std::hypot(ax + t * ux, ay + t * uy);
}

/// All cells of a zone with their inner distance, the best first.
std::vector<InnerPlace> swept(const Zone& zone, const std::vector<CellSize>& sizes, int cols, int rows) {
    std::vector<InnerPlace> places;
    for (int row = 0; row < rows; ++row) {
        for (int col = 0; col < cols; ++col) {
            if (!covers_cell(zone.rings, col, row)) continue;
            InnerPlace place{{col, row}, std::numeric_limits<double>::infinity()};
            for (const auto& ring : zone.rings) {
                for (std::size_t i = 0; i + 1 < ring.size(); ++i) {
                    place.inner_m =
                        std::min(place.inner_m, to_edge_m({col + 0.5, row + 0.5}, ring[i], ring[i + 1],
                                                          sizes[static_cast<std::size_t>(row)]));
                }
            }
            places.push_back(place);
        }
    }
    std::stable_sort(places.begin(), places.end(),
                     [](const InnerPlace& a, const InnerPlace& b) { return a.inner_m > b.inner_m; });
    return places;
}

TEST(InnerPlaces, OfALoneCellIsThatCell) {
    const auto found = inner_places(zones_of("2").front().rings, GroundMetric::uniform(1, 10, 4), 30, 5);
    ASSERT_EQ(found.size(), 1u);
    EXPECT_EQ(found[0].inner_m, 2);
    EXPECT_TRUE(inner_places({}, GroundMetric::uniform(1, 10, 4), 30, 5).empty());
}

TEST(InnerPlaces, TheFirstIsTheMiddleOfTheBroadPartNotOfTheSliver) {
    const auto found = inner_places(zones_of(R"(
        2..............
        2222222...22222
        2.........22222
        2222222222222.2
        ..........22222
        ..........22222)")
                                        .front()
                                        .rings,
                                    GroundMetric::uniform(6, 10, 10), 25, 9);
    ASSERT_GT(found.size(), 4u);
    EXPECT_EQ(std::pair(found[0].cell.col, found[0].cell.row), std::pair(11, 2))
        << "holes count, and of equals the first in row order, then in column order";
    EXPECT_EQ(found[0].inner_m, 15);
    EXPECT_EQ(found.back().inner_m, 5) << "the sliver comes last";
}

/// A disc of cells: its pole is its centre, and no inner distance exceeds that of a disc of its area.
TEST(InnerPlaces, OfADiscIsItsCentre) {
    Drawing drawing(101, std::string(101, '.'));
    for (int row = 0; row < 101; ++row) {
        for (int col = 0; col < 101; ++col) {
            char& cell = drawing[static_cast<std::size_t>(row)][static_cast<std::size_t>(col)];
            if (std::hypot(col - 50, row - 50) <= 45) cell = '3';
        }
    }
    const Zone zone = trace(drawing).front();
    const auto found = inner_places(zone.rings, GroundMetric::uniform(101, 2, 2), 1000, 3);
    ASSERT_EQ(found.size(), 1u) << "no cell is a kilometre from it";
    EXPECT_EQ(std::pair(found[0].cell.col, found[0].cell.row), std::pair(50, 50));
    EXPECT_GT(found[0].inner_m, 2 * 44.5);
    EXPECT_LE(found[0].inner_m, greatest_inner_m(4.0 * static_cast<double>(zone.cells)));
}

TEST(GreatestInner, IsTheRadiusOfADisc) { EXPECT_DOUBLE_EQ(greatest_inner_m(std::numbers::pi * 49), 7); }

class InnerPlaceScenes : public testing::TestWithParam<std::uint64_t> {};

TEST_P(InnerPlaceScenes, ComeInTheOrderOfASweepAndKeepClear) {
    Dice dice(GetParam() * 7 + 5);
    const int cols = dice.whole(1, 70), rows = dice.whole(1, 70);
    const Drawing drawing = random_drawing(dice, cols, rows);
    SCOPED_TRACE(text_of(drawing));
    const double dx_m = dice.between(0.5, 5), dy_m = dice.chance(0.3) ? dx_m : dice.between(0.5, 5);
    // Cells that shrink from row to row, as towards a pole.
    const double less = dice.chance(0.5) ? 0 : dice.between(0, 0.01);
    std::vector<CellSize> sizes;
    for (int row = 0; row < rows; ++row) {
        sizes.push_back({dx_m * (1 - less * row), dy_m * (1 - less * row / 2)});
    }
    const GroundMetric metric(sizes);
    const double apart_m = dice.between(0.1, 60);
    for (const Zone& zone : trace(drawing)) {
        double area_m2 = 0;
        for (int row = 0; row < rows; ++row) {
            for (int col = 0; col < cols; ++col) {
                const CellSize size = sizes[static_cast<std::size_t>(row)];
                if (covers_cell(zone.rings, col, row)) area_m2 += size.dx_m * size.dy_m;
            }
        }
        // The first is found by a look at all cells, unless something is kept clear of: then by the outline.
        InnerPlaces by_outline(zone.rings, metric);
        by_outline.keep_clear_of({-1000, -1000}, 0.1);
        const std::optional<InnerPlace> first = InnerPlaces(zone.rings, metric).next(),
                                        same_first = by_outline.next();
        ASSERT_EQ(std::tuple(first->cell.col, first->cell.row, first->inner_m),
                  std::tuple(same_first->cell.col, same_first->cell.row, same_first->inner_m));
        // By the row's own size no place is farther inside than it says, and where all rows are the same
        // size it is as far.
        const auto all = swept(zone, sizes, cols, rows);
        const auto found = inner_places(zone.rings, metric, apart_m, 1000);
        ASSERT_GE(found.size(), 1u);
        for (std::size_t i = 0; i < found.size(); ++i) {
            ASSERT_TRUE(covers_cell(zone.rings, found[i].cell.col, found[i].cell.row));
            ASSERT_LE(found[i].inner_m, greatest_inner_m(area_m2) * (1 + 1e-12));
            for (std::size_t k = 0; k < i; ++k) {
                ASSERT_GE(least_distance_m(metric, found[i].cell, found[k].cell), apart_m);
                ASSERT_GE(found[k].inner_m, found[i].inner_m);
            }
            const auto same = std::find_if(all.begin(), all.end(), [&](const InnerPlace& place) {
                return place.cell.col == found[i].cell.col && place.cell.row == found[i].cell.row;
            });
            ASSERT_LE(found[i].inner_m, same->inner_m * (1 + 1e-12));
            // Rows of a zone differ by less than its height times how they shrink.
            ASSERT_GE(found[i].inner_m, same->inner_m * (1 - less * 71 - 1e-12));
        }
        if (less > 0) continue;
        // Of all that keep clear of those before it, none is better.
        for (std::size_t i = 0; i < found.size(); ++i) {
            const auto best = std::find_if(all.begin(), all.end(), [&](const InnerPlace& place) {
                return std::all_of(found.begin(), found.begin() + static_cast<std::ptrdiff_t>(i),
                                   [&](const InnerPlace& other) {
                                       return least_distance_m(metric, place.cell, other.cell) >= apart_m;
                                   });
            });
            ASSERT_NE(best, all.end());
            ASSERT_NEAR(found[i].inner_m, best->inner_m, 1e-9);
        }
        InnerPlaces one_by_one(zone.rings, metric);
        std::optional<InnerPlace> before;
        for (const InnerPlace& place : all) {
            const auto next = one_by_one.next();
            ASSERT_TRUE(next);
            ASSERT_NEAR(next->inner_m, place.inner_m, 1e-9);
            if (before && before->inner_m == next->inner_m) {
                ASSERT_LT(std::pair(before->cell.row, before->cell.col),
                          std::pair(next->cell.row, next->cell.col))
                    << "of equals the first in row order, then in column order";
            }
            before = next;
        }
        ASSERT_FALSE(one_by_one.next());
    }
}

INSTANTIATE_TEST_SUITE_P(Random, InnerPlaceScenes, testing::Range<std::uint64_t>(0, 100));

} // namespace
} // namespace swingroom
