#include "swingroom/base/rounding.hpp"

#include "overlay/hours_table.hpp"
#include "support/drawing.hpp"
#include "support/made_tide.hpp"

#include <gtest/gtest.h>

#include <chrono>
#include <cmath>
#include <limits>
#include <utility>

namespace swingroom {
namespace {

using testing_support::Dice;
using testing_support::sine_stay;

// At the lower bound of a minute itself, by a last digit beside it, anywhere, and beyond all levels.
TEST(HoursTable, HasTheHoursOfTheStayAtEveryLevel) {
    constexpr double infinite = std::numeric_limits<double>::infinity();
    for (const auto& [amplitude_m, minutes] : {std::pair(1.7, 3000), {0.001, 700}, {4.0, 60000}, {0.0, 90}}) {
        const Stay stay = sine_stay(1.3, amplitude_m, 100, minutes).stay;
        const HoursTable table(stay);
        Dice dice(static_cast<std::uint64_t>(minutes));
        for (int i = 0; i < 4000; ++i) {
            double level_m =
                stay.at(stay.arrive() + std::chrono::minutes(dice.whole(0, minutes - 1))).least_m;
            if (dice.chance(0.4)) level_m = std::nextafter(level_m, dice.chance(0.5) ? infinite : -infinite);
            if (dice.chance(0.4)) level_m = 1.3 + dice.between(-1.2, 1.2) * amplitude_m;
            ASSERT_EQ(table.hours(level_m), narrow_down(stay.hours_afloat(level_m))) << level_m;
        }
        EXPECT_EQ(table.hours(infinite), 0);
        EXPECT_EQ(table.hours(1e9), 0);
        EXPECT_EQ(table.hours(-infinite), narrow_down(minutes / 60.0));
        EXPECT_EQ(table.hours(-1e300), narrow_down(minutes / 60.0));
    }
}

} // namespace
} // namespace swingroom
