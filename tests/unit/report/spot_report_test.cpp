// What `spot` prints of a report: the same figures in every unit, none of them promising more than it holds.

#include "swingroom/report/spot_report.hpp"

#include "support/tides.hpp"

#include <cpl_json.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <random>
#include <string>
#include <vector>

namespace swingroom {
namespace {

using testing::HasSubstr;

/// A report of a place in the open with all three ways, its figures by dice.
SpotReport random_report(std::uint64_t seed) {
    std::mt19937_64 dice(seed);
    const auto metres = [&dice](double least, double most) {
        return std::uniform_real_distribution<double>(least, most)(dice);
    };
    SpotReport report;
    report.asked = {metres(-180, 180), metres(-80, 80)};
    PositionReport& cell = report.cell;
    cell.answer.verdict = Verdict::full;
    cell.depth_low_m = static_cast<float>(metres(-3, 30));
    cell.depth_high_m = metres(3, 40);
    cell.required_depth_m = metres(0.5, 4);
    cell.reach_m = metres(50, 400);
    cell.trip_line_m = metres(3, 40);
    cell.facts.hull_room_m = static_cast<float>(metres(0.1, 300));
    cell.facts.ground_room_m = static_cast<float>(metres(0.1, 300));
    cell.hull_danger = NearestDanger{
        NearestDanger::Kind::hazard, "shoal water", 0, Shore::covered, cell.facts.hull_room_m, 188};
    for (const Way way : all_ways) {
        WayAtPosition at;
        at.way = way;
        at.detail.needs.rode_m = static_cast<float>(metres(5, 200));
        at.detail.needs.radius_m = static_cast<float>(metres(5, 300));
        at.detail.needs.ground_m = static_cast<float>(metres(5, 300));
        at.detail.reach_m = metres(5, 300);
        at.spare_m = std::min(cell.facts.hull_room_m - at.detail.needs.radius_m,
                              cell.facts.ground_room_m - at.detail.needs.ground_m);
        at.wind_limit_kn = static_cast<float>(metres(0, 79));
        cell.ways.push_back(at);
    }
    report.notes.push_back({"soft mud", "SBDARE #3", metres(1, 1852), 123});
    report.nearby.push_back({{{"cable", metres(0, 500)}}, "cables #0", metres(1, 1852), 45, "Disused"});
    return report;
}

/// The number behind a label, from a place on; it may be "at least" that.
double figure(const std::string& text, const std::string& label, std::size_t from = 0) {
    const std::size_t at = text.find(label, from);
    if (at == std::string::npos) ADD_FAILURE() << label << " is not in\n" << text;
    const std::string at_least = "at least ";
    const std::string behind = text.substr(at + label.size());
    return std::stod(behind.starts_with(at_least) ? behind.substr(at_least.size()) : behind);
}

class SpotFigures : public testing::TestWithParam<std::uint64_t> {};

// The foot is 0.3048 m, the fathom 1.8288 m (agreement on yard and pound, 1959), the nautical mile 1852 m (SI
// brochure).
TEST_P(SpotFigures, PromiseNoMoreThanTheMetresInAnyUnit) {
    const SpotReport report = random_report(GetParam());
    const PositionReport& cell = report.cell;
    constexpr double rounding_tolerance_m = 6e-5; // see rounded()
    for (const Measures& measures : {Measures{LengthUnit::metre, {}}, Measures{LengthUnit::foot, {}},
                                     Measures{LengthUnit::fathom, {}}}) {
        const LengthUnit unit = measures.length;
        const double unit_m = unit == LengthUnit::metre ? 1 : unit == LengthUnit::foot ? 0.3048 : 1.8288;
        const std::string text = spot_text(report, measures);
        SCOPED_TRACE(text);
        const double step_m = 0.1 * unit_m;
        const auto there = [&](double printed, double metres, double step) {
            EXPECT_LE(printed * unit_m, metres + rounding_tolerance_m);
            EXPECT_GT(printed * unit_m, metres - step - rounding_tolerance_m);
        };
        const auto needed = [&](double printed, double metres) {
            EXPECT_GE(printed * unit_m, metres - rounding_tolerance_m);
            EXPECT_LT(printed * unit_m, metres + step_m + rounding_tolerance_m);
        };
        there(figure(text, "  depth           "), static_cast<double>(cell.depth_low_m), step_m);
        needed(figure(text, "at low water, "), cell.depth_high_m);
        needed(figure(text, "the hull needs "), cell.required_depth_m);
        there(figure(text, "  hull room       "), static_cast<double>(cell.facts.hull_room_m), step_m);
        there(figure(text, "  ground room      at least "), cell.reach_m, step_m);
        needed(figure(text, "  trip line       "), cell.trip_line_m);
        needed(figure(text, ", margin "), report.nearby[0].kinds[0].margin_m);
        std::size_t from = 0;
        for (const WayAtPosition& at : cell.ways) {
            from = text.find("\n" + std::string(phrase(at.way)) + ": ", from);
            needed(figure(text, "  rode            ", from), static_cast<double>(at.detail.needs.rode_m));
            needed(figure(text, "  swinging radius ", from), static_cast<double>(at.detail.needs.radius_m));
            needed(figure(text, "  ground sweep    ", from), static_cast<double>(at.detail.needs.ground_m));
            needed(figure(text, "N, reach ", from), at.detail.reach_m);
            there(figure(text, ", spare ", from), static_cast<double>(at.spare_m), 2 * step_m);
            EXPECT_LE(figure(text, "  wind limit      ", from), static_cast<double>(at.wind_limit_kn) + 1e-4);
        }
        const double distance_m = report.nearby[0].distance_m;
        const std::size_t line = text.find("distance, bearing\n");
        const double printed = figure(text, "bearing\n", line);
        if (unit != LengthUnit::metre && distance_m >= 926) {
            EXPECT_LE(printed * 1852, distance_m + 1);
            EXPECT_GT(printed * 1852, distance_m - 18.6);
        } else {
            there(printed, distance_m, unit_m);
        }
    }
}

// json-c, by GDAL, reads it: a parser that is not ours.
TEST_P(SpotFigures, AreTheSameInJsonAsInMetres) {
    const SpotReport report = random_report(GetParam());
    const std::string text = spot_text(report, {}), json = spot_json(report);
    CPLJSONDocument document;
    ASSERT_TRUE(document.LoadMemory(json)) << json;
    const CPLJSONObject root = document.GetRoot();
    EXPECT_EQ(root.GetInteger("schema"), 2);
    EXPECT_EQ(root.GetDouble("depth_low_m"), figure(text, "  depth           "));
    EXPECT_EQ(root.GetDouble("depth_high_m"), figure(text, "at low water, "));
    EXPECT_EQ(root.GetDouble("required_depth_m"), figure(text, "the hull needs "));
    EXPECT_EQ(root.GetDouble("hull_room_m"), figure(text, "  hull room       "));
    EXPECT_EQ(root.GetDouble("ground_room_m"), figure(text, "  ground room      at least "));
    EXPECT_EQ(root.GetObj("ground_danger").GetType(), CPLJSONObject::Type::Null) << json;
    EXPECT_EQ(root.GetDouble("trip_line_m"), figure(text, "  trip line       "));
    std::size_t from = 0;
    for (const WayAtPosition& at : report.cell.ways) {
        SCOPED_TRACE(std::string(name(at.way)));
        const CPLJSONObject way = root.GetObj("ways").GetObj(std::string(name(at.way)));
        from = text.find("\n" + std::string(phrase(at.way)) + ": ", from);
        EXPECT_EQ(way.GetDouble("rode_m"), figure(text, "  rode            ", from));
        EXPECT_EQ(way.GetDouble("radius_m"), figure(text, "  swinging radius ", from));
        EXPECT_EQ(way.GetDouble("spare_m"), figure(text, ", spare ", from));
        EXPECT_EQ(way.GetString("spare_of") == "ground",
                  text.find(" (ground)", from) < text.find("sweep", from));
        EXPECT_EQ(way.GetDouble("ground_sweep_m"), figure(text, "  ground sweep    ", from));
        EXPECT_EQ(way.GetDouble("reach_m"), figure(text, "N, reach ", from));
        EXPECT_EQ(way.GetDouble("wind_limit_kn"), figure(text, "  wind limit      ", from));
        EXPECT_EQ(way.GetString("wind_limit_by"), "room and holding");
    }
    const CPLJSONObject nearby = root.GetArray("nearby")[0];
    EXPECT_EQ(nearby.GetDouble("distance_m"), figure(text, "distance, bearing\n"));
    const CPLJSONObject note = root.GetArray("seabed_notes")[0];
    EXPECT_EQ(note.GetDouble("distance_m"), figure(text, "on the raster: distance, bearing\n"));
    EXPECT_EQ(note.GetInteger("bearing_deg"), 123);
    EXPECT_EQ(note.GetString("nature"), "soft mud");
    EXPECT_EQ(note.GetString("label"), "SBDARE #3");
    EXPECT_THAT(text, HasSubstr("  123     SBDARE #3: soft mud\n"));
    EXPECT_EQ(nearby.GetString("information"), "Disused");
    EXPECT_THAT(text, HasSubstr(": Disused\n"));
    EXPECT_EQ(nearby.GetArray("rules")[0].GetDouble("margin_m"), figure(text, ", margin "));
}

INSTANTIATE_TEST_SUITE_P(Dice, SpotFigures, testing::Range<std::uint64_t>(0, 60));

TEST(SpotReport, WhatThePositionLiesInStandsBesideHereAlone) {
    SpotReport report = random_report(1);
    report.nearby.insert(report.nearby.begin(), {{{"reserve", 0}}, "RESARE #1", 0, 0, "all over"});
    EXPECT_THAT(spot_text(report, {}), testing::Not(HasSubstr("RESARE #1")));
    report.nearby.front().distance_m = 12;
    EXPECT_THAT(spot_text(report, {}), HasSubstr("  RESARE #1: reserve: all over\n"))
        << "without a margin of 0";
    report.nearby = {{{{"reserve", 0}}, "RESARE #1", 0, 0, "all over"}};
    EXPECT_THAT(spot_text(report, {}), HasSubstr("Nearest hazards: none within 1852 m"));
}

TEST(SpotReport, TellsRodeAsItIsMarkedToo) {
    SpotReport report = random_report(1);
    report.cell.ways[0].detail.needs.rode_m = 35;
    EXPECT_THAT(spot_text(report, {}), HasSubstr("  rode             35.0 m\n"));
    EXPECT_THAT(spot_text(report, {LengthUnit::foot, {}}),
                HasSubstr("  rode             114.9 ft (35.0 m by the marks)\n"));
    report.marks.measures.length = LengthUnit::fathom;
    EXPECT_THAT(spot_text(report, {}), HasSubstr("  rode             35.0 m (19.2 fm by the marks)\n"));
}

TEST(SpotReport, TellsPositionsAsAsked) {
    SpotReport report = random_report(1);
    report.asked = {-29.0439320, 47.9870379};
    EXPECT_THAT(spot_text(report, {LengthUnit::metre, PositionForm::minutes}),
                testing::StartsWith("47°59.2223'N 029°02.6359'W: yes"));
}

/// The same with a tide: a level that the second way needs for a part of the stay alone, and one that none
/// will do for.
SpotReport report_with_tide(const StayTide& tide, std::uint64_t seed) {
    SpotReport report = random_report(seed);
    PositionReport& cell = report.cell;
    cell.facts.shoal_m = 2.31F;
    cell.facts.deep_m = 2.87F;
    cell.water = {{{2.46, 0.1, 18.5},
                   {1.04, 1.52, 9},
                   {-std::numeric_limits<double>::infinity(), std::numeric_limits<double>::infinity(), 0}}};
    for (WayAtPosition& at : cell.ways) {
        at.detail.needs.sounder_limit_m = std::numeric_limits<float>::quiet_NaN();
    }
    Boat boat;
    boat.sounder.transducer_m = 0.6;
    report.tide = &tide;
    report.arrival = arrival_of(arrival_water(tide), cell, boat);
    return report;
}

TEST(SpotReport, TellsWhatTheWaterDoesWhileSheStays) {
    const StayTide tide = testing_support::made_tide();
    const SpotReport report = report_with_tide(tide, 4);
    const std::string text = spot_text(report, {});
    EXPECT_THAT(
        text, HasSubstr("\n  stay             2026-12-24 15:30 to 2026-12-25 10:00 UTC+01:00, water 0.15 to "
                        "4.85 m above chart datum\n"));
    EXPECT_THAT(text, HasSubstr("  level needed     0.1 m above chart datum floats her all over its circle\n"
                                "  afloat           the whole stay, 18.5 h\n"));
    EXPECT_THAT(text, HasSubstr("  least water      1.0 m at low water in its circle\n"
                                "  level needed     1.6 m above"));
    EXPECT_THAT(text, HasSubstr("  afloat           " + afloat_text(tide.stay, 1.52, tide.zone) + "\n"));
    EXPECT_THAT(text, HasSubstr("  level needed     none will do: its circle meets what no water clears\n"));
    EXPECT_THAT(text, HasSubstr("  on arrival       the sounder should read " +
                                reading_text(report.arrival->reading) + "\n"));
    EXPECT_THAT(text, HasSubstr("What to look for on arrival:\n  On arrival, 2026-12-24 15:30 UTC+01:00, "));
    // 1.52 m are 4.99 ft, 1.04 m 3.41 ft.
    const std::string feet = spot_text(report, {LengthUnit::foot, {}});
    EXPECT_THAT(feet, HasSubstr("  least water      3.4 ft at low water in its circle\n"
                                "  level needed     5.0 ft above"));
}

TEST(SpotReport, TellsPrograms) {
    const StayTide tide = testing_support::made_tide();
    const SpotReport report = report_with_tide(tide, 4);
    CPLJSONDocument document;
    ASSERT_TRUE(document.LoadMemory(spot_json(report)));
    const CPLJSONObject root = document.GetRoot(), water = root.GetObj("water"),
                        arrival = root.GetObj("arrival"), afloat = root.GetObj("afloat");
    EXPECT_EQ(water.GetString("arrive"), "2026-12-24T14:30Z");
    EXPECT_EQ(water.GetString("clock"), "UTC+01:00");
    EXPECT_EQ(water.GetDouble("low_m"), 0.15);
    EXPECT_EQ(water.GetDouble("high_m"), 4.85);
    EXPECT_EQ(water.GetDouble("below_m"), 0.2);
    ASSERT_EQ(water.GetArray("turns").Size(), 3) << "18:45, 01:00 and 07:10";
    EXPECT_EQ(water.GetArray("turns")[1].GetString("type"), "low");
    EXPECT_EQ(water.GetArray("turns")[1].GetString("time"), "2026-12-25T01:00Z");
    EXPECT_EQ(water.GetObj("longitude").GetType(), CPLJSONObject::Type::Null) << "nobody has said";
    EXPECT_EQ(arrival.GetString("at"), "2026-12-24T14:30Z");
    EXPECT_EQ(arrival.GetString("next_low"), "2026-12-25T01:00Z");
    EXPECT_LE(arrival.GetDouble("sounder_least_m"), report.arrival->reading.least_m);
    EXPECT_GE(arrival.GetDouble("sounder_greatest_m"), report.arrival->reading.greatest_m);
    EXPECT_NEAR(arrival.GetDouble("sounder_predicted_m"), report.arrival->reading.predicted_m, 0.05001);
    EXPECT_TRUE(arrival.GetBool("transducer_known"));
    EXPECT_EQ(arrival.GetArray("sentences").Size(), 4);
    EXPECT_EQ(afloat.GetObj("full").GetDouble("hours_afloat"), 18.5);
    EXPECT_EQ(afloat.GetObj("short").GetDouble("level_needed_m"), 1.6);
    const std::vector<TimeWindow> windows = tide.stay.windows(1.52);
    const CPLJSONArray told = afloat.GetObj("short").GetArray("windows");
    ASSERT_EQ(told.Size(), static_cast<int>(windows.size()));
    EXPECT_EQ(told[1].GetString("to"), utc_text(windows[1].to));
    EXPECT_EQ(afloat.GetObj("sinker").GetObj("level_needed_m").GetType(), CPLJSONObject::Type::Null);
    EXPECT_EQ(afloat.GetObj("sinker").GetDouble("hours_afloat", -1), 0);
}

// A bank on which she floats at high water alone: no way is looked at, but it is told when she floats.
TEST(SpotReport, TellsWhenSheFloatsOnABank) {
    const StayTide tide = testing_support::made_tide();
    SpotReport report = report_with_tide(tide, 4);
    report.cell.answer.verdict = Verdict::no;
    report.cell.ways.clear();
    report.cell.water = {{{-0.62, 2.73, 5}, {-0.31, 2.42, 6}, {}}};
    const std::string text = spot_text(report, {});
    EXPECT_THAT(text, HasSubstr("\nfull scope: no, aground at low water\n"
                                "  least water      -0.7 m at low water in its circle\n"
                                "  level needed     2.8 m above chart datum floats her all over its circle\n"
                                "  afloat           " +
                                afloat_text(tide.stay, 2.73, tide.zone) + "\nshort scope: no, aground"));
    EXPECT_THAT(text, testing::Not(HasSubstr("sinker"))) << "nothing is known of it";
    EXPECT_THAT(text, testing::Not(HasSubstr("What to look for"))) << "it is no place to go to";
}

// Where the hull is aground at high water, too, no level is known to do: not nothing, but no time.
TEST(SpotReport, TellsThatSheNeverFloatsOnABankThatDries) {
    const StayTide tide = testing_support::made_tide();
    SpotReport report = report_with_tide(tide, 4);
    report.cell.answer.verdict = Verdict::no;
    report.cell.ways.clear();
    WaterOfWay never;
    never.hours_afloat = 0;
    report.cell.water = {{never, never, {}}};
    const std::string text = spot_text(report, {});
    EXPECT_THAT(text, HasSubstr("\nfull scope: no, aground at high water too\n"
                                "  afloat           at no time of the stay\nshort scope: no"));
    EXPECT_THAT(text, testing::Not(HasSubstr("sinker"))) << "there is none aboard";
    CPLJSONDocument document;
    ASSERT_TRUE(document.LoadMemory(spot_json(report)));
    const CPLJSONObject afloat = document.GetRoot().GetObj("afloat");
    EXPECT_EQ(afloat.GetObj("full").GetDouble("hours_afloat", -1), 0);
    EXPECT_EQ(afloat.GetObj("full").GetArray("windows").Size(), 0);
    EXPECT_EQ(afloat.GetObj("full").GetObj("level_needed_m").GetType(), CPLJSONObject::Type::Null);
    EXPECT_EQ(afloat.GetObj("sinker").GetObj("hours_afloat").GetType(), CPLJSONObject::Type::Null);
    EXPECT_EQ(afloat.GetObj("sinker").GetObj("windows").GetType(), CPLJSONObject::Type::Null);
}

TEST(SpotReport, SaysNothingOfTimeWithoutATide) {
    const SpotReport report = random_report(4);
    for (const std::string& told : {spot_text(report, {}), spot_json(report)}) {
        for (const char* word : {"stay", "afloat", "arriv", "level", "least_water", "least water"}) {
            EXPECT_THAT(told, testing::Not(HasSubstr(word)));
        }
    }
}

TEST(SpotReport, TellsTheConditionOfTheMomentOfArrival) {
    const StayTide tide = testing_support::made_tide();
    SpotReport report = report_with_tide(tide, 4);
    report.cell.answer.verdict = Verdict::full_by_sounder;
    report.cell.ways[0].detail.needs.sounder_limit_m = 6.25F;
    Boat boat;
    boat.sounder.transducer_m = report.transducer_m = 0.6;
    report.low_water_m = 0.15;
    report.arrival = arrival_of(arrival_water(tide), report.cell, boat);
    const std::string text = spot_text(report, {});
    EXPECT_THAT(text, HasSubstr("shows no more than 5.8 m at low water (6.2 m below chart datum)"));
    const double most_m = sounder_may_show_m(6.25, tide.stay.at(tide.stay.arrive()), boat);
    EXPECT_THAT(text, HasSubstr("  on arrival       no more than " + fixed_down(most_m, 1) +
                                " m, 2026-12-24 15:30 UTC+01:00\n"));
    CPLJSONDocument document;
    ASSERT_TRUE(document.LoadMemory(spot_json(report)));
    EXPECT_NEAR(document.GetRoot().GetObj("ways").GetObj("full").GetDouble("sounder_on_arrival_m"), most_m,
                0.1);
}

} // namespace
} // namespace swingroom
