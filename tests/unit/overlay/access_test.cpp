#include "swingroom/overlay/access.hpp"
#include "swingroom/overlay/way_in.hpp"

#include "support/overlay_scene.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

// Small seas whose levels are plain to see. Cells are 10 m; she draws 2 m with what she keeps under her keel,
// so that a depth of d floats her from the level 2 - d on.

namespace swingroom::testing_support {
namespace {

using testing::ElementsAre;

constexpr double cell_m = 10, required_m = 2, air_draught_m = 15;
constexpr float never = std::numeric_limits<float>::infinity();
constexpr UnderWay narrow{4, required_m}; ///< her own cell and those that touch it are all that counts

/// Digits are depths in metres, letters banks that dry, a by 1 m, b by 2 m and so on; ? is not surveyed.
OverlayScene sea_of(const std::vector<std::string_view>& rows, WaterLevels levels = {1, 3},
                    std::vector<Hazard> hazards = {}) {
    OverlayScene scene;
    std::vector<float> depth_m;
    for (const std::string_view row : rows) {
        for (const char c : row) {
            depth_m.push_back(c == '?'               ? std::numeric_limits<float>::quiet_NaN()
                              : c >= '0' && c <= '9' ? static_cast<float>(c - '0')
                                                     : static_cast<float>('a' - c - 1));
        }
    }
    const Grid grid = utm_grid(static_cast<int>(rows.front().size()), static_cast<int>(rows.size()), cell_m);
    scene.depths = memory_bathymetry(grid, std::move(depth_m), DepthUncertainty::none());
    scene.metric = GroundMetric::uniform(grid.rows, cell_m, cell_m);
    scene.hazards = std::make_unique<HazardField>(std::move(hazards), grid.extent(), scene.metric);
    Boat boat = read_trial_boat(trial_boats().front());
    boat.hull.air_draught_m = air_draught_m;
    scene.tables = std::make_unique<TackleTables>(boat, Conditions{levels, 8, 0}, 1.0);
    return scene;
}

Plane<float> levels_of(const AccessLevels& access, const OverlayScene& scene) {
    AccessLevels::Workspace work;
    Plane<float> level_m;
    access.levels(scene.depths->grid().extent(), work, level_m);
    return level_m;
}

Plane<float> from_sea(const OverlayScene& scene, UnderWay needs = narrow) {
    const auto access = AccessLevels::from_the_rim(scene.job(), needs);
    EXPECT_TRUE(access.has_value());
    return access ? levels_of(*access, scene) : Plane<float>(scene.depths->grid().extent(), never);
}

std::vector<float> row_of(const Plane<float>& level_m, int row) {
    return {level_m.row(row), level_m.row(row) + level_m.window().cols};
}

TEST(Access, OverASillWaitsForItsWater) {
    // A pool 9 m deep behind a bar that has 1 m over it in the middle and dries elsewhere.
    const Plane<float> level_m =
        from_sea(sea_of({"dddddddd", "ddd9999d", "999199dd", "999199dd", "999199dd", "ddd9999d", "dddddddd"}),
                 {0.5, required_m});
    // Within half a metre of a cell lie all that touch it.
    EXPECT_EQ(level_m.at(0, 3), -7) << "outside: 9 m all around, and the sea beyond the edge";
    EXPECT_EQ(level_m.at(2, 3), 1) << "beside the bar";
    EXPECT_EQ(level_m.at(3, 3), 1);
    EXPECT_EQ(level_m.at(5, 3), 6) << "beside what dries by 4 m";
    EXPECT_EQ(level_m.at(0, 1), never) << "beside the edge where no water comes in";
}

TEST(Access, IntoAPoolThatFallsDryAroundIsThatOfItsRim) {
    const Plane<float> level_m =
        from_sea(sea_of({"999999999", "999999999", "99aaaaa99", "99a999a99", "99a999a99", "99a999a99",
                         "99aaaaa99", "999999999", "999999999"}));
    EXPECT_EQ(level_m.at(4, 4), 3) << "the pool is deep, but its rim dries by 1 m";
    EXPECT_EQ(level_m.at(0, 4), -7);
    EXPECT_EQ(level_m.at(1, 4), 3) << "within her clear way of the ring";
}

TEST(Access, ThroughAGapIsAsWideAsSheNeeds) {
    constexpr std::string_view wall = "99999?99999", open = "99999999999";
    const std::vector<GridCell> start{{2, 4}};
    const auto beyond_m = [&](const std::vector<std::string_view>& rows, double clear_way_m) {
        const OverlayScene scene = sea_of(rows);
        const UnderWay needs{clear_way_m, required_m};
        return levels_of(AccessLevels::from_places(scene.job(), needs, start), scene).at(8, 4);
    };
    const std::vector<std::string_view> wide = {wall, wall, wall, open, open, open, wall, wall, wall},
                                        one = {wall, wall, wall, wall, open, wall, wall, wall, wall};
    EXPECT_EQ(beyond_m(wide, 4), -7);
    EXPECT_EQ(beyond_m(wide, 10), -7) << "10 m from any point of the middle cell just touch the wall";
    EXPECT_EQ(beyond_m(wide, 10.1), never);
    EXPECT_EQ(beyond_m(one, 0.1), never) << "the wall is met at once from some point of the cell";
}

TEST(Access, DoesNotSlipThroughWhereCellsTouchAtACorner) {
    // Two pools of open cells that share a corner alone, with nothing known around them.
    const OverlayScene scene = sea_of(
        {"????????", "?999????", "?999????", "?999????", "????999?", "????999?", "????999?", "????????"});
    const std::vector<GridCell> start{{2, 2}};
    const Plane<float> level_m = levels_of(AccessLevels::from_places(scene.job(), narrow, start), scene);
    EXPECT_EQ(level_m.at(2, 2), -7);
    EXPECT_EQ(level_m.at(5, 5), never);
}

TEST(Access, GoesRoundAnIslandByTheDeeperSide) {
    const OverlayScene scene =
        sea_of({"?????????????", "?555555555555", "?555555555555", "?555555555555", "?55dddddd5555",
                "?55dddddd5555", "?333333335555", "?333333335555", "?333333335555", "?????????????"});
    const std::vector<GridCell> start{{11, 5}};
    const Plane<float> level_m =
        levels_of(AccessLevels::from_places(scene.job(), {0.5, required_m}, start), scene);
    EXPECT_EQ(level_m.at(11, 5), -3);
    EXPECT_EQ(level_m.at(12, 5), never) << "beside the edge, beyond which nothing is known";
    EXPECT_EQ(level_m.at(2, 2), -3) << "by the north";
    const Plane<float> open_m = from_sea(scene, {0.5, required_m});
    EXPECT_EQ(open_m.at(11, 5), -3);
    EXPECT_EQ(open_m.at(2, 2), -3) << "by the north";
    EXPECT_EQ(open_m.at(4, 7), -1) << "3 m are there";
}

TEST(Access, BeginsAtTheStretchOfTheRimWithTheDeepestCell) {
    const OverlayScene scene =
        sea_of({"dd555ddd", "dd555ddd", "dd555ddd", "dddddddd", "dd777ddd", "dd797ddd"});
    const auto access = AccessLevels::from_the_rim(scene.job(), {0.5, required_m});
    ASSERT_TRUE(access);
    ASSERT_EQ(access->stretches().size(), 2U);
    const RimStretch &start = access->stretches()[0], &other = access->stretches()[1];
    EXPECT_EQ(start.cells, 3);
    EXPECT_EQ(start.deepest_m, 9);
    EXPECT_EQ(start.deepest.col, 3);
    EXPECT_EQ(start.deepest.row, 5);
    EXPECT_EQ(start.first.col, 4) << "clockwise: from the east to the west along the last row";
    EXPECT_EQ(start.last.col, 2);
    EXPECT_EQ(other.deepest_m, 5);
    EXPECT_EQ(other.cells, 3);
    const Plane<float> level_m = levels_of(*access, scene);
    EXPECT_EQ(level_m.at(3, 5), -5) << "7 m beside it, and beyond the edge nothing counts";
    EXPECT_EQ(level_m.at(3, 0), never) << "the other entrance is unknown water beyond";
    EXPECT_EQ(level_m.at(3, 1), 6) << "over land that stands 4 m high, were the water to stand so high";
}

TEST(Access, HasNoStartWhereTheRimDriesAtTheHighestLevel) {
    const std::vector<std::string_view> rows = {"bbbb", "b99b", "b99b", "bbbb"};
    EXPECT_FALSE(AccessLevels::from_the_rim(sea_of(rows, {1, 3.9}).job(), narrow));
    EXPECT_TRUE(AccessLevels::from_the_rim(sea_of(rows, {1, 4}).job(), narrow));
    EXPECT_FALSE(AccessLevels::from_the_rim(sea_of({"????", "?99?", "????"}).job(), narrow));
}

TEST(Access, RimsOfOneRowOrOneColumnHaveTwoEnds) {
    const OverlayScene row = sea_of({"55d57"});
    const auto along = AccessLevels::from_the_rim(row.job(), {0.5, required_m});
    ASSERT_TRUE(along);
    EXPECT_EQ(along->stretches().size(), 2U);
    EXPECT_THAT(row_of(levels_of(*along, row), 0), ElementsAre(never, never, never, never, -3));
    const OverlayScene column = sea_of({"5", "?", "5", "7"});
    const auto down = AccessLevels::from_the_rim(column.job(), {0.5, required_m});
    ASSERT_TRUE(down);
    EXPECT_EQ(down->stretches().size(), 2U);
    EXPECT_EQ(levels_of(*down, column).at(0, 3), -3);
    EXPECT_EQ(levels_of(*down, column).at(0, 0), never);
}

TEST(Access, CountsADangerWithItsDepthAndABridgeAtTheHighestLevel) {
    Hazard rock = hazard(effect::hull, 0, {{4.5, 1.5}});
    rock.least_depth_m = 1;
    const std::vector<std::string_view> rows = {"9999999", "9999999", "9999999"};
    const UnderWay close{0.5, required_m};
    EXPECT_EQ(from_sea(sea_of(rows, {1, 3}, {rock}), close).at(4, 1), 1);
    rock.least_depth_m.reset();
    EXPECT_EQ(from_sea(sea_of(rows, {1, 3}, {rock}), close).at(4, 1), never);
    Hazard bridge = hazard(effect::hull, 0, {{3.5, -1}, {3.5, 4}});
    bridge.clearance_m = air_draught_m + 3;
    EXPECT_EQ(from_sea(sea_of(rows, {1, 3}, {bridge}), close).at(3, 1), -7);
    bridge.clearance_m = air_draught_m + 2.9;
    EXPECT_EQ(from_sea(sea_of(rows, {1, 3}, {bridge}), close).at(3, 1), never);
}

TEST(Access, OfAPlaceByItselfIsTheLevelThatFloatsHerClearThere) {
    const OverlayScene scene = sea_of({"999999", "999999", "999199", "999999", "999??9", "999999"});
    const UnderWay close{0.5, required_m};
    EXPECT_EQ(AccessLevels::level_to_float(scene.job(), close, {1, 2}), -7);
    EXPECT_EQ(AccessLevels::level_to_float(scene.job(), close, {2, 2}), 1);
    EXPECT_EQ(AccessLevels::level_to_float(scene.job(), close, {3, 3}), never);
    EXPECT_EQ(AccessLevels::level_to_float(scene.job(), close, {0, 2}), never) << "beside the edge";
}

/// Margins are for who swings there all night; the rules say how near she may come under way.
TEST(Access, ComesNearerUnderWayThanAMarginOrPassesWhereSheMayNotLie) {
    const std::vector<std::string_view> rows = {"9999999", "9999999", "9999999", "9999999", "9999999"};
    const UnderWay close{0.5, required_m};
    Hazard buoy = hazard(effect::hull, 12, {{3.5, 2.5}});
    const auto levels_by = [&](std::vector<Hazard> hazards) {
        return row_of(from_sea(sea_of(rows, {1, 3}, std::move(hazards)), close), 2);
    };
    EXPECT_THAT(levels_by({buoy}), ElementsAre(-7, never, never, never, never, never, -7))
        << "the cells within its margin, and those that touch them";
    buoy.under_way_m = 0;
    EXPECT_THAT(levels_by({buoy}), ElementsAre(-7, -7, never, never, never, -7, -7));
    buoy.placement_allowance_m = 12;
    EXPECT_THAT(levels_by({buoy}), ElementsAre(-7, never, never, never, never, never, -7))
        << "it may lie beside its place";
    Hazard fairway = hazard(effect::hull | effect::drop, 0, {});
    fairway.paths.clear();
    fairway.rings = {box(2.2, 0.2, 2.6, 4.6)};
    EXPECT_EQ(levels_by({fairway})[3], never);
    fairway.under_way_m = -std::numeric_limits<double>::infinity();
    EXPECT_THAT(levels_by({fairway}), ElementsAre(-7, -7, -7, -7, -7, -7, -7));
    buoy.placement_allowance_m = 0;
    EXPECT_THAT(levels_by({fairway, buoy}), ElementsAre(-7, -7, never, never, never, -7, -7))
        << "what stands in a fairway is met all the same";
}

/// What no chart covers, as their reader makes it: an area whose outline touches the cells that are covered
/// in part.
Hazard uncharted(std::vector<GridPoint> ring) {
    Hazard gap = hazard(effect::uncharted, 0, {});
    gap.paths.clear();
    gap.rings = {std::move(ring)};
    return gap;
}

TEST(Access, BeginsWhereChartsEnd) {
    const std::vector<std::string_view> rows = {"???dddddd", "???999999", "???9999?9", "???999999",
                                                "???dddddd"};
    // The last column of the gap is covered in part. Another gap lies within the charts.
    OverlayScene scene =
        sea_of(rows, {1, 3}, {uncharted(box(-5, -5, 7.5, 15)), uncharted(box(7.2, 2.2, 0.6, 0.6))});
    OverlayJob job = scene.job();
    const UnderWay close{0.5, required_m};
    const auto access = AccessLevels::from_the_rim(job, close);
    ASSERT_TRUE(access);
    EXPECT_EQ(access->stretches().size(), 2U) << "along the gap, and along the grid's last column";
    const RimStretch& start = access->stretches().front();
    EXPECT_EQ(start.cells, 3);
    EXPECT_EQ(start.first.col, 3);
    EXPECT_EQ(start.first.row, 1);
    EXPECT_EQ(start.last.row, 3);
    const Plane<float> level_m = levels_of(*access, scene);
    EXPECT_THAT(row_of(level_m, 2), ElementsAre(never, never, never, -7, -7, -7, never, never, never))
        << "nothing outside counts at the start; a hole in the charts is none of the outside";
    EXPECT_THAT(row_of(level_m, 1), ElementsAre(never, never, never, never, 6, 6, never, never, never))
        << "beside what lies beyond no stretch nothing is known";
}

TEST(Access, CountsADangerBesideChartsAndNothingElseThere) {
    const std::vector<std::string_view> rows = {"???dddddd", "???999999", "???999999", "???999999",
                                                "???999999", "???999999", "???dddddd"};
    const UnderWay close{0.5, required_m};
    const auto column_by = [&](std::vector<Hazard> hazards) {
        hazards.push_back(uncharted(box(-5, -5, 7.5, 15)));
        const OverlayScene scene = sea_of(rows, {1, 3}, std::move(hazards));
        const Plane<float> level_m = from_sea(scene, close);
        std::vector<float> column;
        for (int row = 2; row < 5; ++row) {
            column.push_back(level_m.at(3, row));
        }
        return column;
    };
    Hazard rock = hazard(effect::hull, 0, {{2.7, 3.5}}); // in what is covered in part
    EXPECT_THAT(column_by({}), ElementsAre(-7, -7, -7));
    EXPECT_THAT(column_by({rock}), ElementsAre(never, never, never)) << "it lies beside all three";
    rock.least_depth_m = 1;
    EXPECT_THAT(column_by({rock}), ElementsAre(1, 1, 1));
    rock.paths = {{{1.5, 3.5}}};
    EXPECT_THAT(column_by({rock}), ElementsAre(-7, -7, -7)) << "farther off than her clear way";
}

/// Where a raster ends off the charts there is mostly land; its border is one all the same.
TEST(Access, BeginsOnNoShoreThatNoChartCovers) {
    // Charts cover the last three columns, beside which the raster goes on for two.
    const std::vector<std::string_view> rows = {"?99555", "?99555", "?99555", "?99555", "bbbbbb"};
    const OverlayScene scene = sea_of(rows, {1, 3}, {uncharted(box(-5, -5, 7.5, 15))});
    const auto access = AccessLevels::from_the_rim(scene.job(), {0.5, required_m});
    ASSERT_TRUE(access);
    ASSERT_EQ(access->stretches().size(), 1U);
    EXPECT_EQ(access->stretches().front().cells, 8) << "along the first row and the last column";
    EXPECT_THAT(row_of(levels_of(*access, scene), 2), ElementsAre(never, never, -3, -3, -3, -3))
        << "what lies beside the raster's shore may be land";
}

/// No block of cells, no thread and no range changes it.
TEST(Access, WhereChartsEndIsTheSameForAnyBlocks) {
    Dice dice(150'001);
    for (int scenes = 0; scenes < 30; ++scenes) {
        const int cols = dice.whole(8, 40), rows = dice.whole(8, 40);
        std::vector<std::string> drawn(static_cast<std::size_t>(rows),
                                       std::string(static_cast<std::size_t>(cols), '9'));
        for (int i = dice.whole(5, 120); i > 0; --i) {
            drawn[static_cast<std::size_t>(dice.whole(0, rows - 1))]
                 [static_cast<std::size_t>(dice.whole(0, cols - 1))] =
                     dice.chance(0.5) ? 'b' : static_cast<char>('0' + dice.whole(0, 8));
        }
        std::vector<Hazard> gaps;
        for (int i = dice.whole(1, 5); i > 0; --i) {
            const double x = dice.between(-5, cols), y = dice.between(-5, rows);
            gaps.push_back(uncharted(
                {{x, y}, {x + dice.between(1, 20), y + 3}, {x + 4, y + dice.between(4, 20)}, {x, y}}));
        }
        const OverlayScene scene =
            sea_of(std::vector<std::string_view>(drawn.begin(), drawn.end()), {1, 3}, std::move(gaps));
        OverlayJob job = scene.job();
        const UnderWay needs{dice.between(0.5, 25), required_m};
        job.block = 512;
        const auto whole = AccessLevels::from_the_rim(job, needs);
        job.block = dice.whole(2, 11);
        job.threads = 2;
        const auto cut = AccessLevels::from_the_rim(job, needs);
        ASSERT_EQ(whole.has_value(), cut.has_value());
        if (!whole) continue;
        const Plane<float> expected_m = levels_of(*whole, scene), said_m = levels_of(*cut, scene);
        for (std::size_t i = 0; i < said_m.size(); ++i) {
            ASSERT_EQ(said_m.data()[i], expected_m.data()[i]) << "scene " << scenes << ", cell " << i;
        }
    }
}

/// How a cell stands to the way in follows from its level and those of the stay.
TEST(Access, ReachFollowsFromTheLevelsOfTheStay) {
    const OverlayScene scene = sea_of({"9999999", "999199b", "9991b9b"}, {1, 3});
    OverlayJob job = scene.job();
    WayIn way_in{.needs = {0.5, required_m}, .job = &job, .access = {}, .places = {{1, 1}}};
    way_in.lowest_m = 0;
    way_in.highest_m = 3;
    job.way_in = &way_in;
    EXPECT_EQ(reach_of(job, {1, 1}).reach, Reach::unknown) << "nobody knows where it begins";
    EXPECT_TRUE(std::isnan(reach_of(job, {1, 1}).access_level_m));
    way_in.access = AccessLevels::from_places(job, way_in.needs, way_in.places);
    EXPECT_EQ(reach_of(job, {1, 1}).reach, Reach::always);
    EXPECT_EQ(reach_of(job, {1, 1}).access_level_m, -7);
    EXPECT_EQ(reach_of(job, {3, 1}).reach, Reach::never);
    EXPECT_EQ(reach_of(job, {3, 1}).access_level_m, 4) << "over a bank, above the highest level";
    way_in.lowest_m = -7.5F;
    EXPECT_EQ(reach_of(job, {1, 1}).reach, Reach::at_times);
}

/// Wherever a run has the layer, it is what the levels are; nobody who does not ask gets it.
TEST(Access, IsALayerOfARunThatHasLookedForIt) {
    const OverlayScene scene = sea_of({"999999", "999999", "99bb99", "99??99", "999999", "999999"});
    OverlayJob job = scene.job();
    job.wanted = LayerSet::parse("access_level", "here");
    Recorder without(job.window);
    run_overlay(job, without, {});
    WayIn way_in{.needs = {0.5, required_m},
                 .job = &job,
                 .access = AccessLevels::from_the_rim(job, {0.5, required_m}),
                 .places = {}};
    ASSERT_TRUE(way_in.access);
    job.way_in = &way_in;
    Recorder with(job.window);
    run_overlay(job, with, {});
    const Plane<float> level_m = levels_of(*way_in.access, scene);
    int reached = 0, not_reached = 0;
    for (int row = 0; row < job.window.rows; ++row) {
        for (int col = 0; col < job.window.cols; ++col) {
            EXPECT_TRUE(std::isnan(without.all.plane<Layer::access_level>().at(col, row)));
            const float said_m = with.all.plane<Layer::access_level>().at(col, row);
            const bool gets_there = level_m.at(col, row) < never;
            EXPECT_EQ(std::isnan(said_m), !gets_there);
            if (gets_there) {
                EXPECT_EQ(said_m, level_m.at(col, row));
            }
            ++(gets_there ? reached : not_reached);
        }
    }
    EXPECT_GT(reached, 10);
    EXPECT_GT(not_reached, 4);
}

} // namespace
} // namespace swingroom::testing_support
