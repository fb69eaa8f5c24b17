// What maps are drawn from: the kind of each no against what is said of the cell by itself, the worst of
// several, and a closer look against the run.
#include "swingroom/overlay/map_planes.hpp"
#include "swingroom/overlay/position.hpp"
#include "swingroom/room/why_not.hpp"

#include "support/overlay_scene.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <set>
#include <string>

namespace swingroom {
namespace {

using testing_support::OverlayScene;
using testing_support::random_overlay_scene;

struct Taker : OverlaySink {
    explicit Taker(MapPlanes& planes) : to(planes) {}
    void block(const BlockAnswers& answers) override { to.take(answers); }
    void zone(Zone&&) override {}
    MapPlanes& to;
};

void run(OverlayJob job, MapPlanes& into, int block, int threads, Layer wanted = Layer::map) {
    job.wanted = {};
    job.wanted.add(wanted);
    job.block = block;
    job.threads = threads;
    Taker taker(into);
    run_overlay(job, taker, {});
}

/// By all that is said of one cell.
MapClass expected(const PositionReport& cell, double high_m) {
    const Verdict verdict = cell.answer.verdict;
    if (verdict != Verdict::no) return map_class_of(verdict);
    const WhyNot why = leading_reason(cell.answer.reasons).value();
    if (why == WhyNot::drop_forbidden || why == WhyNot::hull_danger || why == WhyNot::ground_danger) {
        return MapClass::margin;
    }
    if (why != WhyNot::too_shallow) return MapClass::no;
    const double middle_m = (double{cell.facts.shoal_m} + double{cell.facts.deep_m}) / 2;
    return middle_m < -high_m ? MapClass::land : middle_m < 0 ? MapClass::drying : MapClass::shoal;
}

TEST(MapClass, TheWorstOfTwoPromisesNoMoreThanEither) {
    for (std::size_t a = 0; a < map_class_count; ++a) {
        for (std::size_t b = 0; b < map_class_count; ++b) {
            const auto one = static_cast<MapClass>(a), other = static_cast<MapClass>(b);
            EXPECT_EQ(worse(one, other), worse(other, one));
            EXPECT_EQ(verdict_of(worse(one, other)), worse(verdict_of(one), verdict_of(other)))
                << map_class_words[a] << " and " << map_class_words[b];
        }
        EXPECT_EQ(worse(static_cast<MapClass>(a), static_cast<MapClass>(a)), static_cast<MapClass>(a));
    }
}

TEST(MapPlanes, SayOfEachCellWhatKindOfNoItIs) {
    std::set<MapClass> met;
    for (std::uint64_t seed = 1; seed <= 6; ++seed) {
        const OverlayScene scene = random_overlay_scene(seed, 90, 70);
        const OverlayJob job = scene.job();
        const Georeference georeference(job.depths->grid(), "scene");
        MapPlanes planes(job.window);
        ASSERT_EQ(planes.factor(), 1);
        run(job, planes, 32, 2, seed % 2 == 0 ? Layer::map : Layer::report);
        const double high_m = job.tables->conditions().water.high_m;
        for (int row = 0; row < job.window.rows; row += 7) {
            for (int col = 0; col < job.window.cols; col += 5) {
                const PositionReport cell = examine(job, georeference, col, row);
                const auto of = static_cast<MapClass>(planes.classes().at(col, row));
                ASSERT_EQ(of, expected(cell, high_m)) << seed << ": " << col << ' ' << row;
                met.insert(of);
                const float depth_m = planes.depth_low_m().at(col, row);
                ASSERT_EQ(std::isnan(depth_m), of == MapClass::unsurveyed);
                if (!std::isnan(depth_m)) {
                    ASSERT_EQ(depth_m, cell.depth_low_m);
                }
            }
        }
    }
    EXPECT_GE(met.size(), 6U);
}

TEST(MapPlanes, ArePixelsOfTheWorstWhateverTheBlocksAndACloserLookIsTheSame) {
    const OverlayScene scene = random_overlay_scene(3, 150, 110);
    OverlayJob job = scene.job();
    job.window = {7, 5, 131, 99};
    MapPlanes fine(job.window), coarse(job.window, 40), other(job.window, 40);
    run(job, fine, 64, 1);
    run(job, coarse, 16, 3);
    run(job, other, 1024, 1);
    ASSERT_EQ(coarse.factor(), 4);
    for (int row = 0; row < coarse.classes().window().rows; ++row) {
        for (int col = 0; col < coarse.classes().window().cols; ++col) {
            MapClass worst = MapClass::full;
            float least_m = NAN;
            for (int r = 4 * row; r < std::min(4 * row + 4, job.window.rows); ++r) {
                for (int c = 4 * col; c < std::min(4 * col + 4, job.window.cols); ++c) {
                    worst = worse(worst, static_cast<MapClass>(fine.classes().at(c, r)));
                    least_m = std::fmin(least_m, fine.depth_low_m().at(c, r));
                }
            }
            ASSERT_EQ(static_cast<MapClass>(coarse.classes().at(col, row)), worst);
            ASSERT_EQ(coarse.classes().at(col, row), other.classes().at(col, row));
            if (!std::isnan(least_m)) {
                ASSERT_EQ(coarse.depth_low_m().at(col, row), least_m);
            }
        }
    }
    MapPlanes closer({20, 30, 25, 22}, 1, {job.window.col, job.window.row});
    look_closer(job, closer);
    for (int row = 30; row < 52; ++row) {
        for (int col = 20; col < 45; ++col) {
            ASSERT_EQ(closer.classes().at(col, row), fine.classes().at(col, row)) << col << ' ' << row;
        }
    }
}

TEST(MapPlanes, LandIsWhatStandsAboveHighWaterOrIsChartedSoAndDryingOnlyWhatTheDepthItselfSays) {
    const double sure = 0.5; // of depths
    const Grid grid = testing_support::utm_grid(6, 3, 20);
    const float nan = std::numeric_limits<float>::quiet_NaN();
    std::vector<float> depth_m;
    for (int row = 0; row < 3; ++row) {
        depth_m.insert(depth_m.end(), {-8.0F, -1.0F, -0.1F, 0.2F, 30.0F, nan});
    }
    OverlayScene scene = random_overlay_scene(1, 6, 3);
    scene.depths = memory_bathymetry(grid, depth_m, DepthUncertainty::constant(sure));
    scene.metric = GroundMetric::uniform(3, 20, 20);
    scene.hazards = std::make_unique<HazardField>(std::vector<Hazard>{}, grid.extent(), scene.metric);
    MapPlanes planes(grid.extent());
    run(scene.job(), planes, 32, 1);
    const auto at = [&](int col) { return static_cast<MapClass>(planes.classes().at(col, 1)); };
    EXPECT_EQ(at(0), MapClass::land);
    EXPECT_EQ(at(1), MapClass::drying);
    EXPECT_EQ(at(2), MapClass::drying);
    EXPECT_EQ(at(3), MapClass::shoal) << "0.2 m dries by its uncertainty alone";
    EXPECT_EQ(verdict_of(at(4)), Verdict::no);
    EXPECT_EQ(at(5), MapClass::unsurveyed);
}

} // namespace
} // namespace swingroom
