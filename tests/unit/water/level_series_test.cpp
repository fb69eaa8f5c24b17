#include "swingroom/base/error.hpp"
#include "swingroom/water/level_series.hpp"

#include "tide_cases.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <chrono>
#include <cmath>
#include <cstddef>
#include <string>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

using namespace std::chrono;
using testing::HasSubstr;
using tide_cases::moment;
using Heights = std::vector<LevelSeries::Height>;

Heights sampled(const LevelCurve& tide, Instant from, minutes step, int count) {
    Heights heights;
    for (int i = 0; i < count; ++i)
        heights.push_back({from + i * step, tide.height_m(from + i * step)});
    return heights;
}

// Bounds against the harmonic tide that the series is sampled from, at every minute.
TEST(LevelSeries, BoundsHoldBetweenTheHeights) {
    for (const char* station : {"8410140", "9411340", "1612340"}) {
        const auto tide = tide_cases::tide(station);
        for (const auto step : {6min, 15min, 30min, 60min}) {
            const Instant from = moment("2026-06-01T00:00Z");
            const int count = static_cast<int>(5 * 24h / step);
            const LevelSeries series(sampled(tide, from, step, count), 0, "case");
            const int all = static_cast<int>((series.last() - series.first()) / 1min);
            const auto bounds = series.by_minute(from, all);
            for (int i = 0; i < all; ++i) {
                for (const Instant at : {from + minutes{i}, from + minutes{i + 1}}) {
                    ASSERT_LE(bounds[static_cast<std::size_t>(i)].least_m, tide.height_m(at)) << station << i;
                    ASSERT_GE(bounds[static_cast<std::size_t>(i)].greatest_m, tide.height_m(at))
                        << station << i;
                }
            }
        }
    }
}

// Straight lines of 6, 15, 30 and 60 minutes are off by so much at Eastport: 0.13, 0.8, 3.2, 12 cm (computed
// by another program).
TEST(LevelSeries, TheSlackIsThatOfStraightLines) {
    const auto tide = tide_cases::tide("8410140");
    const std::pair<minutes, double> wanted_m[] = {
        {6min, 0.0013}, {15min, 0.008}, {30min, 0.032}, {60min, 0.12}};
    for (const auto& [step, off_m] : wanted_m) {
        const LevelSeries series(
            sampled(tide, moment("2026-12-20T00:00Z"), step, static_cast<int>(240h / step)), 0, "case");
        EXPECT_NEAR(series.slack_m(), 1.1 * off_m, 0.15 * off_m) << step.count();
    }
}

TEST(LevelSeries, HeightsAndTurns) {
    const Instant noon = moment("2026-05-01T12:00Z");
    const LevelSeries series(
        {{noon, 1}, {noon + 30min, 2}, {noon + 60min, 2}, {noon + 90min, 1}, {noon + 120min, 3}}, 0.05,
        "case");
    EXPECT_DOUBLE_EQ(series.height_m(noon + 15min), 1.5);
    const auto turns = series.turns(series.first(), series.last());
    ASSERT_EQ(turns.size(), 2U);
    EXPECT_TRUE(turns[0].high);
    EXPECT_EQ(turns[0].time, noon + 30min);
    EXPECT_FALSE(turns[1].high);
    EXPECT_EQ(turns[1].time, noon + 90min);
}

std::string refusal(const Heights& heights) {
    try {
        const LevelSeries series(heights, 0, "series.csv");
    } catch (const InputError& error) {
        return error.what();
    }
    return "accepted";
}

TEST(LevelSeries, GapsAndDoubleTimesAreRefused) {
    const Instant noon = moment("2026-05-01T12:00Z");
    EXPECT_EQ(refusal({{noon, 1}, {noon + 60min, 2}, {noon + 120min, 2}}), "accepted");
    EXPECT_THAT(refusal({{noon, 1}, {noon + 60min, 2}}), HasSubstr("fewer than three"));
    EXPECT_THAT(refusal({{noon, 1}, {noon + 61min, 2}, {noon + 122min, 2}}),
                HasSubstr("no height for 61 minutes"));
    EXPECT_THAT(refusal({{noon, 1}, {noon + 20min, 2}, {noon + 40min, 2}, {noon + 80min, 2}}),
                HasSubstr("no height for 40 minutes"));
    EXPECT_THAT(refusal({{noon, 1}, {noon + 60min, 2}, {noon + 60min, 2}}), HasSubstr("ascend"));
}

} // namespace
} // namespace swingroom
