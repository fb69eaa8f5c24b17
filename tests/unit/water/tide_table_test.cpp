#include "swingroom/base/error.hpp"
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
#include <vector>

namespace swingroom {
namespace {

using namespace std::chrono;
using testing::HasSubstr;
using tide_cases::moment;
using tide_cases::rows;

std::vector<Turn> published() {
    std::vector<Turn> turns;
    for (const auto& row : rows("published", "9411340")) {
        if (row.item != "height")
            turns.push_back({moment(row.time), tide_cases::metres(row), row.item == "H"});
    }
    return turns;
}
TideTable first_days() {
    auto turns = published();
    turns.resize(8); // those that follow each other; later rows are of other months
    return {turns, 0.0005 * 0.3048, {}, "case"};
}

TEST(TideTable, TheCosineBetweenPublishedTurns) {
    const auto table = first_days();
    for (const auto& row : rows("cosine")) {
        EXPECT_NEAR(table.height_m(moment(row.time)), std::stod(row.value), 1.5e-4) << row.time;
    }
    for (const auto& row : rows("cosine-crossing")) {
        EXPECT_NEAR(table.height_m(moment(row.time)), std::stod(row.value), 1.5e-4) << row.time;
    }
}

TEST(TideTable, BoundsKeepBelowTheCosineAndAboveTheLowWater) {
    const auto table = first_days();
    const auto from = ceil<minutes>(table.first());
    const int count = static_cast<int>((floor<minutes>(table.last()) - from) / 1min);
    const auto bounds = table.by_minute(from, count);
    ASSERT_EQ(bounds.size(), static_cast<std::size_t>(count));
    for (int i = 0; i < count; ++i) {
        const auto& minute = bounds[static_cast<std::size_t>(i)];
        const double height_m =
            std::min(table.height_m(from + minutes{i}), table.height_m(from + minutes{i + 1}));
        EXPECT_LE(minute.least_m, height_m - 0.5 * 0.001 * 0.3048 + 1e-9) << i;
        EXPECT_GE(minute.least_m, height_m - 0.3) << i;
        EXPECT_GE(minute.greatest_m, height_m) << i;
    }
    const auto lowest = std::ranges::min(bounds, {}, &LevelBounds::least_m).least_m;
    const auto turns = table.turns(table.first(), table.last());
    EXPECT_NEAR(lowest, std::ranges::min(turns, {}, &Turn::height_m).height_m, 2e-4)
        << "a low water inside the stay loses no more than half a digit";
}

// What the allowance is for: the table's bounds against the harmonic tide that it was made of, at every
// minute of a month, heights rounded to decimetres and times to minutes. On an open coast they are never
// above the water.
TEST(TideTable, BoundsHoldAgainstTheTideThatTheTableIsMadeOf) {
    for (const char* station : {"8410140", "9447130"}) {
        const auto tide = tide_cases::tide(station);
        auto turns = tide.turns(moment("2026-03-01T00:00Z"), moment("2026-04-01T00:00Z"));
        for (auto& turn : turns) {
            turn.time = round<minutes>(turn.time);
            turn.height_m = std::round(turn.height_m * 10) / 10;
        }
        const TideTable table(turns, 0.05, {}, "case");
        const int count = static_cast<int>((table.last() - table.first()) / 1min);
        const auto bounds = table.by_minute(table.first(), count);
        for (int i = 0; i < count; i += 3) {
            const double height_m = tide.height_m(table.first() + minutes{i});
            ASSERT_LE(bounds[static_cast<std::size_t>(i)].least_m, height_m) << station << " " << i;
            ASSERT_GE(bounds[static_cast<std::size_t>(i)].greatest_m, height_m) << station << " " << i;
        }
    }
}

// Where a high and a low water were left out nothing but the length of the gap shows it: its bounds hold all
// the same, wherever the pair is missing.
TEST(TideTable, BoundsHoldWhereAPairOfTurnsIsMissing) {
    const auto tide = tide_cases::tide("8410140");
    const auto all = tide.turns(moment("2026-03-01T00:00Z"), moment("2026-03-20T00:00Z"));
    for (std::size_t left_out = 8; left_out + 8 < all.size(); ++left_out) {
        auto turns = all;
        const auto first = turns.begin() + static_cast<std::ptrdiff_t>(left_out);
        turns.erase(first, first + 2);
        const TideTable table(turns, 0.05, {}, "case");
        const Instant from = ceil<minutes>(all[left_out - 1].time),
                      to = floor<minutes>(all[left_out + 2].time);
        const auto bounds = table.by_minute(from, static_cast<int>((to - from) / 1min));
        for (std::size_t i = 0; i < bounds.size(); i += 5) {
            const double height_m = tide.height_m(from + minutes(i));
            ASSERT_LE(bounds[i].least_m, height_m) << left_out << ", minute " << i;
            ASSERT_GE(bounds[i].greatest_m, height_m) << left_out << ", minute " << i;
        }
    }
}

TEST(TideTable, ATurnWithinAMinuteCountsWithBothItsTides) {
    const Instant noon = moment("2026-05-01T12:00Z");
    const TideTable table({{noon - 6h - 30s, 4, true}, {noon + 30s, 1, false}, {noon + 6h, 3, true}}, 0, {},
                          "case");
    const auto bounds = table.by_minute(noon, 1);
    EXPECT_NEAR(bounds[0].least_m, 1, 1e-9);
    EXPECT_DOUBLE_EQ(bounds[0].greatest_m, 4);
}

std::string refusal(const std::vector<Turn>& turns) {
    try {
        const TideTable table(turns, 0.05, {}, "table.csv");
    } catch (const InputError& error) {
        return error.what();
    }
    return "accepted";
}

TEST(TideTable, TurnsHaveToFollowEachOther) {
    const Instant noon = moment("2026-05-01T12:00Z");
    EXPECT_EQ(refusal({{noon, 4, true}, {noon + 6h, 1, false}, {noon + 12h, 4, true}}), "accepted");
    EXPECT_THAT(refusal({{noon, 4, true}}), HasSubstr("fewer than two"));
    EXPECT_THAT(refusal({{noon, 4, true}, {noon + 6h, 3, true}}), HasSubstr("alternate"));
    EXPECT_THAT(refusal({{noon, 4, true}, {noon - 1h, 3, false}}), HasSubstr("ascend"));
    EXPECT_THAT(refusal({{noon, 4, true}, {noon, 3, false}}), HasSubstr("ascend"));
    EXPECT_THAT(refusal({{noon, 1, true}, {noon + 6h, 3, false}}), HasSubstr("lies below"));
}

TEST(TideTable, OffsetsThatTurnTheTideRoundAreRefused) {
    const Instant noon = moment("2026-05-01T12:00Z");
    StationOffsets offsets;
    offsets.low.later = 8h;
    EXPECT_THROW(subordinate_turns({{noon, 1, false}, {noon + 6h, 3, true}}, offsets, "case"), InputError);
}

} // namespace
} // namespace swingroom
