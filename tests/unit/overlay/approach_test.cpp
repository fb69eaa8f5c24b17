#include "swingroom/overlay/approach.hpp"
#include "swingroom/overlay/way_in.hpp"

#include "overlay/access_floor.hpp"
#include "overlay/search_grid.hpp"
#include "support/overlay_scene.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

// Small seas whose ways in are plain to see. Cells are 10 m; she draws 2 m with what she keeps under her
// keel, so that a depth of d floats her from the level 2 - d on; her mast is 15 m high.

namespace swingroom::testing_support {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;

constexpr double cell_m = 10, required_m = 2, air_draught_m = 15;
constexpr UnderWay narrow{0.5, required_m}; ///< her own cell and those that touch it are all that counts

/// Digits are depths in metres, letters banks that dry, a by 1 m, b by 2 m and so on; ? is not surveyed.
class Water {
public:
    explicit Water(const std::vector<std::string_view>& rows, std::vector<Hazard> hazards = {},
                   UnderWay needs = narrow, std::vector<GridCell> from = {}, WaterLevels levels = {1, 3}) {
        std::vector<float> depth_m;
        for (const std::string_view row : rows) {
            for (const char c : row) {
                depth_m.push_back(c == '?'               ? std::numeric_limits<float>::quiet_NaN()
                                  : c >= '0' && c <= '9' ? static_cast<float>(c - '0')
                                                         : static_cast<float>('a' - c - 1));
            }
        }
        make(std::move(depth_m), static_cast<int>(rows.front().size()), static_cast<int>(rows.size()),
             std::move(hazards), needs, std::move(from), levels);
    }
    Water(std::vector<float> depth_m, int cols, int rows, std::vector<GridCell> from) {
        make(std::move(depth_m), cols, rows, {}, narrow, std::move(from), {1, 3});
    }

    [[nodiscard]] const OverlayJob& way_job() const { return job_; }
    [[nodiscard]] WayToPlace way_to(GridCell place) const {
        return ApproachFinder(job_, *georeference_).find({&place, 1}).front();
    }
    [[nodiscard]] Approach approach_to(GridCell place) const {
        const WayToPlace way = way_to(place);
        EXPECT_TRUE(way.approach.has_value());
        EXPECT_FALSE(way.closed.has_value());
        return way.approach.value_or(Approach{});
    }
    [[nodiscard]] ClosedWay closed_to(GridCell place) const {
        const WayToPlace way = way_to(place);
        EXPECT_FALSE(way.approach.has_value());
        EXPECT_TRUE(way.closed.has_value());
        return way.closed.value_or(ClosedWay{});
    }
    [[nodiscard]] GridCell cell_at(LonLat at) const {
        const GridPoint point = georeference_->grid_point(at);
        return {static_cast<int>(std::floor(point.x)), static_cast<int>(std::floor(point.y))};
    }
    [[nodiscard]] OverlayJob& job() { return job_; }
    [[nodiscard]] const WayIn& way_in() const { return way_in_; }
    [[nodiscard]] const Georeference& georeference() const { return *georeference_; }

private:
    void make(std::vector<float> depth_m, int cols, int rows, std::vector<Hazard> hazards, UnderWay needs,
              std::vector<GridCell> from, WaterLevels levels) {
        const Grid grid = utm_grid(cols, rows, cell_m);
        scene_.depths = memory_bathymetry(grid, std::move(depth_m), DepthUncertainty::none());
        scene_.metric = GroundMetric::uniform(grid.rows, cell_m, cell_m);
        scene_.hazards = std::make_unique<HazardField>(std::move(hazards), grid.extent(), scene_.metric);
        Boat boat = read_trial_boat(trial_boats().front());
        boat.hull.air_draught_m = air_draught_m;
        scene_.tables = std::make_unique<TackleTables>(boat, Conditions{levels, 8, 0}, 1.0);
        job_ = scene_.job();
        way_in_.needs = needs;
        way_in_.job = &job_;
        way_in_.places = from;
        way_in_.lowest_m = static_cast<float>(levels.low_m);
        way_in_.highest_m = static_cast<float>(levels.high_m);
        if (from.empty()) {
            way_in_.access = AccessLevels::from_the_rim(job_, needs);
        } else {
            way_in_.access = AccessLevels::from_places(job_, needs, from);
        }
        job_.way_in = &way_in_;
        georeference_ = std::make_unique<Georeference>(grid, "scene");
    }

    OverlayScene scene_;
    OverlayJob job_;
    WayIn way_in_;
    std::unique_ptr<Georeference> georeference_;
};

std::pair<int, int> pair_of(GridCell cell) { return {cell.col, cell.row}; }

/// A pool behind a bar that has 1 m over it in the middle and dries elsewhere; the sea is in the west.
const std::vector<std::string_view> barred = {"dddddddddd", "999ddddddd", "9999999999",
                                              "9999911999", "9999911999", "9999911999",
                                              "9999999999", "999ddddddd", "dddddddddd"};

TEST(Approaches, TurnAtTheSillAndTellItsWater) {
    const Water water({"dddddddddddd", "9999ddddddd9", "99999dd9999d", "99999119999d", "99999119999d",
                       "99999119999d", "99999dd9999d", "9999ddddddd9", "dddddddddddd"});
    const Approach way = water.approach_to({8, 4});
    EXPECT_EQ(way.level_m, 1) << "which is the lowest level of the stay as well";
    EXPECT_EQ(pair_of(way.sill.cell), std::pair(4, 4)) << "the first cell that is beside the bar";
    EXPECT_EQ(way.sill.least_depth_m, 1);
    EXPECT_EQ(way.sill.level_m, 1);
    EXPECT_EQ(way.sill.hazard, "");
    ASSERT_EQ(way.legs.size(), 2U);
    EXPECT_EQ(pair_of(water.cell_at(way.legs[0].from)), std::pair(0, 4));
    EXPECT_EQ(pair_of(water.cell_at(way.legs[0].to)), std::pair(4, 4)) << "a turn at the sill";
    EXPECT_EQ(pair_of(water.cell_at(way.legs[1].to)), std::pair(8, 4));
    EXPECT_EQ(way.legs[0].least_depth_m, 1);
    EXPECT_EQ(way.clear_m, 10) << "10 m from any point of the middle cells to what dries";
}

// Courses and lengths: 4 and 4 cells of 10 m eastwards on the central meridian of a UTM zone, where the scale
// is 0.9996 (EPSG Guidance Note 7-2), with PROJ's geod for the reading of it: 40.016 m on a course of 90.
TEST(Approaches, LegsAreGeodesicsWithTrueCourses) {
    const Water water({"99999999999", "99999999999", "99999999999", "dd9999999dd"}, {}, narrow, {{1, 1}});
    const Approach way = water.approach_to({9, 1});
    ASSERT_FALSE(way.legs.empty());
    double length_m = 0;
    for (const ApproachLeg& leg : way.legs) {
        EXPECT_NEAR(leg.course_deg, 90, 0.01);
        const Geodesic line = geodesic(leg.from, leg.to);
        EXPECT_EQ(leg.length_m, line.distance_m);
        EXPECT_EQ(leg.course_deg, line.azimuth_deg);
        length_m += leg.length_m;
    }
    EXPECT_NEAR(length_m, 80 / 0.9996, 0.001);
    EXPECT_NEAR(way.length_m, length_m, 1e-9);
}

TEST(Approaches, ToWhereItBeginsHaveNoLegs) {
    const Water water({"999", "999", "999"}, {}, narrow, {{1, 1}});
    const Approach way = water.approach_to({1, 1});
    EXPECT_THAT(way.legs, IsEmpty());
    EXPECT_EQ(way.length_m, 0);
    EXPECT_EQ(pair_of(way.sill.cell), std::pair(1, 1));
}

TEST(Approaches, IntoAPoolWhoseRimDriesAreClosedByItsSill) {
    const Water water({"999999999", "999999999", "99ccccc99", "99c999c99", "99c999c99", "99c999c99",
                       "99ccccc99", "999999999", "999999999"});
    const ClosedWay closed = water.closed_to({4, 4});
    ASSERT_TRUE(closed.sill);
    EXPECT_EQ(closed.sill->level_m, 5) << "the rim dries by 3 m";
    EXPECT_EQ(closed.sill->least_depth_m, -3);
    EXPECT_EQ(closed.sill->hazard, "");
    EXPECT_THAT(closed.through, IsEmpty());
}

TEST(Approaches, WaitForTheWaterOverASillThatIsHighEnoughForATime) {
    const Water water({"999999999", "999999999", "99aaaaa99", "99a999a99", "99a999a99", "99a999a99",
                       "99aaaaa99", "999999999", "999999999"});
    const Approach way = water.approach_to({4, 4});
    EXPECT_EQ(way.level_m, 3);
    EXPECT_EQ(way.sill.level_m, 3);
    EXPECT_EQ(way.sill.least_depth_m, -1);
}

TEST(Approaches, DoNotFitThroughAGapNarrowerThanHerBeam) {
    constexpr std::string_view wall = "99999?99999", open = "99999999999";
    const std::vector<std::string_view> gap = {wall, wall, wall, open, open, open, wall, wall, wall};
    const std::vector<GridCell> start{{2, 4}};
    const Approach way = Water(gap, {}, {10, required_m}, start).approach_to({8, 4});
    EXPECT_EQ(way.clear_m, 10);
    const Water too_wide(gap, {}, {10.1, required_m}, start);
    const ClosedWay closed = too_wide.closed_to({8, 4});
    EXPECT_FALSE(closed.sill) << "no level makes it wider";
    EXPECT_THAT(closed.through, IsEmpty());
}

TEST(Approaches, DoNotSlipThroughWhereCellsTouchAtACorner) {
    const Water water(
        {"????????", "?999????", "?999????", "?999????", "????999?", "????999?", "????999?", "????????"}, {},
        narrow, {{2, 2}});
    EXPECT_FALSE(water.way_to({5, 5}).approach);
}

// A shoal that is 0.05 m shoaler than the rest lies on the straight line: nobody steers round it.
TEST(Approaches, GiveALittleDepthForFewerTurns) {
    std::vector<float> depth_m(41 * 60, 9);
    for (int row = 17; row < 24; ++row) {
        depth_m[static_cast<std::size_t>(row) * 60 + 30] = 8.95F;
    }
    const Water water(depth_m, 60, 41, {{12, 20}});
    const GridCell place{47, 20};
    const auto find = [&](Turns turns) {
        return ApproachFinder(water.way_job(), water.georeference(), turns)
            .find({&place, 1})
            .front()
            .approach;
    };
    const std::optional<Approach> found = find(Turns::as_found), fewer = find(Turns::fewer);
    ASSERT_TRUE(found && fewer);
    EXPECT_EQ(found->sill.level_m, -7) << "round it";
    EXPECT_GT(found->length_m, fewer->length_m + 1);
    ASSERT_EQ(fewer->legs.size(), 2U) << "to the sill, and on";
    EXPECT_NEAR(fewer->legs.front().course_deg, fewer->legs.back().course_deg, 1) << "straight";
    EXPECT_NEAR(fewer->sill.level_m, -6.95, 1e-6) << "of the line as it is";
    EXPECT_LE(fewer->sill.level_m, fewer->level_m);
}

TEST(Approaches, PreferWideToShortAndDeepToShort) {
    // The island has a wide side in the north and a narrow one, by which it is shorter, in the south.
    constexpr std::string_view open = "99999999999999999", island = "9999999???9999999";
    const Water wide({open, open, open, open, open, island, island, island, open, open, island}, {}, narrow,
                     {{14, 7}});
    const Approach by_north = wide.approach_to({2, 7});
    double north_m = 0;
    for (const ApproachLeg& leg : by_north.legs) {
        north_m = std::max(north_m, leg.to.lat);
    }
    EXPECT_GT(north_m, wide.georeference().lonlat({8.5, 5.0}).lat) << "round the north of it";
    // As wide on both sides, and deeper in the north.
    const Water deep({"?????????????", "?555555555555", "?555555555555", "?555555555555", "?55dddddd5555",
                      "?55dddddd5555", "?333333335555", "?333333335555", "?333333335555", "?????????????"},
                     {}, narrow, {{11, 5}});
    const Approach way = deep.approach_to({2, 2});
    EXPECT_GE(way.sill.least_depth_m, 3);
}

TEST(Approaches, BeginAtTheEntranceThatCounts) {
    // Two entrances, of which the one in the south has the deepest cell and so is where the sea is.
    const Water water({"dd555ddd", "dd555ddd", "dd555ddd", "dd555ddd", "dd777ddd", "dd797ddd"});
    const Approach way = water.approach_to({3, 2});
    ASSERT_FALSE(way.legs.empty());
    EXPECT_EQ(water.cell_at(way.legs.front().from).row, 5);
}

Hazard bridge(double clearance_m) {
    Hazard hazard = testing_support::hazard(effect::hull, 0, {{5.5, -1}, {5.5, 10}}, "bridge", "bridges #2");
    hazard.clearance_m = clearance_m;
    return hazard;
}

TEST(Approaches, PassUnderABridgeThatIsHighEnoughAndNameOneThatIsNot) {
    const std::vector<std::string_view> open(9, "99999999999");
    const std::vector<GridCell> start{{1, 4}};
    const Approach way = Water(open, {bridge(18)}, narrow, start).approach_to({9, 4});
    EXPECT_NEAR(way.length_m, 80 / 0.9996, 0.001) << "straight through";
    const ClosedWay closed = Water(open, {bridge(17.9)}, narrow, start).closed_to({9, 4});
    EXPECT_FALSE(closed.sill);
    EXPECT_THAT(closed.through, ElementsAre("bridge (bridges #2), clearance 17.9 m"));
}

// A platform in the middle of what the bridge closes costs nothing more to pass, but closes nothing.
TEST(Approaches, NameNoDangerThatMayStayWhereItIs) {
    const std::vector<std::string_view> open(9, "99999999999");
    const Hazard platform =
        testing_support::hazard(effect::hull, 0, {{5.4, 4.4}, {5.6, 4.6}}, "platform", "points #1");
    const ClosedWay closed = Water(open, {platform, bridge(17)}, narrow, {{1, 4}}).closed_to({9, 4});
    EXPECT_THAT(closed.through, ElementsAre("bridge (bridges #2), clearance 17.0 m"));
    EXPECT_FALSE(closed.data_ends);
}

TEST(Approaches, TellWhetherTheDataEnds) {
    const Water water({"9999?9999", "9999?9999", "9999?9999"}, {}, narrow, {{1, 1}});
    EXPECT_TRUE(water.closed_to({7, 1}).data_ends);
}

TEST(Approaches, NameTheDangerOfKnownDepthThatIsTheSill) {
    Hazard wreck = testing_support::hazard(effect::hull, 0, {{5.5, -1}, {5.5, 10}}, "wreck", "wrecks #3");
    wreck.least_depth_m = 1.5;
    const std::vector<std::string_view> open(9, "99999999999");
    const Approach way = Water(open, {wreck}, narrow, {{1, 4}}).approach_to({9, 4});
    EXPECT_EQ(way.sill.hazard, "wreck (wrecks #3)");
    EXPECT_EQ(way.sill.least_depth_m, 1.5);
    EXPECT_EQ(way.sill.level_m, 0.5);
}

TEST(Approaches, AreTheSameForAnyThreads) {
    Water water(barred);
    const auto told = [&](int threads) {
        water.job().threads = threads;
        std::string text;
        for (const GridCell place : {GridCell{8, 4}, {9, 2}, {1, 4}}) {
            const WayToPlace way = water.way_to(place);
            if (!way.approach) continue;
            for (const ApproachLeg& leg : way.approach->legs) {
                text += std::to_string(leg.from.lon) + ' ' + std::to_string(leg.to.lat) + ' ' +
                        std::to_string(leg.least_depth_m) + '\n';
            }
        }
        return text;
    };
    EXPECT_NE(told(1), "");
    EXPECT_EQ(told(1), told(3));
}

TEST(Approaches, AreUnknownWhereItIsNotKnownWhereTheWayBegins) {
    const Water water({"ddd", "d9d", "ddd"}); // no water on the rim
    const WayToPlace way = water.way_to({1, 1});
    EXPECT_FALSE(way.approach);
    EXPECT_FALSE(way.closed);
}

// Cells put together stand for the worst of them, and never open what is closed.
TEST(Approaches, PutCellsTogetherByTheWorstOfThem) {
    const Water water({"9999999", "99999a9", "9999999", "9999999", "9990999"});
    const AccessFloor floor(*water.way_in().job, narrow);
    const RimStart start = floor.rim_start();
    const SearchGrid fine = read_search_grid(*water.way_in().job, floor, &start, {}, {0, 0, 7, 5}, 1, {}),
                     coarse = read_search_grid(*water.way_in().job, floor, &start, {}, {0, 0, 7, 5}, 3, {});
    EXPECT_EQ(coarse.cells, (Window{0, 0, 3, 2}));
    for (int row = 0; row < 5; ++row) {
        for (int col = 0; col < 7; ++col) {
            EXPECT_GE(coarse.needed_m[coarse.number_of({col, row})],
                      fine.needed_m[fine.number_of({col, row})]);
            EXPECT_LE(coarse.floor_m[coarse.number_of({col, row})], fine.floor_m[fine.number_of({col, row})]);
        }
    }
    const std::vector<float> fine_m = rooms_at(fine, 1, required_m, 0.5F, 100),
                             coarse_m = rooms_at(coarse, 1, required_m, 0.5F, 100);
    for (int row = 0; row < 5; ++row) {
        for (int col = 0; col < 7; ++col) {
            EXPECT_LE(coarse_m[coarse.number_of({col, row})], fine_m[fine.number_of({col, row})]);
        }
    }
    EXPECT_EQ(put_together({0, 0, 16384, 16384}, std::int64_t{4} << 20), 8);
    EXPECT_EQ(put_together({0, 0, 2048, 2048}, std::int64_t{4} << 20), 1);
}

/// Open water of more cells than are looked at one by one, with a pool in it whose only entrance has room for
/// her along a single row of cells: put together by twos, none of its cells is open.
TEST(Approaches, OfLargeRastersGoThroughNarrowEntrancesToo) {
    constexpr int side = 2100, wall = 1000, within = 40, gap = 1021;
    const Grid grid = utm_grid(side, side, cell_m);
    std::vector<float> depth_m(std::size_t{side} * side, 9);
    const auto at = [&](int col, int row) -> float& {
        return depth_m[static_cast<std::size_t>(row) * side + static_cast<std::size_t>(col)];
    };
    for (int i = 0; i <= within; ++i) {
        for (const auto& [col, row] : {std::pair(wall + i, wall), std::pair(wall + i, wall + within),
                                       std::pair(wall, wall + i), std::pair(wall + within, wall + i)}) {
            if (col != wall || std::abs(row - gap) > 1) at(col, row) = -5;
        }
    }
    OverlayScene scene;
    scene.depths = memory_bathymetry(grid, std::move(depth_m), DepthUncertainty::none());
    scene.metric = GroundMetric::uniform(side, cell_m, cell_m);
    scene.hazards = std::make_unique<HazardField>(std::vector<Hazard>(), grid.extent(), scene.metric);
    scene.tables =
        std::make_unique<TackleTables>(read_trial_boat(trial_boats().front()), Conditions{{1, 3}, 8, 0}, 1.0);
    OverlayJob job = scene.job();
    WayIn way_in;
    way_in.needs = narrow;
    way_in.job = &job;
    way_in.places = {{900, 980}};
    way_in.lowest_m = 1;
    way_in.highest_m = 3;
    way_in.access = AccessLevels::from_places(job, narrow, way_in.places);
    job.way_in = &way_in;
    const Georeference georeference(grid, "scene");
    const std::vector<GridCell> places = {{1025, 1010}, {1300, 300}};
    const std::vector<WayToPlace> ways = ApproachFinder(job, georeference).find(places);
    const AccessFloor floor(job, narrow);
    AccessFloor::Scratch scratch;
    Plane<float> needed_m;
    floor.needed({850, 250, 500, 900}, nullptr, scratch, needed_m);
    for (std::size_t i = 0; i < places.size(); ++i) {
        ASSERT_TRUE(ways[i].approach) << i;
        const Approach& way = *ways[i].approach;
        EXPECT_EQ(way.together, 2);
        ASSERT_FALSE(way.legs.empty());
        const GridPoint end = georeference.grid_point(way.legs.back().to);
        EXPECT_EQ(static_cast<int>(std::floor(end.x)), places[i].col);
        EXPECT_EQ(static_cast<int>(std::floor(end.y)), places[i].row);
        for (const ApproachLeg& leg : way.legs) {
            const GridPoint a = georeference.grid_point(leg.from), b = georeference.grid_point(leg.to);
            const int steps = static_cast<int>(20 * std::hypot(b.x - a.x, b.y - a.y)) + 1;
            for (int step = 0; step <= steps; ++step) {
                const double part = static_cast<double>(step) / steps;
                const int col = static_cast<int>(std::floor(std::lerp(a.x, b.x, part))),
                          row = static_cast<int>(std::floor(std::lerp(a.y, b.y, part)));
                ASSERT_LE(double{needed_m.at(col, row)}, way.level_m) << col << ' ' << row;
                ASSERT_LE(leg.least_depth_m, required_m - double{needed_m.at(col, row)});
            }
        }
    }
    EXPECT_EQ(ways[0].approach->clear_m, 10) << "in the entrance";
}

// Where charts end, cells that they do not cover share squares with those that she comes in over: of as many
// rows of charts as may be, the squares on their edge are open.
TEST(Approaches, WhereChartsEndBeginInSquaresOfCellsToo) {
    for (const int covered : {6, 7}) {
        constexpr int cols = 12, rows = 12;
        const Grid grid = utm_grid(cols, rows, cell_m);
        std::vector<float> depth_m(std::size_t{cols} * rows, std::numeric_limits<float>::quiet_NaN());
        std::fill_n(depth_m.begin(), cols * covered, 9.0F);
        Hazard gap = testing_support::hazard(effect::uncharted, 0, {});
        gap.paths.clear();
        const double y = covered;
        gap.rings = {{{-5, y + 0.01}, {20, y + 0.01}, {20, 20}, {-5, 20}, {-5, y + 0.01}}};
        OverlayScene scene;
        scene.depths = memory_bathymetry(grid, std::move(depth_m), DepthUncertainty::none());
        scene.metric = GroundMetric::uniform(rows, cell_m, cell_m);
        scene.hazards = std::make_unique<HazardField>(std::vector<Hazard>{gap}, grid.extent(), scene.metric);
        scene.tables = std::make_unique<TackleTables>(read_trial_boat(trial_boats().front()),
                                                      Conditions{{1, 3}, 8, 0}, 1.0);
        const OverlayJob job = scene.job();
        const AccessFloor floor(job, narrow);
        const RimStart start = floor.rim_start();
        ASSERT_TRUE(start.charts) << covered;
        ASSERT_FALSE(start.cells.empty());
        const SearchGrid coarse = read_search_grid(job, floor, &start, {}, grid.extent(), 2, {});
        const GridCell middle{cols / 2, covered - 1}, outside{cols / 2, covered + 2};
        ASSERT_TRUE(start.charts->outside(middle.col, covered));
        EXPECT_LE(coarse.needed_m[coarse.number_of(middle)], 1) << covered << " rows";
        EXPECT_GT(coarse.needed_m[coarse.number_of(outside)], 1000) << covered << " rows";
    }
}

// Access levels of a large raster are known up to the highest of the stay alone; the sill of a place that is
// out of reach is found all the same.
TEST(Approaches, OfLargeRastersAreClosedByASillThatIsNoLower) {
    constexpr int side = 1500, wall = 1001;
    const Grid grid = utm_grid(side, side, cell_m);
    std::vector<float> depth_m(std::size_t{side} * side, 9);
    for (int row = 0; row < side; ++row) {
        depth_m[static_cast<std::size_t>(row) * side + wall] = row == 700 ? -3.0F : -5.0F;
    }
    OverlayScene scene;
    scene.depths = memory_bathymetry(grid, std::move(depth_m), DepthUncertainty::none());
    scene.metric = GroundMetric::uniform(side, cell_m, cell_m);
    scene.hazards = std::make_unique<HazardField>(std::vector<Hazard>(), grid.extent(), scene.metric);
    scene.tables =
        std::make_unique<TackleTables>(read_trial_boat(trial_boats().front()), Conditions{{1, 3}, 8, 0}, 1.0);
    OverlayJob job = scene.job();
    WayIn way_in;
    way_in.needs = narrow;
    way_in.job = &job;
    way_in.places = {{900, 980}};
    way_in.lowest_m = 1;
    way_in.highest_m = 3;
    way_in.access = AccessLevels::from_places(job, narrow, way_in.places, {1, 3});
    job.way_in = &way_in;
    const GridCell place{1200, 700};
    const WayToPlace way = ApproachFinder(job, Georeference(grid, "scene")).find({&place, 1}).front();
    ASSERT_TRUE(way.closed);
    EXPECT_EQ(way.closed->together, 2);
    ASSERT_TRUE(way.closed->sill);
    EXPECT_GE(way.closed->sill->level_m, 5) << "what it is by cells";
    EXPECT_LE(way.closed->sill->level_m, 7) << "the highest of the wall";
    EXPECT_FALSE(way.closed->data_ends);
}

} // namespace
} // namespace swingroom::testing_support
