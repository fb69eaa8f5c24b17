// The three lines that a run ends with on a terminal.

#include "swingroom/report/closing_words.hpp"

#include "base/folded_text.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cstdint>
#include <string>
#include <vector>

namespace swingroom {
namespace {

using testing::ElementsAre;

Covered covered(std::int64_t cells) { return {cells, 4.0 * static_cast<double>(cells)}; }

void count(Tally& tally, Verdict verdict, std::int64_t cells) {
    tally.by_verdict[static_cast<std::size_t>(verdict)] = covered(cells);
}

void count(Tally& tally, WhyNot why, std::int64_t cells) {
    tally.no_by_reason[static_cast<std::size_t>(why)] = covered(cells);
    const Verdict told = why == WhyNot::out_of_reach ? Verdict::out_of_reach : Verdict::no;
    tally.by_verdict[static_cast<std::size_t>(told)] += covered(cells);
}

PositionReport spot(Verdict verdict) {
    PositionReport spot;
    spot.centre = {-29.043932, 47.987038};
    spot.answer.verdict = verdict;
    WayAtPosition way;
    way.way = way_of(verdict);
    way.detail.needs.rode_m = 35;
    way.detail.needs.sounder_limit_m = 6.54F;
    spot.ways = {way};
    return spot;
}

const RodeMarks metres{};

TEST(Closing, TellsShareBestPlaceAndWhyTheRestIsNot) {
    Tally tally;
    count(tally, Verdict::full, 20);
    count(tally, WhyNot::rode, 70);
    count(tally, WhyNot::too_shallow, 10);
    const PositionReport best = spot(Verdict::full);
    EXPECT_THAT(closing_lines({tally, &best, 0, metres, {}}),
                ElementsAre("A yes: 20.0 % of the surveyed water.",
                            "Best: 47\u00b059.2223'N 029\u00b002.6359'W, rode 35.0 m: yes, at full scope.",
                            "Why the rest is not: too little rode aboard 70.0 %."))
        << "as many reasons as fit a line";
}

TEST(Closing, KeepsWhatHoldsByTheSounderAloneApart) {
    Tally tally;
    count(tally, Verdict::full, 10);
    count(tally, Verdict::short_by_sounder, 30);
    count(tally, WhyNot::rode, 60);
    const PositionReport best = spot(Verdict::short_by_sounder);
    const auto lines = closing_lines({tally, &best, 2, metres, {}});
    EXPECT_THAT(
        lines, ElementsAre("A yes: 40.0 % of the surveyed water, 10.0 % plainly, 30.0 % by the sounder.",
                           "Best: 47\u00b059.2223'N 029\u00b002.6359'W, rode 35.0 m, sounder to 6.5 m:",
                           "      yes, by the sounder, at short scope.", "Doubtful: 2 warnings, see above."));
    count(tally, Verdict::full, 0);
    EXPECT_EQ(closing_lines({tally, &best, 0, metres, {}}).front(),
              "A yes: 33.3 % of the surveyed water, all of it by the sounder.");
}

TEST(Closing, SaysWhyNotWhereNowhereIsAYes) {
    Tally tally;
    count(tally, WhyNot::rode, 70);
    count(tally, WhyNot::too_shallow, 30);
    EXPECT_THAT(closing_lines({tally, nullptr, 2, metres, {}}),
                ElementsAre("A yes: nowhere in the surveyed water.",
                            "Why not: too little rode aboard 70.0 %, too little water at low water 30.0 %.",
                            "Doubtful: 1 warning, see above."));
    EXPECT_EQ(closing_lines({tally, nullptr, 1, metres, {}}).size(), 2U) << "the warning that says the same";
    EXPECT_THAT(closing_lines({Tally(), nullptr, 0, metres, {}}),
                ElementsAre("A yes: nowhere, since no cell has a depth."));
}

TEST(Closing, NamesNoPlaceThatNoWayLeadsTo) {
    Tally tally;
    count(tally, WhyNot::out_of_reach, 20);
    count(tally, WhyNot::rode, 80);
    PositionReport best = spot(Verdict::full);
    best.answer.advice = advice::out_of_reach;
    EXPECT_THAT(closing_lines({tally, &best, 0, metres, {}}),
                ElementsAre("A yes: nowhere that a way leads to in the surveyed water.",
                            "Why not: too little rode aboard 80.0 %, no way in during the stay 20.0 %."));
    EXPECT_EQ(closing_lines({tally, &best, 1, metres, {}}).size(), 2U) << "the warning that says the same";
}

TEST(Closing, SaysThatTheBestPlaceWaitsForWaterOrThatItsWayIsNotKnown) {
    Tally tally;
    count(tally, Verdict::full, 100);
    PositionReport best = spot(Verdict::full);
    best.answer.advice = advice::wait_for_water;
    EXPECT_THAT(closing_lines({tally, &best, 0, metres, {}}),
                ElementsAre("A yes: 100.0 % of the surveyed water.",
                            "Best: 47\u00b059.2223'N 029\u00b002.6359'W, rode 35.0 m: yes, at full scope.",
                            "      The way in is open only while the water stands high enough."));
    best.answer.advice = advice::way_unknown;
    EXPECT_EQ(closing_lines({tally, &best, 0, metres, {}}).back(),
              "Doubtful: the best place: way not known.");
}

TEST(Closing, TellsWhatNobodyKnowsOfTheBestPlace) {
    Tally tally;
    count(tally, Verdict::full, 20);
    count(tally, WhyNot::rode, 80);
    PositionReport best = spot(Verdict::full);
    best.answer.advice = advice::unknown_holding;
    EXPECT_THAT(closing_lines({tally, &best, 0, metres, {}}),
                ElementsAre("A yes: 20.0 % of the surveyed water.",
                            "Best: 47\u00b059.2223'N 029\u00b002.6359'W, rode 35.0 m:",
                            "      yes, at full scope; holding not known.",
                            "Why the rest is not: too little rode aboard 80.0 %."));
    best.answer.advice = advice::poor_survey | advice::read_chart;
    EXPECT_EQ(closing_lines({tally, &best, 0, metres, {}}).back(),
              "Doubtful: the best place: poor survey, read the chart.");
    EXPECT_EQ(closing_lines({tally, &best, 1, metres, {}}).back(),
              "Doubtful: 1 warning, see above; the best place: poor survey, read the chart.");
    best.answer.advice = 0xffff & ~advice::out_of_reach;
    for (const std::string& line : closing_lines({tally, &best, 123, metres, {}})) {
        EXPECT_LE(columns_of(line), 80U) << line;
    }
}

// By the marks, in the unit of their own.
TEST(Closing, CountsTheRodeByItsMarks) {
    Tally tally;
    count(tally, Verdict::full, 1);
    const PositionReport best = spot(Verdict::full);
    const RodeMarks feet{{LengthUnit::foot, PositionForm::degrees}, Length::feet(5).metres()};
    EXPECT_EQ(closing_lines({tally, &best, 0, feet, {LengthUnit::fathom, PositionForm::minutes}})[1],
              "Best: 47\u00b059.2223'N 029\u00b002.6359'W, rode 114.9 ft: yes, at full scope.");
}

TEST(Closing, FitsAScreen) {
    Tally tally;
    count(tally, Verdict::sinker, 1);
    for (std::size_t i = 1; i < why_not_count; ++i) {
        count(tally, static_cast<WhyNot>(i), 1000);
    }
    const PositionReport best = spot(Verdict::sinker);
    for (const PositionForm form : {PositionForm::degrees, PositionForm::minutes}) {
        for (const std::string& line : closing_lines({tally, &best, 0, metres, {LengthUnit::metre, form}})) {
            EXPECT_LE(columns_of(line), 80U) << line;
        }
    }
    EXPECT_EQ(closing_lines({tally, &best, 0, metres, {}}).front(),
              "A yes: under 0.1 % of the surveyed water.");
}

} // namespace
} // namespace swingroom
