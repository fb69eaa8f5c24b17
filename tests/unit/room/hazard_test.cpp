// What a hazard is to a hull: decided where boat and level are known, after the hazard was read.

#include "swingroom/room/hazard.hpp"

#include <gtest/gtest.h>

namespace swingroom {
namespace {

constexpr Effects foul = effect::hull | effect::ground | effect::trip_line;

Hazard wreck(std::optional<double> least_depth_m) {
    Hazard hazard;
    hazard.effects = foul;
    hazard.least_depth_m = least_depth_m;
    return hazard;
}

/// A hull that needs 2.6 m and 19 m, between 0.5 and 2.5 m above chart datum; clearances over 2 m.
constexpr HullNeeds needs{2.6, 0.5, 19, 2.5, 2};

TEST(Hazard, AHullNeedNotAvoidWhatItClears) {
    // 2.1 m below chart datum and half a metre of tide are the 2.6 m that she needs.
    EXPECT_EQ(effects_on(wreck(2.1), needs), foul & ~effect::hull) << "its ground stays foul";
    EXPECT_EQ(effects_on(wreck(2.09), needs), foul);
    EXPECT_EQ(effects_on(wreck(-1), needs), foul);
    EXPECT_EQ(effects_on(wreck(std::nullopt), needs), foul) << "a depth that nobody knows is none";
}

TEST(Hazard, OneReadingServesEveryBoatAndLevel) {
    const Hazard hazard = wreck(4);
    for (const double required_m : {1.0, 3.9, 4.0, 4.1, 6.0}) {
        for (const double low_m : {-1.0, 0.0, 0.5, 3.0}) {
            const HullNeeds hull{required_m, low_m, 0, low_m, 0};
            EXPECT_EQ((effects_on(hazard, hull) & effect::hull) == 0, 4 + low_m >= required_m);
        }
    }
}

TEST(Hazard, ClearancesCountFromTheirOwnLevelToTheHighWater) {
    Hazard bridge;
    bridge.effects = effect::hull | effect::drop;
    bridge.clearance_m = 19.5; // over 2 m; at 2.5 m there are 19 m
    EXPECT_EQ(effects_on(bridge, needs), effect::drop);
    bridge.clearance_m = 19.4;
    EXPECT_EQ(effects_on(bridge, needs), bridge.effects);
    bridge.clearance_m = 60;
    HullNeeds mast_not_known = needs;
    mast_not_known.air_draught_m = 0;
    EXPECT_EQ(effects_on(bridge, mast_not_known), bridge.effects);
}

TEST(Hazard, WithoutAHullNothingIsCleared) {
    EXPECT_EQ(effects_on(wreck(500), std::optional<HullNeeds>()), foul);
    EXPECT_TRUE(hull_decides(wreck(500)));
    EXPECT_FALSE(hull_decides(wreck(std::nullopt)));
    Hazard cable; // whose depth nobody asks about
    cable.effects = effect::ground;
    cable.least_depth_m = 9;
    EXPECT_FALSE(hull_decides(cable));
    EXPECT_EQ(effects_on(cable, needs), effect::ground);
}

TEST(Hazard, EffectsAreMoreThanAByteHolds) {
    static_assert(sizeof(Effects) > 1);
    Hazard hazard;
    hazard.effects = 1U << 12; // one that is yet to come
    EXPECT_EQ(effects_on(hazard, needs), 1U << 12);
}

} // namespace
} // namespace swingroom
