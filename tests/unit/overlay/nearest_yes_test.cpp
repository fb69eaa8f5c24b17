// The nearest yes against a look at every cell of the verdicts, distances by PROJ.

#include "swingroom/overlay/nearest_yes.hpp"

#include "support/overlay_scene.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <memory>
#include <vector>

namespace swingroom {
namespace {

using namespace testing_support;

class NearestYesOf : public testing::TestWithParam<std::uint64_t> {};

TEST_P(NearestYesOf, IsTheNearestOfAllCells) {
    // So large, and of so few yes cells, that several squares are run.
    OverlayScene scene = random_overlay_scene(GetParam(), 260, 240);
    Dice dice(GetParam() + 3);
    std::vector<Hazard> hazards = scene.hazards->hazards();
    for (int i = 0; i < 2; ++i) { // wide waters where nobody lets go
        Hazard forbidden;
        forbidden.effects = effect::drop;
        forbidden.rings = {box(dice.between(-20, 150), dice.between(-20, 150), dice.between(50, 200),
                               dice.between(50, 200))};
        hazards.push_back(forbidden);
    }
    scene.hazards =
        std::make_unique<HazardField>(std::move(hazards), scene.depths->grid().extent(), scene.metric);
    OverlayJob job = scene.job();
    job.threads = 2;
    Recorder recorder(job.window);
    run_overlay(job, recorder, {});
    const Georeference georeference(scene.depths->grid(), "scene");
    for (int trial = 0; trial < 6; ++trial) {
        const LonLat from = georeference.lonlat({dice.between(0, 260), dice.between(0, 240)});
        const double within_m = dice.chance(0.3) ? dice.between(20, 300) : yes_within_m;
        double least_m = std::numeric_limits<double>::infinity();
        for (int row = 0; row < 240; ++row) {
            for (int col = 0; col < 260; ++col) {
                const auto verdict = static_cast<Verdict>(recorder.all.plane<Layer::verdict>().at(col, row));
                if (!is_yes(verdict)) continue;
                const double m = geodesic(from, georeference.lonlat({col + 0.5, row + 0.5})).distance_m;
                least_m = std::min(least_m, m);
            }
        }
        const YesSearch search = nearest_yes(job, georeference, from, within_m);
        if (least_m > within_m) {
            EXPECT_FALSE(search.nearest.has_value());
            EXPECT_EQ(search.looked_m, within_m);
            continue;
        }
        ASSERT_TRUE(search.nearest.has_value());
        const NearestYes& yes = *search.nearest;
        EXPECT_NEAR(yes.distance_m, least_m, 1e-6);
        EXPECT_EQ(static_cast<Verdict>(recorder.all.plane<Layer::verdict>().at(yes.col, yes.row)),
                  yes.verdict);
        const Geodesic line = geodesic(from, georeference.lonlat({yes.col + 0.5, yes.row + 0.5}));
        EXPECT_NEAR(line.distance_m, yes.distance_m, 1e-9);
        EXPECT_NEAR(line.azimuth_deg, yes.bearing_deg, 1e-9);
    }
}

INSTANTIATE_TEST_SUITE_P(Seeds, NearestYesOf, testing::Range<std::uint64_t>(0, 12));

} // namespace
} // namespace swingroom
