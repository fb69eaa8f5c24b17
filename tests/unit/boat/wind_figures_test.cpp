#include "swingroom/boat/wind_figures.hpp"

#include <gtest/gtest.h>

namespace swingroom {
namespace {

TEST(WindFigures, SayWhatALimitIsTakenFrom) {
    EXPECT_EQ(wind_limit_text(16.9, LimitBy::holding), "16 kn");
    EXPECT_EQ(wind_limit_text(16.9, LimitBy::least_holding),
              "16 kn by room and the least holding known: that of this ground is not known");
    EXPECT_EQ(wind_limit_text(16.9, LimitBy::room), "16 kn by room alone: holding not known");
    EXPECT_EQ(wind_limit_number(16.9, LimitBy::holding), "16");
    EXPECT_EQ(wind_limit_number(16.9, LimitBy::least_holding), "16");
    EXPECT_EQ(wind_limit_number(16.9, LimitBy::room), "16*");
}

// 80 kn is the greatest that is looked for.
TEST(WindFigures, OfNoLimitByRoomDoNotPromiseAWind) {
    EXPECT_EQ(wind_limit_text(80, LimitBy::room), "no limit by room alone: holding not known");
    EXPECT_EQ(wind_limit_number(80, LimitBy::room), "any*");
    EXPECT_EQ(wind_limit_text(79.9, LimitBy::room), "79 kn by room alone: holding not known");
    EXPECT_EQ(wind_limit_text(80, LimitBy::holding), "80 kn");
    EXPECT_EQ(wind_limit_number(80, LimitBy::holding), "80");
}

TEST(WindFigures, OfNothingAreNothingWhateverHolds) {
    for (const LimitBy by : {LimitBy::holding, LimitBy::least_holding, LimitBy::room}) {
        EXPECT_EQ(wind_limit_text(0, by), "0 kn");
        EXPECT_EQ(wind_limit_number(0, by), "0");
    }
}

TEST(WindFigures, AColumnIsReadBack) {
    for (const LimitBy by : {LimitBy::holding, LimitBy::least_holding, LimitBy::room}) {
        EXPECT_EQ(limit_by_of(name(by)), by);
    }
    EXPECT_EQ(limit_by_of(""), LimitBy::room) << "of what is no such column least is known";
}

} // namespace
} // namespace swingroom
