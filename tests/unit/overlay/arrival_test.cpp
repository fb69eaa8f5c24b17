// When she floats, and what to look for on arrival, on an invented table of high and low waters.

#include "swingroom/overlay/arrival.hpp"
#include "swingroom/sea/chart_depths.hpp"

#include "support/tides.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <chrono>
#include <cmath>
#include <limits>
#include <optional>
#include <random>
#include <string>
#include <vector>

namespace swingroom {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::Not;
using testing::StartsWith;
using testing_support::made_tide;
using testing_support::utc;

/// A plain yes at full scope, 5.0 to 5.6 m below chart datum, with a danger to the hull.
PositionReport place() {
    PositionReport report;
    report.answer.verdict = Verdict::full;
    report.facts.shoal_m = 5.0F;
    report.facts.deep_m = 5.6F;
    report.reach_m = 200;
    report.hull_danger = NearestDanger{NearestDanger::Kind::hazard, "rock (rocks #2)", 0, {}, 60.37, 187.6};
    WayAtPosition at;
    at.detail.needs.sounder_limit_m = std::numeric_limits<float>::quiet_NaN();
    report.ways = {at};
    return report;
}

Boat boat_with(std::optional<double> transducer_m) {
    Boat boat;
    boat.sounder.error_m = 0.2;
    boat.sounder.transducer_m = transducer_m;
    return boat;
}

TEST(ArrivalWater, IsThatOfTheMomentAndOfWhatComesAfterIt) {
    const StayTide tide = made_tide();
    const ArrivalWater water = arrival_water(tide);
    EXPECT_EQ(water.at, utc("2026-12-24T14:30"));
    EXPECT_FALSE(water.falling) << "low water was at 12:35";
    ASSERT_TRUE(water.next_low);
    EXPECT_EQ(water.next_low->time, utc("2026-12-25T01:00"));
    EXPECT_EQ(water.next_low->height_m, 0.4);
    // 0.4 m at low water, less half the last digit and 0.2 m for weather.
    EXPECT_DOUBLE_EQ(tide.stay.levels().low_m, 0.15);
    EXPECT_EQ(water.lowest_at, utc("2026-12-25T01:00")) << "not where its bound is as low, hours before";
    EXPECT_NEAR(water.falls_m, water.level.greatest_m - 0.15, 1e-9);
    EXPECT_TRUE(arrival_water(made_tide("2026-12-24T20:00")).falling);
    EXPECT_FALSE(arrival_water(made_tide("2026-12-24T13:00", "2026-12-24T18:00")).next_low)
        << "no turn at all";
    EXPECT_FALSE(arrival_water(made_tide("2026-12-24T13:00", "2026-12-24T18:00")).falling);
    EXPECT_TRUE(arrival_water(made_tide("2026-12-24T19:00", "2026-12-24T23:00")).falling);
}

// Whatever the water does within its bounds: what is shown on arrival less falls_m is never more than what is
// shown later.
TEST(ArrivalWater, FallsByNoMore) {
    std::mt19937_64 dice(3);
    for (int i = 0; i < 300; ++i) {
        const Instant arrive =
            utc("2026-12-24T01:00") + std::chrono::minutes(std::uniform_int_distribution<int>(0, 1500)(dice));
        const Instant depart =
            arrive + std::chrono::minutes(std::uniform_int_distribution<int>(10, 600)(dice));
        const StayTide tide = made_tide(utc_text(arrive), utc_text(depart));
        const ArrivalWater water = arrival_water(tide);
        const LevelBounds then =
            tide.stay.at(arrive + std::chrono::minutes(std::uniform_int_distribution<int>(0, 600)(dice)));
        ASSERT_GE(then.least_m, water.level.greatest_m - water.falls_m - 1e-9);
        ASSERT_GE(then.least_m, tide.stay.at(water.lowest_at).least_m);
    }
}

TEST(AfloatText, TellsWindowsByTheClock) {
    const StayTide tide = made_tide();
    EXPECT_EQ(afloat_text(tide.stay, 0.15, tide.zone), "the whole stay, 18.5 h");
    EXPECT_EQ(afloat_text(tide.stay, 9, tide.zone), "at no time of the stay");
    // High water of 4.50 m, less a tenth of the rise of 3.9 m, 0.05 m for the last digit and 0.2 m for
    // weather: in the minutes of high water hardly less than 3.86 m. It may be as high as 4.85 m.
    EXPECT_EQ(afloat_text(tide.stay, 4.3, tide.zone),
              "at no time for sure: the level's lower bound rises to 3.85 m above chart datum at most");
    EXPECT_EQ(afloat_text(tide.stay, 4.86, tide.zone), "at no time of the stay");
    // 3.86 m are 12.66 ft.
    EXPECT_THAT(afloat_text(tide.stay, 4.3, tide.zone, {LengthUnit::foot, {}}), HasSubstr(" 12.66 ft above"));
    EXPECT_EQ(zone_text(ZoneOffset(0)), "UTC");
    EXPECT_EQ(zone_text(ZoneOffset(-210)), "UTC-03:30");
    const std::vector<TimeWindow> windows = tide.stay.windows(1.5);
    ASSERT_EQ(windows.size(), 2U);
    const std::string text = afloat_text(tide.stay, 1.5, tide.zone);
    // Both windows as Stay has them, an hour later by the clock.
    EXPECT_EQ(text, fixed_down(tide.stay.hours_afloat(1.5), 1) +
                        " of 18.5 h: " + window_text(windows[0], tide.zone) + ", " +
                        window_text(windows[1], tide.zone) + " UTC+01:00");
    EXPECT_EQ(window_text({utc("2026-12-24T20:15"), utc("2026-12-24T22:59")}, ZoneOffset(60)),
              "2026-12-24 21:15 to 23:59");
    EXPECT_EQ(window_text({utc("2026-12-24T20:15"), utc("2026-12-24T23:00")}, ZoneOffset(60)),
              "2026-12-24 21:15 to 2026-12-25 00:00");
}

TEST(AfloatText, DoesNotGoOnForAYear) {
    std::vector<Turn> turns;
    for (int i = 0; i < 60; ++i) {
        turns.push_back(
            {utc("2026-07-01T00:00") + std::chrono::minutes(370 * i), i % 2 == 0 ? 0.5 : 3.5, i % 2 != 0});
    }
    const TideTable table(turns, 0.05, {}, "made.csv");
    const Stay stay(table, utc("2026-07-02T00:00"), utc("2026-07-15T00:00"), {}, "made.csv");
    const std::size_t more = stay.windows(2).size() - 6;
    EXPECT_THAT(afloat_text(stay, 2, ZoneOffset(0)),
                testing::EndsWith(" UTC and " + std::to_string(more) + " more"));
}

TEST(LevelNeededText, IsRoundedUpOnBothSidesOfChartDatum) {
    EXPECT_EQ(level_needed_text(1.52), "1.6 m above chart datum");
    EXPECT_EQ(level_needed_text(-2.28), "2.2 m below chart datum");
    EXPECT_EQ(level_needed_text(-0.04), "0.0 m above chart datum");
    // -2.28 m are -7.48 ft.
    EXPECT_EQ(level_needed_text(-2.28, {LengthUnit::foot, {}}), "7.4 ft below chart datum");
}

TEST(ReadingText, TellsThePredictionFirst) {
    SounderReading reading = sounder_reading(5.04, 5.56, {1.31, 1.52}, {0.2, 0, 0.5});
    reading.predicted_m = 6.26;
    EXPECT_EQ(range_text(reading), "about 6.3 m (5.8 to 6.6 m)");
    EXPECT_EQ(reading_text(reading),
              "about 6.3 m by the prediction (5.8 to 6.6 m with all that depth and level "
              "may be off), and up to 0.2 m less or more by its own error");
    reading.of_water = true;
    EXPECT_EQ(
        reading_text(reading),
        "about 6.3 m of water by the prediction (5.8 to 6.6 m with all that depth and level may be off), "
        "less how deep your transducer is, and up to 0.2 m less or more by its own error");
    reading.predicted_m = 0;
    EXPECT_THAT(reading_text(reading), StartsWith("dry by the prediction (5.8 to 6.6 m with"));
}

// The middle of 5.0 and 5.6 m below chart datum, and 4.11 m of water (see below), less 0.6 m.
TEST(Arrival, PredictsFromTheMiddleOfTheDepthUnlessItIsABand) {
    const ArrivalWater water = arrival_water(made_tide("2026-12-24T20:00"));
    PositionReport at = place();
    EXPECT_NEAR(arrival_of(water, at, boat_with(0.6)).reading.predicted_m, 5.3 + 4.11 - 0.6, 0.01);
    EXPECT_NEAR(arrival_of(water, at, boat_with({})).reading.predicted_m, 5.3 + 4.11, 0.01);
    at.facts.stepped = true;
    EXPECT_TRUE(std::isnan(arrival_of(water, at, boat_with(0.6)).reading.predicted_m));
    at = place();
    at.facts.banded = true;
    EXPECT_TRUE(std::isnan(arrival_of(water, at, boat_with(0.6)).reading.predicted_m));
    at = place();
    at.facts.deep_m = static_cast<float>(no_deep_edge_m);
    EXPECT_TRUE(std::isnan(arrival_of(water, at, boat_with(0.6)).reading.predicted_m));
    at = place();
    at.facts.shoal_m = -5.6F; // a bank that is still bare
    at.facts.deep_m = -5.0F;
    EXPECT_EQ(arrival_of(water, at, boat_with(0.6)).reading.predicted_m, 0);
    at.facts.shoal_m = at.facts.deep_m = std::numeric_limits<float>::quiet_NaN();
    EXPECT_TRUE(std::isnan(arrival_of(water, at, boat_with(0.6)).reading.predicted_m));
}

TEST(ReadingText, IsRoundedOutwardsInAnyUnit) {
    const SounderReading reading = sounder_reading(5.04, 5.56, {1.31, 1.52}, {0.2, 0, 0.5});
    EXPECT_EQ(reading_text(reading), "5.8 to 6.6 m, and up to 0.2 m less or more by its own error");
    // 5.85 m are 19.19 ft, 6.58 m 21.59 ft, 0.2 m 0.66 ft.
    EXPECT_EQ(reading_text(reading, {LengthUnit::foot, {}}),
              "19.1 to 21.6 ft, and up to 0.7 ft less or more by its own error");
    EXPECT_EQ(
        reading_text(sounder_reading(5.04, 5.56, {1.31, 1.52}, {0.2, 0, {}})),
        "6.3 to 7.1 m of water, less how deep your transducer is, and up to 0.2 m less or more by its own "
        "error");
    EXPECT_EQ(range_text(sounder_reading(5.04, no_deep_edge_m, {1.31, 1.52}, {0.2, 0, 0.0})),
              "6.3 m or more");
    EXPECT_EQ(reading_text(sounder_reading(-5, -4, {1.31, 1.52}, {})), "none: it is dry");
    EXPECT_EQ(reading_text(SounderReading()), "");
}

TEST(ArrivalSentences, SayWhatToLookFor) {
    const StayTide tide = made_tide("2026-12-24T20:00");
    const Arrival arrival = arrival_of(arrival_water(tide), place(), boat_with(0.6));
    const std::vector<std::string> sentences = arrival_sentences(arrival, place());
    const SounderReading& reading = arrival.reading;
    // At what is shown between a limit and its tenth, too, she is told to stop.
    EXPECT_NE(fixed_down(reading.least_m - 0.2, 1), fixed_up(reading.least_m - 0.2, 1)) << "proves nothing";
    EXPECT_NE(fixed_down(reading.greatest_m + 0.2, 1), fixed_up(reading.greatest_m + 0.2, 1));
    EXPECT_THAT(
        sentences,
        ElementsAre(
            testing::AllOf(
                StartsWith("On arrival, 2026-12-24 21:00 UTC+01:00, the water stands "),
                HasSubstr(" above chart datum, 4.11 m by the prediction, and the sounder should read about " +
                          fixed(reading.predicted_m, 1) + " m by the prediction (" +
                          fixed_down(reading.least_m, 1) + " to " + fixed_up(reading.greatest_m, 1) +
                          " m with all that depth and level may be off), and up to 0.2 m less or more by its "
                          "own error.")),
            "Where it shows less than " + fixed_up(reading.least_m - 0.2, 1) +
                " m, depth or level is not what was counted with: do not let go by this answer. Where it "
                "shows "
                "more than " +
                fixed_down(reading.greatest_m + 0.2, 1) +
                " m, more rode and more room are needed than were counted with.",
            "The nearest danger is rock (rocks #2), 60.3 m off, bearing 188°.",
            // By the cosine between 4.5 m at 18:45 and 0.4 m at 01:00, 75 minutes after the first of them:
            // 2.45 + 2.05 cos(pi / 5) = 4.11 m, 3.71 m above the second.
            "The water is falling then, until low water at 2026-12-25 02:00 UTC+01:00, 0.40 m above chart "
            "datum "
            "as "
            "predicted. From arrival to the lowest water of the stay, which is that one, it falls by 3.7 m "
            "as "
            "predicted, and by no more than " +
                fixed_up(arrival.water.falls_m, 1) +
                " m with all that the level may be off: what the sounder shows on arrival less " +
                fixed_up(arrival.water.falls_m, 1) +
                " m is the least that it will show there, its own error aside."));
}

TEST(ArrivalSentences, KnowWhenTheWaterDoesNotFallAgain) {
    const StayTide tide = made_tide("2026-12-24T13:00", "2026-12-24T18:00");
    const Arrival arrival = arrival_of(arrival_water(tide), place(), boat_with(0.6));
    EXPECT_THAT(
        arrival_sentences(arrival, place()).back(),
        StartsWith("The water is rising then, and no low water falls into the stay after it. The lowest "
                   "water of the stay is that of arrival, but with all that the level may be off it may "
                   "still fall by "));
}

TEST(ArrivalSentences, OfAPlaceByTheSounderSayTheLimit) {
    const StayTide tide = made_tide();
    PositionReport by_sounder = place();
    by_sounder.answer.verdict = Verdict::full_by_sounder;
    by_sounder.ways[0].detail.needs.sounder_limit_m = 7.5F;
    by_sounder.hull_danger.reset();
    Boat boat = boat_with(0.6);
    boat.policy.level_error_m = 0.5;
    const Arrival arrival = arrival_of(arrival_water(tide), by_sounder, boat);
    const double most_m = sounder_may_show_m(7.5, arrival.water.level, boat);
    EXPECT_DOUBLE_EQ(arrival.sounder_most_m[0], most_m);
    std::vector<std::string> sentences = arrival_sentences(arrival, by_sounder);
    ASSERT_EQ(sentences.size(), 5U);
    EXPECT_THAT(sentences[1],
                StartsWith("Let go then only where it shows no more than " + fixed_down(most_m, 1) + " m "));
    // The water rises to 4.85 m, at the most from the lowest that it may be on arrival; the transducer is 0.6
    // m deep, and the sounder may have shown too little.
    const double more_m = 4.85 - arrival.water.level.least_m + 0.6 + boat.sounder.error_m;
    EXPECT_THAT(sentences[1],
                HasSubstr("veer for the most that it shows there and " + fixed_up(more_m, 1) + " m more"));
    EXPECT_THAT(sentences[2], Not(HasSubstr("more than"))) << "how much it may show is said";
    EXPECT_EQ(sentences[3], "No danger lies within 200.0 m.");
    const Arrival of_water = arrival_of(arrival_water(tide), by_sounder, boat_with({}));
    sentences = arrival_sentences(of_water, by_sounder);
    EXPECT_THAT(sentences[1], StartsWith("Let go then only where there is no more water than "));
}

} // namespace
} // namespace swingroom
