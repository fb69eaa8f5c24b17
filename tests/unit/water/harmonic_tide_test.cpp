#include "swingroom/base/error.hpp"
#include "swingroom/water/harmonic_tide.hpp"
#include "swingroom/water/tide_table.hpp"

#include "tide_cases.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstddef>
#include <ranges>
#include <string>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

using namespace std::chrono;
using testing::HasSubstr;
using tide_cases::moment;
using tide_cases::rows;

// Honolulu (1612340) and Santa Barbara (9411340); the latter's to a thousandth of a foot.
double greatest_miss_m(const std::string& station, const HarmonicTide& tide) {
    double greatest_m = 0;
    for (const auto& row : rows("published", station)) {
        if (row.item != "height") continue;
        greatest_m =
            std::max(greatest_m, std::abs(tide.height_m(moment(row.time)) - tide_cases::metres(row)));
    }
    return greatest_m;
}

TEST(HarmonicTide, HeightsAsPublishedByTheAgency) {
    EXPECT_LE(greatest_miss_m("1612340", tide_cases::tide("1612340")), 1.0e-3);
    EXPECT_LE(greatest_miss_m("9411340", tide_cases::tide("9411340")), 0.35e-3);
}

TEST(HarmonicTide, HighAndLowWatersAsPublishedByTheAgency) {
    const auto tide = tide_cases::tide("9411340");
    int compared = 0;
    int other_minute = 0;
    for (const auto& row : rows("published", "9411340")) {
        if (row.item == "height") continue;
        const Instant published = moment(row.time);
        const auto near = tide.turns(published - 30min, published + 30min);
        ASSERT_FALSE(near.empty()) << row.time;
        const auto& turn = near.front();
        EXPECT_EQ(turn.high, row.item == "H") << row.time;
        EXPECT_NEAR(turn.height_m, tide_cases::metres(row), 0.5e-3) << row.time;
        EXPECT_LE(abs(turn.time - published), 90s) << row.time;
        if (round<minutes>(turn.time) != published) ++other_minute;
        ++compared;
    }
    EXPECT_GE(compared, 89);
    EXPECT_LE(other_minute, 2);
}

/// By how much a constituent turned by half a circle moves what is published, at the worse of the two
/// stations.
double miss_with_turned_m(const std::string& name) {
    double greatest_m = 0;
    for (const char* station : {"1612340", "9411340"}) {
        auto constants = tide_cases::constants(station);
        for (auto& constant : constants) {
            if (constant.name == name) constant.lag_deg += 180;
        }
        const HarmonicTide turned(constants, std::stod(rows("z0", station).front().value),
                                  NodalScheme::yearly, station);
        greatest_m = std::max(greatest_m, greatest_miss_m(station, turned));
    }
    return greatest_m;
}

// Each wrong sign is seen in what the agency publishes, but for two constituents that both stations have
// without an amplitude.
TEST(HarmonicTide, AConstituentTurnedRoundIsNoticed) {
    int noticed = 0;
    for (const auto& row : rows("speed")) {
        const bool seen = miss_with_turned_m(row.item) > 1.0e-3;
        if (seen) ++noticed;
        EXPECT_TRUE(seen || row.item == "SSA" || row.item == "MSF") << row.item;
    }
    EXPECT_EQ(noticed, 35);
}

TEST(HarmonicTide, HeightsOfBothSchemes) {
    for (const auto& station : tide_cases::stations()) {
        const auto yearly = tide_cases::tide(station);
        const auto continuous = tide_cases::tide(station, NodalScheme::continuous);
        for (const auto& row : rows("height", station)) {
            EXPECT_NEAR(yearly.height_m(moment(row.time)), std::stod(row.value), 1.5e-4)
                << station << row.time;
            EXPECT_NEAR(continuous.height_m(moment(row.time)), std::stod(row.value2), 1.5e-4)
                << station << row.time;
        }
    }
}

TEST(HarmonicTide, TurnsOfAWeek) {
    for (const auto& row : rows("turn")) {
        const Instant wanted = moment(row.time);
        const auto near = tide_cases::tide(row.station).turns(wanted - 10min, wanted + 10min);
        ASSERT_EQ(near.size(), 1U) << row.station << row.time;
        EXPECT_EQ(near.front().high, row.item.front() == 'H') << row.station << row.time;
        EXPECT_LE(abs(near.front().time - wanted), 5s) << row.station << row.time;
        EXPECT_NEAR(near.front().height_m, std::stod(row.value), 1.5e-4) << row.station << row.time;
    }
}

TEST(HarmonicTide, AYear) {
    for (const auto& station : tide_cases::stations()) {
        const auto turns =
            tide_cases::tide(station).turns(moment("2026-01-01T00:00Z"), moment("2026-12-31T23:59:59Z"));
        EXPECT_EQ(turns.size(), std::stoul(rows("year-turns", station).front().value)) << station;
        const auto [low, high] = std::ranges::minmax(turns, {}, &Turn::height_m);
        for (const auto& [turn, kind] : {std::pair{low, "year-low"}, std::pair{high, "year-high"}}) {
            const auto row = rows(kind, station).front();
            EXPECT_NEAR(turn.height_m, std::stod(row.value), 1.5e-4) << kind << station;
            EXPECT_LE(abs(turn.time - moment(row.time)), 5s) << kind << station;
        }
    }
}

// Published for a station that has no constants of its own, from the turns of another and four numbers.
TEST(HarmonicTide, ASubordinateStationAsPublished) {
    const auto offset = rows("offset", "8724307");
    StationOffsets offsets;
    offsets.high = {minutes{std::stoi(offset[0].value)}, std::stod(offset[0].value2), 0};
    offsets.low = {minutes{std::stoi(offset[1].value)}, std::stod(offset[1].value2), 0};
    const auto reference =
        tide_cases::tide("8724580").turns(moment("2025-12-16T12:00Z"), moment("2025-12-19T12:00Z"));
    const auto turns = subordinate_turns(reference, offsets, "case");
    for (const auto& row : rows("published", "8724307")) {
        const auto nearest = std::ranges::min(
            turns, {}, [&row](const Turn& turn) { return abs(turn.time - moment(row.time)); });
        EXPECT_LE(abs(nearest.time - moment(row.time)), 30s) << row.time;
        EXPECT_EQ(nearest.high, row.item == "H") << row.time;
        EXPECT_NEAR(nearest.height_m, std::stod(row.value), 0.5e-3) << row.time;
    }
}

TEST(HarmonicTide, HowFastItBends) {
    for (const auto& row : rows("bound")) {
        EXPECT_NEAR(tide_cases::tide(row.station).greatest_bend_m_h2(moment("2026-07-01T00:00Z")),
                    std::stod(row.value2), 1e-4)
            << row.station;
    }
}

// The bounds of each minute hold at every second in it, also across New Year's step, and are no wider than
// they need to be.
TEST(HarmonicTide, BoundsOfMinutesHoldAtEverySecond) {
    for (const auto scheme : {NodalScheme::yearly, NodalScheme::continuous}) {
        const auto tide = tide_cases::tide("9447130", scheme);
        const Instant from = moment("2026-12-31T23:30Z");
        const auto bounds = tide.by_minute(from, 60);
        ASSERT_EQ(bounds.size(), 60U);
        for (int second = 0; second < 3600; second += 3) {
            const double height_m = tide.height_m(from + seconds{second});
            const auto& minute = bounds[static_cast<std::size_t>(second / 60)];
            EXPECT_LE(minute.least_m, height_m) << second;
            EXPECT_GE(minute.greatest_m, height_m) << second;
            EXPECT_LT(minute.greatest_m - minute.least_m, 1.6 / 60 + 1e-3) << second;
        }
    }
}

std::string refusal(const std::vector<HarmonicConstant>& constants) {
    try {
        const HarmonicTide tide(constants, 1, NodalScheme::yearly, "here.csv");
    } catch (const InputError& error) {
        return error.what();
    }
    return "accepted";
}

TEST(HarmonicTide, WhatItDoesNotKnowStopsIt) {
    EXPECT_EQ(refusal({{"M2", 1, 0}, {"S2", 0.5, 20}}), "accepted");
    EXPECT_THAT(refusal({{"M2", 1, 0}, {"XYZ2", 0.01, 20}}), HasSubstr("\"XYZ2\" is not known"));
    EXPECT_EQ(refusal({{"M2", 1, 0}, {"XYZ2", 0, 20}}), "accepted") << "without amplitude it says nothing";
    EXPECT_THAT(refusal({{"M2", 1, 0}, {"m2", 0.5, 20}}), HasSubstr("twice"));
    EXPECT_THAT(refusal({{"LAM2", 1, 0}, {"LDA2", 0.5, 20}}), HasSubstr("twice"));
    EXPECT_THAT(refusal({{"M2", -1, 0}}), HasSubstr("no amplitude of 0 or more"));
    EXPECT_THAT(refusal({{"M2", NAN, 0}}), HasSubstr("no amplitude of 0 or more"));
}

TEST(HarmonicTide, NamesThatListsDisagreeUpon) {
    const auto named = with_other_meanings({{"M2", 1, 0}, {"SA", 0.02, 0}, {"M1", 0.03, 0}, {"M3", 0, 0}});
    ASSERT_EQ(named.size(), 2U);
    EXPECT_EQ(named[0].name, "M1");
    EXPECT_EQ(named[1].name, "SA");
}

} // namespace
} // namespace swingroom
