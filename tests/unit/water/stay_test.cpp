#include "swingroom/base/error.hpp"
#include "swingroom/water/stay.hpp"

#include "tide_cases.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstddef>
#include <map>
#include <random>
#include <ranges>
#include <string>
#include <tuple>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

using namespace std::chrono;
using testing::HasSubstr;
using tide_cases::moment;
using tide_cases::rows;

Stay stay_of(const tide_cases::Row& row, const HarmonicTide& tide) {
    return {tide, moment(row.time), moment(row.value), {}, "case"};
}

/// The level in "level >= 0.5 in stay 2026-03-20T06:00Z", and the stay's arrival.
std::pair<double, std::string> level_and_stay(const std::string& item) {
    return {std::stod(item.substr(9)), item.substr(item.rfind(' ') + 1)};
}

TEST(Stay, LevelsOfSixStays) {
    for (const auto& row : rows("stay")) {
        const auto levels = stay_of(row, tide_cases::tide(row.station)).levels();
        for (const auto& [kind, level_m, outwards] :
             {std::tuple{"stay-low", levels.low_m, -1}, std::tuple{"stay-high", levels.high_m, 1}}) {
            const auto all = rows(kind, row.station);
            const auto wanted = std::ranges::find(all, row.time, &tide_cases::Row::item);
            ASSERT_NE(wanted, all.end()) << row.station;
            const double off_m = outwards * (level_m - std::stod(wanted->value));
            EXPECT_GE(off_m, -1e-4) << kind << row.station;
            EXPECT_LE(off_m, 0.0103) << kind << row.station;
        }
    }
}

// The windows lie inside the true ones and lose less than a minute and a half at each edge.
TEST(Stay, WindowsOfSixStays) {
    for (const auto& stay_row : rows("stay")) {
        const auto stay = stay_of(stay_row, tide_cases::tide(stay_row.station));
        std::map<double, std::vector<TimeWindow>> wanted;
        for (const auto& row : rows("window", stay_row.station)) {
            const auto [level_m, arrival] = level_and_stay(row.item);
            if (arrival == stay_row.time) wanted[level_m].push_back({moment(row.time), moment(row.value)});
        }
        for (const auto& [level_m, windows] : wanted) {
            const auto found = stay.windows(level_m);
            ASSERT_EQ(found.size(), windows.size()) << stay_row.station << level_m;
            for (std::size_t i = 0; i < found.size(); ++i) {
                EXPECT_GE(found[i].from, windows[i].from - 1s) << stay_row.station << level_m;
                EXPECT_LE(found[i].to, windows[i].to + 1s) << stay_row.station << level_m;
                EXPECT_LE(found[i].from - windows[i].from, 90s) << stay_row.station << level_m;
                EXPECT_LE(windows[i].to - found[i].to, 90s) << stay_row.station << level_m;
            }
        }
    }
}

TEST(Stay, HoursByLevel) {
    for (const auto& row : rows("hours")) {
        const auto [level_m, arrival] = level_and_stay(row.item);
        const auto stays = rows("stay", row.station);
        const auto stay_row = std::ranges::find(stays, arrival, &tide_cases::Row::time);
        ASSERT_NE(stay_row, stays.end());
        const auto stay = stay_of(*stay_row, tide_cases::tide(row.station));
        const auto windows = stay.windows(level_m);
        EXPECT_LE(stay.hours_afloat(level_m), std::stod(row.value)) << row.item;
        EXPECT_GE(stay.hours_afloat(level_m),
                  std::stod(row.value) - 0.05 * static_cast<double>(windows.size() + 1))
            << row.item;
        const double longest =
            std::ranges::max(windows, {}, [](const TimeWindow& window) { return window.hours(); }).hours();
        EXPECT_LE(longest, std::stod(row.value2) + 1e-3) << row.item;
        EXPECT_GE(longest, std::stod(row.value2) - 0.05) << row.item;
    }
}

// 60 random stays: at every half minute of every window the tide stands at the level or above; hours are
// those of the windows and fall as the level rises.
TEST(Stay, WindowsAreInsideTheTrueOnes) {
    std::mt19937 random(20261129);
    const auto tide = tide_cases::tide("9447130");
    for (int trial = 0; trial < 60; ++trial) {
        const Instant arrive = moment("2026-12-20T00:00Z") + minutes{random() % (14 * 1440)};
        const Stay stay(tide, arrive, arrive + minutes{60 + random() % 2000}, {0.1, 0.2}, "case");
        const double level_m = -1 + 4 * static_cast<double>(random()) / std::mt19937::max();
        double hours = 0;
        for (const auto& window : stay.windows(level_m)) {
            hours += window.hours();
            for (Instant at = window.from; at <= window.to; at += 30s) {
                // At New Year's step both levels count: the window's end may have the one that is before it.
                ASSERT_GE(tide.height_m(at) - 0.1, level_m) << utc_text(at);
            }
        }
        EXPECT_NEAR(hours, stay.hours_afloat(level_m), 1e-9);
        EXPECT_GE(hours, stay.hours_afloat(level_m + 0.1));
        EXPECT_LE(stay.levels().low_m, stay.at(arrive).least_m);
        EXPECT_GE(stay.levels().high_m, stay.at(arrive).greatest_m);
        EXPECT_GT(stay.hours_afloat(stay.highest_sure_m()), 0) << "the water comes there";
        EXPECT_EQ(stay.hours_afloat(std::nextafter(stay.highest_sure_m(), 1e9)), 0) << "and no higher";
    }
}

TEST(Stay, AllowancesGoToTheirOwnSide) {
    const auto tide = tide_cases::tide("8665530");
    const Instant arrive = moment("2026-08-10T18:00Z");
    const Stay exact(tide, arrive, arrive + 24h, {}, "case");
    const Stay allowed(tide, arrive, arrive + 24h, {0.30, 0.20}, "case");
    EXPECT_NEAR(exact.levels().low_m - allowed.levels().low_m, 0.30, 1e-9);
    EXPECT_NEAR(allowed.levels().high_m - exact.levels().high_m, 0.20, 1e-9);
}

std::string refusal(Instant arrive, Instant depart) {
    const Instant noon = moment("2026-05-01T12:00Z");
    const auto tide = tide_cases::tide("8665530");
    try {
        const Stay stay(tide, arrive, depart, {}, "--arrive");
    } catch (const InputError& error) {
        return error.what();
    }
    return noon < arrive ? "accepted" : "accepted early";
}

TEST(Stay, HasToBeInOrderWithinTheCurveAndNotOverAYear) {
    const Instant noon = moment("2026-05-01T12:00Z");
    EXPECT_THAT(refusal(noon, noon), HasSubstr("is not after arrival"));
    EXPECT_THAT(refusal(noon, noon - 1h), HasSubstr("is not after arrival"));
    EXPECT_THAT(refusal(noon, noon + 24h * 367), HasSubstr("longer than a year"));
    EXPECT_THAT(refusal(moment("2100-12-31T12:00Z"), moment("2101-01-01T12:00Z")),
                HasSubstr("is not within"));
}

} // namespace
} // namespace swingroom
