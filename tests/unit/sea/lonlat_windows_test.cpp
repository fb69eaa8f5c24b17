#include "swingroom/sea/lonlat_windows.hpp"

#include "support/drawing.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <vector>

namespace swingroom {
namespace {

using testing_support::Dice;

bool holds(const LonLatBox& window, LonLat p) {
    const double lon = window[0] + (p.lon - window[0]) - 360 * std::floor((p.lon - window[0]) / 360);
    return lon <= window[2] && p.lat >= window[1] && p.lat <= window[3];
}

bool is_told_as_promised(const LonLatBox& w) {
    return w[0] >= -180 && w[0] < 180 && w[2] > w[0] && w[2] - w[0] <= 360 && w[1] >= -90 && w[3] <= 90 &&
           w[1] < w[3];
}

LonLat anywhere(Dice& dice) {
    const double lat = dice.chance(0.2)
                           ? std::copysign(90 - std::pow(10, dice.between(-4, 1)), dice.unit() - 0.5)
                           : dice.between(-80, 80);
    return {dice.chance(0.3) ? dice.between(179.9, 180.1) - 360 * dice.whole(0, 1) : dice.between(-180, 180),
            lat};
}

class LonLatWindows : public testing::TestWithParam<std::uint64_t> {};

TEST_P(LonLatWindows, HoldTheWholeCircle) {
    Dice dice(GetParam());
    const LonLat centre = anywhere(dice);
    const double radius_m = std::pow(10, dice.between(0, 6.5));
    const LonLatBox window = window_around(centre, radius_m);
    SCOPED_TRACE(testing::Message() << centre.lon << ' ' << centre.lat << ' ' << radius_m);
    EXPECT_TRUE(is_told_as_promised(window)) << bounds_text(window);
    for (int i = 0; i < 720; ++i) {
        const LonLat p = destination(centre, i * 0.5, radius_m * (i % 3 == 0 ? dice.unit() : 1));
        ASSERT_TRUE(holds(window, p))
            << i << ": " << p.lon << ' ' << p.lat << " not in " << bounds_text(window);
    }
}

// The oracle: random points of random legs, and random points around these.
TEST_P(LonLatWindows, HoldTheWholeCorridor) {
    Dice dice(GetParam());
    const double within_m = std::pow(10, dice.between(2, 4.5));
    std::vector<LonLat> way = {anywhere(dice)};
    for (int i = dice.whole(0, 5); i > 0; --i) {
        way.push_back(
            destination(way.back(), dice.between(0, 360), within_m * std::pow(10, dice.between(-2, 1.5))));
    }
    const auto stretches = static_cast<std::size_t>(dice.whole(1, 9));
    const std::vector<LonLatBox> windows = windows_along(way, within_m, stretches);
    EXPECT_LE(windows.size(), stretches);
    for (const LonLatBox& window : windows) {
        EXPECT_TRUE(is_told_as_promised(window)) << bounds_text(window);
    }
    for (int i = 0; i < 500; ++i) {
        const auto leg = static_cast<std::size_t>(dice.whole(0, static_cast<int>(way.size()) - 1));
        const Geodesic line = geodesic(way[leg], way[std::min(leg + 1, way.size() - 1)]);
        const LonLat on_way = destination(way[leg], line.azimuth_deg, line.distance_m * dice.unit());
        const LonLat p = destination(on_way, dice.between(0, 360), within_m * std::sqrt(dice.unit()));
        ASSERT_TRUE(std::any_of(windows.begin(), windows.end(), [&](const auto& w) { return holds(w, p); }))
            << p.lon << ' ' << p.lat;
    }
}

INSTANTIATE_TEST_SUITE_P(Seeds, LonLatWindows, testing::Range<std::uint64_t>(0, 300));

// Away from the poles it costs little: a hundredth of the width at the most, for circles that yachts ask for.
TEST(LonLatWindow, IsHardlyWiderThanTheCircle) {
    for (const double lat : {-65.0, -30.0, 0.0, 48.0, 70.0}) {
        for (const double radius_m : {1852.0, 5 * 1852.0, 20 * 1852.0}) {
            const LonLatBox window = window_around({10, lat}, radius_m);
            double east = 10;
            for (int i = 0; i < 3600; ++i) {
                east = std::max(east, destination({10, lat}, i * 0.1, radius_m).lon);
            }
            EXPECT_LE(window[2] - 10, (east - 10) * 1.02 + 2e-6) << lat << ' ' << radius_m;
            EXPECT_NEAR(window[3], destination({10, lat}, 0, radius_m).lat, 2.1e-6);
            EXPECT_NEAR(window[1], destination({10, lat}, 180, radius_m).lat, 2.1e-6);
        }
    }
}

// On the equator a nautical mile of longitude is 1852 m of a circle of 6378137 m (WGS 84): 0.0166366 degrees.
TEST(LonLatWindow, IsOutwardsToMillionths) {
    EXPECT_EQ(bounds_text(window_around({-29, 0}, 1852)), "-29.016637,-0.016749,-28.983363,0.016749");
}

TEST(LonLatWindow, Across180DegreesHasItsEastBelowItsWestInWords) {
    const LonLatBox window = window_around({179.99, -17}, 1852);
    EXPECT_GT(window[2], 180);
    // By hand: radii of curvature at 17 degrees are 6379.96 km across and 6340.88 km along the meridian.
    EXPECT_EQ(bounds_text(window), "179.972606,-17.016735,-179.992606,-16.983265");
    EXPECT_EQ(bounds_text(window_around({-180.01, -17}, 1852)), bounds_text(window))
        << "the same place in another turn";
}

TEST(LonLatWindow, AroundAPoleIsAroundTheEarth) {
    EXPECT_EQ(bounds_text(window_around({10, 89.99}, 1852)).substr(0, 12), "-180.000000,");
    EXPECT_EQ(window_around({10, 89.99}, 1852)[3], 90);
    EXPECT_EQ(window_around({10, 89.99}, 1852)[2], 180);
}

TEST(LonLatWindow, StretchesAreOfTheSameLength) {
    const std::array<LonLat, 3> way = {LonLat{0, 10}, LonLat{0, 10.1}, LonLat{0, 10.4}};
    const std::vector<LonLatBox> windows = windows_along(way, 1852, 4);
    ASSERT_EQ(windows.size(), 4U);
    for (std::size_t i = 0; i < windows.size(); ++i) {
        // A mile beyond each end, and a little more.
        EXPECT_NEAR(windows[i][1], 10 + 0.1 * static_cast<double>(i) - 0.0167, 0.003) << i;
        EXPECT_NEAR(windows[i][3], 10 + 0.1 * static_cast<double>(i + 1) + 0.0167, 0.003) << i;
    }
    EXPECT_NEAR(length_of_way_m(way), geodesic(way[0], way[2]).distance_m, 1e-6) << "along a meridian";
    EXPECT_EQ(windows_along(std::vector<LonLat>{{3, 4}}, 1852, 4).size(), 1U) << "a point";
}

} // namespace
} // namespace swingroom
