#include "swingroom/base/rounding.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <random>

namespace swingroom {
namespace {

constexpr float infinity = std::numeric_limits<float>::infinity();

/// The greatest float not above v, by the standard library.
float floor_float(double v) {
    const auto f = static_cast<float>(v);
    return static_cast<double>(f) > v ? std::nextafter(f, -infinity) : f;
}
float ceil_float(double v) {
    const auto f = static_cast<float>(v);
    return static_cast<double>(f) < v ? std::nextafter(f, infinity) : f;
}

TEST(Rounding, ANumberThatAFloatHoldsStaysAsItIs) {
    for (const double v : {0.0, -0.0, 1.5, -1.5, 9.375, 1e-40f * 1.0, 3.0e38}) {
        const double held = static_cast<double>(static_cast<float>(v));
        EXPECT_EQ(static_cast<double>(narrow_down(held)), held);
        EXPECT_EQ(static_cast<double>(narrow_up(held)), held);
    }
}

TEST(Rounding, EndsOfTheRange) {
    const float most = std::numeric_limits<float>::max(), least = std::numeric_limits<float>::denorm_min();
    EXPECT_EQ(narrow_down(1e300), most);
    EXPECT_EQ(narrow_up(1e300), infinity);
    EXPECT_EQ(narrow_down(-1e300), -infinity);
    EXPECT_EQ(narrow_up(-1e300), -most);
    EXPECT_EQ(narrow_down(1e-300), 0.0F);
    EXPECT_EQ(narrow_up(1e-300), least);
    EXPECT_EQ(narrow_down(-1e-300), -least);
    EXPECT_EQ(narrow_up(-1e-300), 0.0F);
    EXPECT_TRUE(std::isnan(narrow_down(std::nan(""))));
    EXPECT_TRUE(std::isnan(narrow_up(std::nan(""))));
    EXPECT_EQ(narrow_up(std::numeric_limits<double>::infinity()), infinity);
    EXPECT_EQ(narrow_down(-std::numeric_limits<double>::infinity()), -infinity);
}

TEST(Rounding, TheNearestFloatOnTheSafeSideForAnyNumber) {
    constexpr unsigned seed = 20240611;
    std::mt19937_64 random(seed);
    std::uniform_real_distribution<double> exponent(-46, 38), mantissa(-10, 10);
    for (int i = 0; i < 200'000; ++i) {
        const double v = mantissa(random) * std::pow(10.0, exponent(random) - 1);
        ASSERT_EQ(narrow_down(v), floor_float(v)) << "seed " << seed << ", value " << v;
        ASSERT_EQ(narrow_up(v), ceil_float(v)) << "seed " << seed << ", value " << v;
    }
}

TEST(Rounding, TheQuickWaysAgreeWithThePlainOnesWhereTheyMayBeUsed) {
    const unsigned seed = 20261129;
    std::mt19937_64 random(seed);
    std::uniform_real_distribution<double> exponent(-35, 35), mantissa(-10, 10);
    const auto expect_same = [seed](double v) {
        if (v != 0 && std::abs(v) < static_cast<double>(std::numeric_limits<float>::min())) {
            return; // not normal
        }
        ASSERT_EQ(narrow_normal_down(v), floor_float(v)) << "seed " << seed << ", value " << v;
        ASSERT_EQ(narrow_normal_up(v), ceil_float(v)) << "seed " << seed << ", value " << v;
        ASSERT_EQ(narrow_down_positive(std::abs(v)), floor_float(std::abs(v)));
    };
    for (const double v : {0.0, -0.0, 1.5, -1.5, 0.1, -0.1, 1e-37, -1e-37, 3e38, -3e38}) {
        expect_same(v);
    }
    for (int i = 0; i < 200'000; ++i) {
        expect_same(mantissa(random) * std::pow(10.0, exponent(random)));
    }
    EXPECT_EQ(narrow_down_positive(1e-300), 0.0F) << "any number that is not negative";
    EXPECT_TRUE(std::isnan(narrow_normal_down(std::nan(""))));
    EXPECT_TRUE(std::isnan(narrow_normal_up(std::nan(""))));
}

TEST(Rounding, ToStepsIsWhatTheStandardLibrarySays) {
    const unsigned seed = 20261130;
    std::mt19937_64 random(seed);
    std::uniform_real_distribution<float> exponent(-6, 7), mantissa(-10, 10);
    for (const float steps : {1.0F, 2.0F, 16.0F}) {
        for (int i = 0; i < 100'000; ++i) {
            float v = mantissa(random) * std::pow(10.0F, exponent(random));
            if (i % 10 == 0) v = std::round(v * steps) / steps; // on a step
            const double counted = double{v} * double{steps};
            const bool coarse = std::abs(counted) >= 0x1p22;
            ASSERT_EQ(double{down_to_step(v, steps)}, coarse ? v : std::floor(counted) / double{steps}) << v;
            ASSERT_EQ(double{up_to_step(v, steps)}, coarse ? v : std::ceil(counted) / double{steps}) << v;
        }
    }
}

TEST(Rounding, ToStepsLeavesWhatIsNoFiniteNumberAsItIs) {
    EXPECT_TRUE(std::isnan(down_to_step(std::numeric_limits<float>::quiet_NaN(), 16)));
    EXPECT_TRUE(std::isnan(up_to_step(std::numeric_limits<float>::quiet_NaN(), 16)));
    for (const float v : {infinity, -infinity}) {
        EXPECT_EQ(down_to_step(v, 16), v);
        EXPECT_EQ(up_to_step(v, 16), v);
    }
    EXPECT_FALSE(std::signbit(down_to_step(0.01F, 16))) << "a zero has no sign, for the same bytes";
    EXPECT_FALSE(std::signbit(up_to_step(-0.01F, 16)));
}

} // namespace
} // namespace swingroom
