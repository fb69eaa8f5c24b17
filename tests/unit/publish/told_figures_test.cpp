#include "publish/raster/told_figures.hpp"
#include "support/boats.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

namespace swingroom {
namespace {

using namespace testing_support;

constexpr float nan = std::numeric_limits<float>::quiet_NaN(),
                infinite = std::numeric_limits<float>::infinity();

/// What is told of a layer's figures, for a boat that wants `required_m` at low water in a wind of 14.6 kn.
struct Told {
    Boat boat = read_trial_boat(trial_boats()[0]);
    Conditions conditions{{0.3, 2}, 14.6, 0};
    TackleTables tables{boat, conditions, 0.5};
    Judge judge{tables};
    ToldFigures figures{judge};

    [[nodiscard]] std::vector<float> of(Layer layer, const std::vector<float>& exact) const {
        Plane<float> plane({7, 9, static_cast<int>(exact.size()), 1}), scratch;
        std::copy(exact.begin(), exact.end(), plane.data());
        const Plane<float>& told = *figures.of(layer, plane, scratch);
        EXPECT_EQ(told.window(), plane.window());
        return {told.data(), told.data() + told.size()};
    }
};

TEST(ToldFigures, RoomsGoDownAndRadiiUpAndRodesStay) {
    const Told told;
    const std::vector<float> exact = {0, 40.07F, 40.0625F, 139.14F, infinite};
    EXPECT_EQ(told.of(Layer::hull_room, exact),
              (std::vector<float>{0, 40.0625F, 40.0625F, 139.125F, infinite}));
    EXPECT_EQ(told.of(Layer::ground_room, exact), told.of(Layer::hull_room, exact));
    EXPECT_EQ(told.of(Layer::radius_short, exact),
              (std::vector<float>{0, 40.125F, 40.0625F, 139.1875F, infinite}));
    EXPECT_EQ(told.of(Layer::rode_full, exact), exact) << "marks and all that is aboard are no steps";
}

TEST(ToldFigures, OfSpareRoomKeepItsSign) {
    const Told told;
    EXPECT_EQ(told.of(Layer::spare_full, {0, 1e-6F, 0.06F, 0.07F, -1e-6F, -0.07F}),
              (std::vector<float>{0, 0, 0, 0.0625F, -0.0625F, -0.125F}));
    EXPECT_TRUE(std::isnan(told.of(Layer::spare_full, {nan})[0]));
}

TEST(ToldFigures, OfWaterStayOnTheSideOfWhatFloatsHer) {
    const Told told;
    // By the judge's own comparison: afloat is what has that much.
    const auto required_m = static_cast<float>(told.boat.required_depth_m());
    const float afloat_m = told.judge.least_water_afloat_m(), aground_m = std::nextafter(afloat_m, 0.0F);
    EXPECT_NEAR(afloat_m, required_m, 1e-5F);
    ASSERT_NE(afloat_m * 16, std::floor(afloat_m * 16)) << "a boat whose need is no step";
    for (const Layer layer : {Layer::depth_low, Layer::least_water_sinker}) {
        const std::vector<float> of =
            told.of(layer, {afloat_m, afloat_m + 0.001F, aground_m, afloat_m + 1, nan});
        EXPECT_EQ(of[0], afloat_m);
        EXPECT_EQ(of[1], afloat_m);
        EXPECT_EQ(of[2], std::floor(aground_m * 16) / 16);
        EXPECT_EQ(of[3], std::floor((afloat_m + 1) * 16) / 16);
        EXPECT_TRUE(std::isnan(of[4]));
    }
    EXPECT_EQ(told.of(Layer::sounder_limit_full, {afloat_m})[0], std::floor(afloat_m * 16) / 16)
        << "a reading is compared with the sounder";
}

TEST(ToldFigures, OfWindAreWholeKnotsButThePlannedWindStaysWhatItIs) {
    const Told told;
    const float planned_kn = told.judge.planned_wind_kn();
    EXPECT_EQ(told.of(Layer::wind_limit_short, {0, 13.9F, 14.55F, planned_kn, 14.9F, 15.2F, 80}),
              (std::vector<float>{0, 13, 14, planned_kn, planned_kn, 15, 80}));
}

} // namespace
} // namespace swingroom
