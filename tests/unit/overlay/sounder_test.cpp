// What the echo sounder reads, against dice that throw all that it may be off by.

#include "swingroom/overlay/sounder.hpp"
#include "swingroom/sea/chart_depths.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <random>

namespace swingroom {
namespace {

constexpr double unknown = std::numeric_limits<double>::quiet_NaN();

TEST(SounderReading, IsTheDepthAndTheWaterLessTheTransducer) {
    // Depth 5.2 +- 0.4 m, water 2.1 to 2.7 m above chart datum, transducer 0.6 m deep: by hand.
    const SounderReading reading = sounder_reading(4.8, 5.6, {2.1, 2.7}, {0.2, 0, 0.6});
    EXPECT_NEAR(reading.least_m, 6.3, 1e-12);
    EXPECT_NEAR(reading.greatest_m, 7.7, 1e-12);
    EXPECT_EQ(reading.error_m, 0.2);
    EXPECT_FALSE(reading.of_water);
    EXPECT_TRUE(reading.known());
}

TEST(SounderReading, IsOfTheWaterWhereNobodySaysHowDeepTheTransducerIs) {
    const SounderReading reading = sounder_reading(4.8, 5.6, {2.1, 2.7}, {});
    EXPECT_NEAR(reading.least_m, 6.9, 1e-12);
    EXPECT_TRUE(reading.of_water);
    EXPECT_FALSE(sounder_reading(4.8, 5.6, {2.1, 2.7}, {0.3, 0, 0.0}).of_water)
        << "one that is set to show the water's depth";
}

TEST(SounderReading, HasNoEndWhereTheDeepEdgeIsNotCharted) {
    const SounderReading reading = sounder_reading(4.8, no_deep_edge_m, {2.1, 2.7}, {0.2, 0, 0.6});
    EXPECT_NEAR(reading.least_m, 6.3, 1e-12);
    EXPECT_TRUE(std::isinf(reading.greatest_m));
    EXPECT_FALSE(sounder_reading(unknown, unknown, {2.1, 2.7}, {}).known());
}

TEST(SounderReading, IsNeverLessThanNothing) {
    const SounderReading dry = sounder_reading(-5, -4, {2.1, 2.7}, {});
    EXPECT_EQ(dry.least_m, 0);
    EXPECT_EQ(dry.greatest_m, 0);
}

struct Trial {
    Boat boat;
    LevelBounds level;
};

/// The level known better and worse than the boat's policy has it.
Trial trial_by(std::mt19937_64& dice) {
    const auto between = [&dice](double least, double most) {
        return std::uniform_real_distribution<double>(least, most)(dice);
    };
    Trial trial;
    trial.boat.sounder = {between(0, 0.6), 0, between(0, 2)};
    if (between(0, 1) < 0.2) trial.boat.sounder.transducer_m.reset();
    trial.boat.policy.level_error_m = between(0, 0.7);
    trial.level.least_m = between(-1, 5);
    trial.level.greatest_m = trial.level.least_m + between(0, 2);
    return trial;
}

TEST(SounderReading, HoldsWhateverTheDepthAndTheLevelAre) {
    std::mt19937_64 dice(14);
    for (int i = 0; i < 20000; ++i) {
        const auto [boat, level] = trial_by(dice);
        const double shoal_m = std::uniform_real_distribution<double>(-3, 20)(dice),
                     deep_m = shoal_m + std::uniform_real_distribution<double>(0, 8)(dice),
                     depth_m = std::uniform_real_distribution<double>(shoal_m, deep_m)(dice),
                     level_m = std::uniform_real_distribution<double>(level.least_m, level.greatest_m)(dice),
                     off_m = std::uniform_real_distribution<double>(-boat.sounder.error_m,
                                                                    boat.sounder.error_m)(dice);
        const double shown_m =
            std::max(0.0, depth_m + level_m - boat.sounder.transducer_m.value_or(0) + off_m);
        const SounderReading reading = sounder_reading(shoal_m, deep_m, level, boat.sounder);
        ASSERT_GE(shown_m, reading.least_m - reading.error_m - 1e-9);
        ASSERT_LE(shown_m, reading.greatest_m + reading.error_m + 1e-9);
    }
}

// A limit D stands for depths down to D and what the reading may be off by; beyond that the rode is too
// short.
TEST(SounderLimit, NoDepthBeyondItShowsSuchAReading) {
    std::mt19937_64 dice(15);
    int allowed = 0, deepest = 0;
    for (int i = 0; i < 200000; ++i) {
        const auto [boat, level] = trial_by(dice);
        const double limit_m = std::uniform_real_distribution<double>(1, 15)(dice);
        const double most_m = sounder_may_show_m(limit_m, level, boat);
        const auto end = [&dice](double least, double most) { // the ends as often as what is between them
            const int where = std::uniform_int_distribution<int>(0, 2)(dice);
            return where == 0   ? least
                   : where == 1 ? most
                                : std::uniform_real_distribution<double>(least, most)(dice);
        };
        const double depth_m = limit_m + std::uniform_real_distribution<double>(-3, 3)(dice);
        const double shown_m = depth_m + end(level.least_m, level.greatest_m) -
                               boat.sounder.transducer_m.value_or(0) +
                               end(-boat.sounder.error_m, boat.sounder.error_m);
        if (shown_m > most_m) continue;
        ++allowed;
        ASSERT_LE(depth_m, limit_m + boat.reading_error_m() + 1e-9)
            << "level " << level.least_m << " to " << level.greatest_m << ", counted with "
            << boat.policy.level_error_m;
        deepest += depth_m > limit_m + boat.reading_error_m() - 0.05 ? 1 : 0;
    }
    EXPECT_GT(allowed, 50000);
    EXPECT_GT(deepest, 100) << "none came near: the limit is stricter than it need be";
}

// And none is so much shoaler that the circle for its rode would be too small, however well the level is said
// to be known: she takes the reading to chart datum by the level that the limit is told by.
TEST(SounderLimit, NoDepthIsShoalerThanItsReadingByMoreThanIsCountedWith) {
    std::mt19937_64 dice(16);
    for (int i = 0; i < 100000; ++i) {
        auto [boat, level] = trial_by(dice);
        boat.policy.level_within_m = level.greatest_m - level.least_m;
        const double depth_m = std::uniform_real_distribution<double>(1, 15)(dice),
                     level_m = std::uniform_real_distribution<double>(level.least_m, level.greatest_m)(dice),
                     off_m = std::uniform_real_distribution<double>(-boat.sounder.error_m,
                                                                    boat.sounder.error_m)(dice);
        const double shown_m = depth_m + level_m - boat.sounder.transducer_m.value_or(0) + off_m;
        // Counted from the lowest that the level may be, as at low water, it is no worse.
        for (const double counted_m : {counted_level_m(level, boat), level.least_m}) {
            const double reading_m = shown_m - shown_above_datum_m(counted_m, boat.sounder);
            ASSERT_LE(reading_m - depth_m, boat.shoaler_than_reading_m(0) + 1e-9);
        }
    }
}

TEST(SounderLimit, IsTakenFromTheMiddleOfTheLevelWhereThatIsKnownAsWellAsCountedWith) {
    Boat boat;
    boat.sounder.transducer_m = 0.5;
    boat.policy.level_error_m = 0.5;
    EXPECT_NEAR(sounder_may_show_m(6, {2, 2.8}, boat), 6 + 2.4 - 0.5, 1e-12);
    EXPECT_NEAR(sounder_may_show_m(6, {2, 4}, boat), 6 + 2.5 - 0.5, 1e-12) << "known within 1 m alone";
    EXPECT_TRUE(std::isnan(sounder_may_show_m(unknown, {2, 4}, boat)));
    boat.policy.level_error_m = 1;
    EXPECT_NEAR(sounder_may_show_m(6, {2, 4}, boat), 6 + 3 - 0.5, 1e-12);
}

} // namespace
} // namespace swingroom
