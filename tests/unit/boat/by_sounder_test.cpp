// Rode by the sounder: every reading up to the limit will do, by the statics and not by the tables, and the
// next one above it will not.

#include "swingroom/base/rounding.hpp"
#include "swingroom/boat/statics.hpp"
#include "swingroom/boat/tables.hpp"

#include "support/rode_at_reading.hpp"
#include "unit/boat/trial.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <random>
#include <string>

namespace swingroom {
namespace {

using testing_support::RodeAtReading;

TEST(BySounder, AnIntervalOfAnAreaByHand) {
    // A cell of 4 to 22 m; chain 60 m with marks of 5 m, full scope 5:1, roller 1.4 m, no tide, no error. The
    // sides of the stretches: 5 x (d + 1.4) <= 25, 30, ...: 3.6, 4.6, 5.6 m and so on. A room of 60 m less
    // the boat's 14 m is for a rode of 46 m: the chain of 45 m at 7.6 m reaches sqrt(45^2 - 8^2) = 44.3 m
    // from its shoal end on, that of 50 m at 7.6 m 49.2 m.
    const TackleTables tables(yacht(), {{0, 0}, 5, 0}, 0.5);
    const SounderRun run = tables.by_sounder(Way::full, {4, 22, 0}, 60, 60);
    EXPECT_TRUE(run.conditional());
    EXPECT_NEAR(run.limit_m, 7.6, 1e-5);
    EXPECT_EQ(run.rode_m, 45);
    EXPECT_NEAR(run.radius_m, std::sqrt(45 * 45 - 8 * 8) + 14, 0.1);
    // With an error of 0.5 m each reading may be 0.5 m more.
    EXPECT_NEAR(tables.by_sounder(Way::full, {4, 22, 0.5, 0.5}, 60, 60).limit_m, 7.1, 1e-5);
    // Room enough for all the chain: to 60 / 5 - 1.4 = 10.6 m.
    EXPECT_NEAR(tables.by_sounder(Way::full, {4, 22, 0}, 500, 500).limit_m, 10.6, 1e-5);
    const SounderRun whole = tables.by_sounder(Way::full, {4, 9, 0}, 500, 500);
    EXPECT_TRUE(whole.whole);
    EXPECT_FALSE(whole.conditional());
    EXPECT_EQ(whole.limit_m, 9);
    EXPECT_FALSE(tables.by_sounder(Way::full, {4, 22, 0}, 30, 60).any()) << "no room even at the shoal side";
    EXPECT_FALSE(tables.by_sounder(Way::full, {11, 22, 0}, 500, 500).any())
        << "no rode even at the shoal side";
}

TEST(BySounder, WhatTheCrewRecoversEndsTheRun) {
    Boat boat = yacht();
    boat.recovery_depth_m = 8;
    const TackleTables tables(boat, {{0, 1.5}, 5, 0}, 0.5);
    EXPECT_NEAR(tables.by_sounder(Way::full, {3, 20, 0.4, 0.4}, 500, 500).limit_m, 8 - 1.5 - 0.4, 1e-5);
}

TEST(BySounder, EveryReadingUpToTheLimitWillDoAndTheNextOneWillNot) {
    std::mt19937_64 random(12);
    int conditional = 0, whole = 0, none = 0, readings = 0, above = 0;
    for (int i = 0; i < 400; ++i) {
        Trial trial = random_trial(random);
        if (random() % 3 == 0) trial.boat.recovery_depth_m = uniform(random, 5, 20);
        const double deeper_m = uniform(random, 0, 1.5), shoaler_m = deeper_m + uniform(random, 0, 2);
        const TackleTables tables(trial.boat, trial.conditions, (deeper_m + shoaler_m) / 2);
        for (int place = 0; place < 12; ++place) {
            SoundedBand band;
            band.deeper_m = deeper_m;
            band.shoaler_m = shoaler_m;
            band.shoal_m =
                trial.boat.required_depth_m() - trial.conditions.water.low_m + uniform(random, 0, 6);
            band.deep_m = band.shoal_m + uniform(random, 0, 18);
            const RodeAtReading statics(trial.boat, trial.conditions, band);
            const Way way = all_ways[random() % all_ways.size()];
            const auto at_shoal = statics.at(way, band.shoal_m);
            const double about_m = at_shoal ? at_shoal->radius_m : 40;
            const auto hull_room_m = static_cast<float>(about_m + uniform(random, -3, 30)),
                       ground_room_m = static_cast<float>(about_m + uniform(random, -10, 30));
            const SounderRun run = tables.by_sounder(way, band, hull_room_m, ground_room_m);
            SCOPED_TRACE("trial " + std::to_string(i) + ", way " + std::string(phrase(way)) + ", band " +
                         std::to_string(band.shoal_m) + " to " + std::to_string(band.deep_m) + ", deeper " +
                         std::to_string(deeper_m) + ", shoaler " + std::to_string(shoaler_m) + ", limit " +
                         std::to_string(run.limit_m));
            const double step_m = tables.radius_step_m(deeper_m + shoaler_m);
            if (run.any()) {
                const auto limit_m = static_cast<double>(run.limit_m);
                for (int k = 0; k <= 20; ++k) {
                    const double reading_m =
                        std::min(limit_m, band.shoal_m + (limit_m - band.shoal_m) * k / 20);
                    ++readings;
                    ASSERT_TRUE(statics.fits(way, reading_m, static_cast<double>(hull_room_m),
                                             static_cast<double>(ground_room_m), 1e-6))
                        << "reading " << reading_m;
                    const auto asked = statics.at(way, reading_m);
                    ASSERT_LE(asked->rode_m, static_cast<double>(run.rode_m) + 1e-5);
                    ASSERT_LE(asked->radius_m, static_cast<double>(run.radius_m) + 1e-6);
                    ASSERT_LE(asked->ground_m, static_cast<double>(run.ground_m) + 1e-6);
                }
            }
            if (run.whole) {
                ++whole;
                ASSERT_EQ(run.limit_m, narrow_down(band.deep_m));
                continue;
            }
            ++(run.any() ? conditional : none);
            // Just above the end, or at the shoal side where there is no run, nothing fits, but for what a
            // step of the tables makes the radius greater.
            const double next_m = run.any() ? static_cast<double>(run.limit_m) + 2e-6 : band.shoal_m;
            ++above;
            ASSERT_FALSE(statics.fits(way, next_m, static_cast<double>(hull_room_m),
                                      static_cast<double>(ground_room_m), -1e-6, step_m) &&
                         next_m <= band.deep_m)
                << "reading " << next_m;
        }
    }
    EXPECT_GT(conditional, 300);
    EXPECT_GT(whole, 100);
    EXPECT_GT(none, 100);
    EXPECT_GT(readings, 10000);
    EXPECT_GT(above, 1000);
}

} // namespace
} // namespace swingroom
