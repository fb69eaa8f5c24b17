// Zones as strict readers of polygons see them: GEOS says whether they are valid and what they cover.

#include "swingroom/room/inner_places.hpp"
#include "swingroom/room/zone_shape.hpp"

#include "support/drawing.hpp"
#include "support/geos.hpp"
#include "support/zone_drawing.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <limits>
#include <numbers>

namespace swingroom::testing_support {
namespace {

constexpr std::uint64_t scenes = 400;

/// Smooth shores, as depths make them.
Drawing rolling_drawing(Dice& dice, int cols, int rows) {
    const double slope = dice.between(0.05, 0.6), turn = dice.between(0, 6.3),
                 level = dice.between(-0.7, 0.7);
    Drawing drawing(static_cast<std::size_t>(rows), std::string(static_cast<std::size_t>(cols), '.'));
    for (int row = 0; row < rows; ++row) {
        for (int col = 0; col < cols; ++col) {
            const double x = col * std::cos(turn) - row * std::sin(turn),
                         y = col * std::sin(turn) + row * std::cos(turn);
            if (std::sin(slope * x) + std::cos(0.7 * slope * y) > level) {
                drawing[static_cast<std::size_t>(row)][static_cast<std::size_t>(col)] = '3';
            }
        }
    }
    return drawing;
}

/// The least distance between a corner and an edge, of any of the rings, that do not meet.
double least_gap(const std::vector<std::vector<GridPoint>>& rings) {
    double least = std::numeric_limits<double>::infinity();
    for (const auto& of : rings) {
        for (std::size_t k = 0; k + 1 < of.size(); ++k) {
            for (const auto& ring : rings) {
                for (std::size_t i = 0; i + 1 < ring.size(); ++i) {
                    const GridPoint a = ring[i], b = ring[i + 1], p = of[k];
                    if (p == a || p == b) continue;
                    const double x = b.x - a.x, y = b.y - a.y;
                    const double t =
                        std::clamp(((p.x - a.x) * x + (p.y - a.y) * y) / (x * x + y * y), 0.0, 1.0);
                    least = std::min(least, std::hypot(p.x - a.x - t * x, p.y - a.y - t * y));
                }
            }
        }
    }
    return least;
}

TEST(ZonesInGeos, AreValidOnceShrunkByHoweverLittle) {
    const Geos geos;
    for (std::uint64_t seed = 0; seed < scenes; ++seed) {
        Dice dice(seed);
        const Drawing drawing = random_drawing(dice, dice.whole(1, 24), dice.whole(1, 24));
        SCOPED_TRACE("seed " + std::to_string(seed) + text_of(drawing));
        for (const double by : {1e-9, 0.01, 0.49}) {
            std::vector<Geometry> polygons;
            double area = 0;
            for (const Zone& zone : trace(drawing)) {
                const auto rings = shrunk(zone.rings, by, by / 2);
                polygons.push_back(polygon(geos, rings));
                area += area_of(rings);
                ASSERT_TRUE(valid(geos, polygons.back())) << "shrunk by " << by;
            }
            if (polygons.empty()) continue;
            const Geometry all = united(geos, std::move(polygons));
            double covered = 0;
            ASSERT_EQ(GEOSArea_r(geos.get(), all.get(), &covered), 1);
            EXPECT_NEAR(covered, area, 1e-9 * area) << "zones overlap, or a ring is turned the wrong way";
        }
    }
}

TEST(ZonesInGeos, CoverTheirCellsAndNothingElse) {
    const Geos geos;
    for (std::uint64_t seed = 0; seed < scenes; ++seed) {
        Dice dice(seed);
        const int cols = dice.whole(1, 20), rows = dice.whole(1, 20);
        const Drawing drawing = random_drawing(dice, cols, rows);
        SCOPED_TRACE("seed " + std::to_string(seed) + text_of(drawing));
        for (const Zone& zone : trace(drawing)) {
            std::vector<Geometry> squares;
            for (int row = 0; row < rows; ++row) {
                for (int col = 0; col < cols; ++col) {
                    if (!covers_cell(zone.rings, col, row)) continue;
                    const double x = col, y = row;
                    squares.push_back(
                        polygon(geos, {{{x, y}, {x + 1, y}, {x + 1, y + 1}, {x, y + 1}, {x, y}}}));
                }
            }
            ASSERT_EQ(static_cast<std::int64_t>(squares.size()), zone.cells);
            const Geometry cells = united(geos, std::move(squares));
            // Rings that meet themselves in a corner are taken apart at it, which changes no point of them.
            const Geometry raw = polygon(geos, zone.rings);
            const Geometry mended = own(geos, GEOSMakeValid_r(geos.get(), raw.get()));
            ASSERT_EQ(GEOSEquals_r(geos.get(), cells.get(), mended.get()), 1);
        }
    }
}

/// How far a point is from rings, by cells of this size.
double geos_distance_m(const Geos& geos, GridPoint from, const std::vector<Geometry>& lines, CellSize size) {
    const Geometry at = point(geos, {from.x * size.dx_m, from.y * size.dy_m});
    double least_m = std::numeric_limits<double>::infinity();
    for (const Geometry& line : lines) {
        double distance_m = 0;
        if (GEOSDistance_r(geos.get(), at.get(), line.get(), &distance_m) != 1) geos.fail();
        least_m = std::min(least_m, distance_m);
    }
    return least_m;
}

// The first place is the pole of inaccessibility: no cell's centre is farther from the outline, by GEOS.
TEST(ZonesInGeos, HaveNoCellFartherInsideThanTheirBestPlace) {
    constexpr int wanted = 300;
    const Geos geos;
    int zones = 0;
    for (std::uint64_t seed = 0; zones < wanted; ++seed) {
        Dice dice(seed + 9000);
        const int cols = dice.whole(8, 40), rows = dice.whole(8, 40);
        const Drawing drawing =
            dice.chance(0.5) ? rolling_drawing(dice, cols, rows) : random_drawing(dice, cols, rows);
        SCOPED_TRACE("seed " + std::to_string(seed) + text_of(drawing));
        const CellSize size{dice.between(1, 20), dice.between(1, 20)};
        const GroundMetric metric = GroundMetric::uniform(rows, size.dx_m, size.dy_m);
        for (const Zone& zone : trace(drawing)) {
            if (zone.cells < 12) continue;
            ++zones;
            std::vector<Geometry> outline;
            for (auto ring : zone.rings) {
                for (GridPoint& corner : ring) {
                    corner = {corner.x * size.dx_m, corner.y * size.dy_m};
                }
                outline.push_back(line(geos, ring));
            }
            double most_m = 0;
            for (int row = 0; row < rows; ++row) {
                for (int col = 0; col < cols; ++col) {
                    if (!covers_cell(zone.rings, col, row)) continue;
                    most_m = std::max(most_m, geos_distance_m(geos, {col + 0.5, row + 0.5}, outline, size));
                }
            }
            const auto places = inner_places(zone.rings, metric, 3 * size.dx_m, 4);
            ASSERT_FALSE(places.empty());
            ASSERT_NEAR(places.front().inner_m, most_m, 1e-9 * most_m);
            for (const InnerPlace& place : places) {
                const GridPoint at{place.cell.col + 0.5, place.cell.row + 0.5};
                ASSERT_NEAR(place.inner_m, geos_distance_m(geos, at, outline, size), 1e-9 * most_m);
            }
        }
    }
}

/// Rings as they are drawn: a little smaller, then smoothed.
std::vector<std::vector<GridPoint>> drawn(const Zone& zone, GridPoint keep, const Smoothing& limits) {
    return smoothed_inwards(shrunk(zone.rings, shape_step, 7 * shape_step), keep, limits);
}

/// The centre of some cell of a zone.
GridPoint some_centre(const Zone& zone, int cols, int rows, Dice& dice) {
    for (;;) {
        const int col = dice.whole(0, cols - 1), row = dice.whole(0, rows - 1);
        if (covers_cell(zone.rings, col, row)) return {col + 0.5, row + 0.5};
    }
}

TEST(ZonesInGeos, StayInsideThemselvesWhenSmoothed) {
    const Geos geos;
    double area = 0, area_left = 0;
    std::size_t corners = 0, corners_left = 0;
    for (std::uint64_t seed = 0; seed < scenes; ++seed) {
        Dice dice(seed + 7000);
        const int cols = dice.whole(1, 40), rows = dice.whole(1, 40);
        const bool shores = dice.chance(0.5);
        const Drawing drawing = shores ? rolling_drawing(dice, cols, rows) : random_drawing(dice, cols, rows);
        const Smoothing limits{dice.chance(0.5) ? 1 : dice.between(0.1, 4),
                               dice.chance(0.5) ? 0.25 : dice.between(0, 0.5)};
        SCOPED_TRACE("seed " + std::to_string(seed) + text_of(drawing));
        for (const Zone& zone : trace(drawing)) {
            const GridPoint keep = some_centre(zone, cols, rows, dice);
            const auto before = shrunk(zone.rings, shape_step, 7 * shape_step);
            const auto after = drawn(zone, keep, limits);
            const Geometry whole = polygon(geos, before), smooth = polygon(geos, after);
            ASSERT_TRUE(valid(geos, smooth));
            ASSERT_EQ(GEOSCovers_r(geos.get(), whole.get(), smooth.get()), 1);
            ASSERT_EQ(GEOSContains_r(geos.get(), smooth.get(), point(geos, keep).get()), 1);
            ASSERT_EQ(after.size(), before.size());
            // No corner is lost farther than the tolerance from what is left; so the area lost lies within
            // that of the new edges, on one side of each and round half of its ends.
            const Prepared left = prepared(geos, smooth);
            double band = 0;
            for (std::size_t ring = 0; ring < before.size(); ++ring) {
                for (const GridPoint corner : before[ring]) {
                    ASSERT_LE(distance(geos, left, point(geos, corner)), limits.tolerance + 1e-9);
                }
                for (std::size_t i = 0; i + 1 < after[ring].size(); ++i) {
                    band += limits.tolerance * (std::numbers::pi / 2 * limits.tolerance +
                                                std::hypot(after[ring][i + 1].x - after[ring][i].x,
                                                           after[ring][i + 1].y - after[ring][i].y));
                }
                if (!shores) continue;
                corners += before[ring].size() - 1;
                corners_left += after[ring].size() - 1;
            }
            ASSERT_LE(area_of(before) - area_of(after), band);
            if (!shores) continue;
            area += area_of(before);
            area_left += area_of(after);
        }
    }
    std::printf("shores: %.1f %% of %zu corners and %.1f %% of the area are left\n",
                100.0 * static_cast<double>(corners_left) / static_cast<double>(corners), corners,
                100 * area_left / area);
    EXPECT_LT(corners_left, corners * 3 / 5);
}

TEST(ZonesInGeos, KeepTheirNarrowPlacesAndTheirAnglesWhenSmoothed) {
    int narrowed = 0;
    for (std::uint64_t seed = 0; seed < scenes; ++seed) {
        Dice dice(seed + 9000);
        const int cols = dice.whole(1, 24), rows = dice.whole(1, 24);
        const Drawing drawing =
            dice.chance(0.3) ? random_drawing(dice, cols, rows) : rolling_drawing(dice, cols, rows);
        const Smoothing limits;
        SCOPED_TRACE("seed " + std::to_string(seed) + text_of(drawing));
        for (const Zone& zone : trace(drawing)) {
            const auto rings = drawn(zone, some_centre(zone, cols, rows, dice), limits);
            for (const auto& ring : rings) {
                for (std::size_t i = 0; i + 1 < ring.size(); ++i) {
                    const GridPoint a = ring[i == 0 ? ring.size() - 2 : i - 1], b = ring[i], c = ring[i + 1];
                    const GridPoint in{b.x - a.x, b.y - a.y}, out{c.x - b.x, c.y - b.y};
                    const double turned =
                        std::atan2(in.x * out.y - in.y * out.x, in.x * out.x + in.y * out.y);
                    ASSERT_LE(turned, 0.75 * std::numbers::pi + 1e-9) << "sharper than 45 degrees";
                }
            }
            // Where cells meet in a corner, what is between is as narrow as it was made.
            const double before = least_gap(shrunk(zone.rings, shape_step, 7 * shape_step)),
                         after = least_gap(rings);
            ASSERT_GE(after, std::min(before, limits.clearance) - 1e-9);
            narrowed += before > after && after < 0.5;
        }
    }
    EXPECT_GT(narrowed, 10) << "scenes in which nothing comes near";
}

TEST(ZonesInGeos, AreSmoothedTheSameWhereverTheyLie) {
    for (std::uint64_t seed = 0; seed < 50; ++seed) {
        Dice dice(seed + 11'000);
        const Drawing drawing = rolling_drawing(dice, 30, 30);
        const auto moved = [](auto rings, double x, double y) {
            for (auto& ring : rings) {
                for (GridPoint& corner : ring) {
                    corner = {corner.x + x, corner.y + y};
                }
            }
            return rings;
        };
        for (const Zone& zone : trace(drawing)) {
            const GridPoint keep = some_centre(zone, 30, 30, dice);
            const auto there =
                smoothed_inwards(moved(zone.rings, 70'000, 1e6), {keep.x + 70'000, keep.y + 1e6}, {});
            ASSERT_EQ(moved(there, -70'000, -1e6), smoothed_inwards(zone.rings, keep, {}));
        }
    }
}

} // namespace
} // namespace swingroom::testing_support
