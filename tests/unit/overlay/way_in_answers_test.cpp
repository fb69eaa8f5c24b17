// What is told of cells that no way leads to, or one at times only: small seas whose answers are plain to
// see.

#include "swingroom/overlay/nearest_yes.hpp"
#include "swingroom/overlay/position.hpp"
#include "swingroom/overlay/way_in.hpp"
#include "swingroom/room/map_class.hpp"

#include "support/overlay_scene.hpp"
#include "support/pool_scene.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <functional>
#include <limits>
#include <optional>
#include <ranges>
#include <vector>

namespace swingroom::testing_support {
namespace {

constexpr int cols = pool_cols, rows = pool_rows;
constexpr float infinite = std::numeric_limits<float>::infinity();

/// A run that has looked for a way in from the sea in the west.
struct PoolRun {
    explicit PoolRun(const OverlayScene& of, const std::function<void(WayIn&)>& changed = {})
        : scene(of), job(of.job()), way_in{.needs = {1, of.tables->boat().required_depth_m()},
                                           .job = &all,
                                           .access = std::nullopt,
                                           .places = {}},
          all(of.job()), said(of.job().window) {
        way_in.access = AccessLevels::from_places(all, way_in.needs, std::vector{at_sea});
        const WaterLevels& water = of.tables->conditions().water;
        way_in.lowest_m = static_cast<float>(water.low_m);
        way_in.highest_m = static_cast<float>(water.high_m);
        if (changed) changed(way_in);
        job.wanted.add(Layer::access_level);
        job.way_in = &way_in;
        run_overlay(job, said, {});
    }
    [[nodiscard]] Verdict verdict(GridCell at) const {
        return static_cast<Verdict>(said.all.plane<Layer::verdict>().at(at.col, at.row));
    }
    [[nodiscard]] std::uint16_t advice(GridCell at) const {
        return said.all.plane<Layer::advice>().at(at.col, at.row);
    }
    const OverlayScene& scene;
    OverlayJob job;
    WayIn way_in;
    OverlayJob all;
    Recorder said;
};

constexpr std::uint16_t of_way_in = advice::out_of_reach | advice::wait_for_water | advice::way_unknown;

TEST(WayInAnswers, APoolBehindAWallThatAlwaysDriesIsOutOfReach) {
    const OverlayScene scene = pool_behind(-20);
    const PoolRun run(scene);
    EXPECT_TRUE(is_yes(run.verdict(at_sea)));
    EXPECT_EQ(run.advice(at_sea) & of_way_in, 0);
    EXPECT_EQ(run.verdict(in_pool), Verdict::out_of_reach);
    EXPECT_EQ(run.advice(in_pool) & of_way_in, advice::out_of_reach);
    EXPECT_EQ(run.said.all.plane<Layer::reasons>().at(in_pool.col, in_pool.row),
              run.said.all.plane<Layer::reasons>().at(at_sea.col, at_sea.row))
        << "nothing forbids it";
    EXPECT_GT(run.said.all.plane<Layer::rode_short>().at(in_pool.col, in_pool.row), 0) << "as ever";
}

TEST(WayInAnswers, APoolBehindASillWaitsForWater) {
    // She needs what the boat says over the sill, which is open from the level on that brings it.
    const double required_m = read_trial_boat(trial_boats().front()).required_depth_m();
    const auto sill_m = static_cast<float>(required_m - 1.5); // open from 1.5 m on, within the stay
    const OverlayScene scene = pool_behind(sill_m);
    const PoolRun run(scene);
    EXPECT_TRUE(is_yes(run.verdict(in_pool)));
    EXPECT_EQ(run.advice(in_pool) & of_way_in, advice::wait_for_water);
    EXPECT_EQ(run.advice(at_sea) & of_way_in, 0);
    const PositionReport pool =
        examine(run.job, Georeference(scene.depths->grid(), "scene"), in_pool.col, in_pool.row);
    ASSERT_TRUE(pool.reach);
    EXPECT_EQ(pool.reach->reach, Reach::at_times);
    EXPECT_NEAR(pool.reach->access_level_m, 1.5, 1e-5);
    EXPECT_GE(double{pool.reach->access_level_m}, required_m - double{sill_m}) << "rounded up";
}

TEST(WayInAnswers, WhereTheWayIsNotKnownNothingIsCalledOutOfReach) {
    const OverlayScene scene = pool_behind(-20);
    const PoolRun run(scene, [](WayIn& way_in) { way_in.access.reset(); });
    Recorder before(run.job.window);
    OverlayJob without = scene.job();
    without.wanted = run.job.wanted;
    run_overlay(without, before, {});
    for (int row = 0; row < rows; ++row) {
        for (int col = 0; col < cols; ++col) {
            const auto verdict = static_cast<Verdict>(before.all.plane<Layer::verdict>().at(col, row));
            ASSERT_EQ(run.verdict({col, row}), verdict);
            ASSERT_EQ(run.advice({col, row}), before.all.plane<Layer::advice>().at(col, row) |
                                                  (is_yes(verdict) ? advice::way_unknown : std::uint16_t(0)));
        }
    }
    EXPECT_EQ(run.said.all.tally.yes().cells, before.all.tally.yes().cells);
    EXPECT_EQ(run.said.all.tally.of(Verdict::out_of_reach).cells, 0);
    for (const Zone& zone : run.said.zones) {
        EXPECT_EQ(run.way_in.reach(zone.figures.access_level_max_m), Reach::unknown);
    }
}

TEST(WayInAnswers, CountsKeepWhatIsOutOfReachApart) {
    const OverlayScene scene = pool_behind(-20);
    const PoolRun run(scene);
    Recorder before(run.job.window);
    run_overlay(scene.job(), before, {});
    const Tally &now = run.said.all.tally, &then = before.all.tally;
    std::int64_t out_of_reach = 0;
    for (std::size_t i = 0; i < run.said.all.plane<Layer::verdict>().size(); ++i) {
        out_of_reach += run.said.all.plane<Layer::verdict>().data()[i] ==
                        static_cast<std::uint8_t>(Verdict::out_of_reach);
    }
    EXPECT_GT(out_of_reach, 100);
    EXPECT_GT(now.yes().cells, 100);
    EXPECT_EQ(now.of(Verdict::out_of_reach).cells, out_of_reach);
    EXPECT_EQ(now.of(WhyNot::out_of_reach).cells, out_of_reach);
    EXPECT_EQ(now.yes().cells + out_of_reach, then.yes().cells);
    EXPECT_EQ(now.surveyed().cells, then.surveyed().cells);
    EXPECT_EQ(now.surveyed().area_m2, then.surveyed().area_m2) << "exactly";
    EXPECT_EQ(now.of(Verdict::no).cells, then.of(Verdict::no).cells);
}

TEST(WayInAnswers, ZonesAreTracedAsEverAndTellTheirReach) {
    const OverlayScene scene = pool_behind(-20);
    const PoolRun run(scene);
    ASSERT_FALSE(run.said.zones.empty());
    int in_reach = 0, out_of_reach = 0;
    for (const Zone& zone : run.said.zones) {
        EXPECT_TRUE(is_yes(zone.verdict)) << "by what the cells were judged";
        const bool pool = std::ranges::all_of(zone.rings.front(), [](GridPoint p) { return p.x > 30; });
        const bool unreached = told(zone.verdict, zone.figures.advice) == Verdict::out_of_reach;
        EXPECT_EQ(unreached, pool);
        if (pool) {
            EXPECT_EQ(run.way_in.reach(zone.figures.access_level_max_m), Reach::never);
        } else {
            EXPECT_EQ(zone.figures.access_level_max_m, run.way_in.lowest_m)
                << "one value, however deep the way";
        }
        ++(pool ? out_of_reach : in_reach);
    }
    EXPECT_GT(in_reach, 0);
    EXPECT_GT(out_of_reach, 0);
}

TEST(WayInAnswers, MapsShowItAsAClassOfItsOwn) {
    const OverlayScene scene = pool_behind(-20);
    PoolRun run(scene);
    struct Classes : OverlaySink {
        explicit Classes(Window window) : all(window, 0) {}
        void block(const BlockAnswers& answers) override {
            for (int row = answers.core.row; row < answers.core.row_end(); ++row) {
                for (int col = answers.core.col; col < answers.core.col_end(); ++col) {
                    all.at(col, row) = answers.map_class.at(col, row);
                }
            }
        }
        void zone(Zone&&) override {}
        Plane<std::uint8_t> all;
    } classes(run.job.window);
    run.job.wanted = LayerSet::parse("map", "here");
    run_overlay(run.job, classes, {});
    EXPECT_EQ(static_cast<MapClass>(classes.all.at(in_pool.col, in_pool.row)), MapClass::out_of_reach);
    EXPECT_EQ(static_cast<MapClass>(classes.all.at(at_sea.col, at_sea.row)),
              map_class_of(run.verdict(at_sea)));
}

TEST(WayInAnswers, OfOneCellAreThoseOfTheRun) {
    const OverlayScene scene = pool_behind(-20);
    const PoolRun run(scene);
    const Georeference georeference(scene.depths->grid(), "scene");
    for (int row = 0; row < rows; row += 7) {
        for (int col = 0; col < cols; ++col) {
            const PositionReport cell = examine(run.job, georeference, col, row);
            ASSERT_EQ(told(cell.answer.verdict, cell.answer.advice), run.verdict({col, row})) << col;
            ASSERT_EQ(cell.answer.advice, run.advice({col, row})) << col;
            ASSERT_TRUE(cell.reach);
            const float level_m = run.said.all.plane<Layer::access_level>().at(col, row);
            ASSERT_EQ(cell.reach->access_level_m, std::isnan(level_m) ? infinite : level_m);
            const CellAnswer alone = answer_at(run.job, col, row);
            ASSERT_EQ(alone.verdict, cell.answer.verdict);
            ASSERT_EQ(alone.advice, cell.answer.advice);
        }
    }
    EXPECT_FALSE(examine(scene.job(), georeference, 15, 15).reach) << "nobody looked";
}

TEST(WayInAnswers, TheNearestYesIsOneThatSheGetsTo) {
    const OverlayScene scene = pool_behind(-20);
    const PoolRun run(scene);
    const Georeference georeference(scene.depths->grid(), "scene");
    const LonLat from = georeference.lonlat({in_pool.col + 0.5, in_pool.row + 0.5});
    const YesSearch search = nearest_yes(run.job, georeference, from, yes_within_m);
    ASSERT_TRUE(search.nearest);
    EXPECT_LT(search.nearest->col, 30);
    EXPECT_TRUE(is_yes(run.verdict({search.nearest->col, search.nearest->row})));
    ASSERT_TRUE(search.out_of_reach);
    EXPECT_EQ(search.out_of_reach->col, in_pool.col);
    EXPECT_EQ(told(search.out_of_reach->verdict, search.out_of_reach->advice), Verdict::out_of_reach);
    EXPECT_TRUE(is_yes(search.out_of_reach->verdict)) << "how she would lie";
    const YesSearch near = nearest_yes(run.job, georeference, from, 50);
    EXPECT_FALSE(near.nearest);
    EXPECT_TRUE(near.out_of_reach) << "and that there is none else is said";
    const LonLat sea = georeference.lonlat({at_sea.col + 0.5, at_sea.row + 0.5});
    EXPECT_FALSE(nearest_yes(run.job, georeference, sea, yes_within_m).out_of_reach) << "farther off";
}

} // namespace
} // namespace swingroom::testing_support
