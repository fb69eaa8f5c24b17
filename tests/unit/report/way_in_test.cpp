// What is told of the way in to a place, in its four states, by two levels and by a tide: words, JSON, the
// page's section, the map. The values are made by hand.

#include "swingroom/overlay/arrival.hpp"
#include "swingroom/report/report.hpp"
#include "swingroom/report/spot_report.hpp"

#include "report/feature_tables.hpp"
#include "report/map_ways.hpp"
#include "report/run_maps.hpp"
#include "report/water_section.hpp"
#include "report/way_in_section.hpp"
#include "report/way_in_words.hpp"
#include "support/tides.hpp"

#include <cpl_json.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <chrono>
#include <clocale>
#include <cstddef>
#include <limits>
#include <string>
#include <string_view>
#include <vector>

namespace swingroom {
namespace {

using testing::HasSubstr;
using testing::Not;
using testing_support::made_tide;

constexpr float infinite = std::numeric_limits<float>::infinity();
constexpr Measures metres{}, feet{LengthUnit::foot, {}};

/// Levels of half a metre and two and a half.
WayIn way_in() {
    WayIn of;
    of.needs = {4.15, 2.75};
    of.lowest_m = 0.5F;
    of.highest_m = 2.5F;
    return of;
}

/// A leg to the north and one to the north-east, over a bar of 1.82 m.
Approach made_approach() {
    Approach approach;
    approach.level_m = 0.93;
    approach.clear_m = 4.18;
    approach.length_m = 812.4;
    approach.legs = {{{-29.04, 47.98}, {-29.04, 47.985}, 555.9, 0, 1.82},
                     {{-29.04, 47.985}, {-29.037, 47.9867}, 256.5, 49.6, 3.19}};
    approach.sill = {{355, 303}, {-29.04, 47.984}, 1.82, 0.93, ""};
    return approach;
}

PositionReport place(Reach reach, float level_m) {
    PositionReport report;
    report.answer.verdict = Verdict::full;
    report.reach_m = 200;
    report.reach = PlaceReach{reach, level_m};
    return report;
}

PositionReport place_over_the_bar() {
    PositionReport report = place(Reach::at_times, 0.93F);
    report.way.emplace();
    report.way->approach = made_approach();
    return report;
}

std::string lines_of(const PositionReport& of, const WayInSetting& setting) {
    std::string lines;
    for (const Fact& fact : way_in_facts(of, setting)) {
        lines += fact.name + ": " + fact.value + "\n";
    }
    return lines;
}

TEST(WayInWords, SayNothingWhereNobodyLooked) {
    const WayIn way = way_in();
    EXPECT_TRUE(way_in_facts({}, {&way, nullptr, metres}).empty());
    EXPECT_TRUE(approach_lines({}, metres).empty());
    EXPECT_TRUE(way_in_section({}).empty());
    EXPECT_EQ(when_to_come_text({}), "");
    SpotReport report;
    EXPECT_THAT(spot_text(report, metres), Not(HasSubstr("way in")));
    EXPECT_THAT(spot_json(report), HasSubstr("\"way_in\": null"));
}

TEST(WayInWords, TellTheFourStatesByTwoLevels) {
    const WayIn way = way_in();
    const WayInSetting by_levels{&way, nullptr, metres};
    EXPECT_EQ(lines_of(place(Reach::always, -1.26F), by_levels), "way in: open the whole stay\n");
    EXPECT_EQ(lines_of(place(Reach::at_times, 0.93F), by_levels),
              "way in: open at times: from 0.93 m above chart datum on\n"
              "come and go: at high water, 2.50 m above chart datum; not at low water, 0.50 m above chart "
              "datum\n");
    EXPECT_EQ(lines_of(place(Reach::never, 3.24F), by_levels),
              "way in: none during the stay: it opens at 3.24 m above chart datum, and high water is 2.50 m "
              "above chart datum\n");
    EXPECT_EQ(lines_of(place(Reach::never, infinite), by_levels),
              "way in: none during the stay: high water is 2.50 m above chart datum\n");
    EXPECT_THAT(lines_of(place(Reach::unknown, std::numeric_limits<float>::quiet_NaN()), by_levels),
                testing::AllOf(HasSubstr("way in: not known; give her beam"), Not(HasSubstr("nan"))));
}

// The curve is that of support/tides.hpp; when it stands at a level for sure has tests of its own.
TEST(WayInWords, TellByTheClockWhenToComeAndWhenToGo) {
    const StayTide tide = made_tide();
    WayIn way = way_in();
    way.highest_m = 4.1F;
    const WayInSetting by_tide{&way, &tide, metres};
    const std::vector<TimeWindow> windows = tide.stay.windows(static_cast<double>(2.1F));
    ASSERT_EQ(windows.size(), 2U);
    ASSERT_GT(windows[0].from, tide.stay.arrive()) << "she arrives at half tide, rising";
    const std::string lines = lines_of(place(Reach::at_times, 2.1F), by_tide);
    EXPECT_THAT(lines, HasSubstr("come and go: " + afloat_text(tide.stay, 2.1F, tide.zone) + "\n"));
    EXPECT_THAT(lines, HasSubstr("at arrival: the way in is shut: it opens " +
                                 clock_text(windows[0].from, tide.zone) + "\n"));
    EXPECT_THAT(lines, HasSubstr("at departure: the way out is open, since " +
                                 clock_text(windows[1].from, tide.zone) + "\n"));
    EXPECT_THAT(lines_of(place(Reach::always, 0.1F), by_tide), "way in: open the whole stay\n");
}

// The prediction turns at 4.5 m; what the water may do above it is 0.3 m and what the table leaves out.
TEST(WayInWords, WithATideTellsLevelsThatAreNotSureFromThoseThatAreNone) {
    const StayTide tide = made_tide();
    WayIn way = way_in();
    way.highest_m = 4.1F;
    const WayInSetting by_tide{&way, &tide, metres};
    const Stay& stay = tide.stay;
    const double most_m = stay.levels().high_m;
    ASSERT_GT(most_m, 4.7);
    ASSERT_LT(most_m, 6);
    EXPECT_EQ(lines_of(place(Reach::never, infinite), by_tide),
              "way in: none for sure: the highest level that is sure is 4.10 m above chart datum\n");
    WayIn up_to = way_in(); // of no level that the stay may have
    up_to.highest_m = way.highest_m;
    up_to.told_up_to_m = static_cast<float>(most_m);
    EXPECT_EQ(lines_of(place(Reach::never, infinite), {&up_to, &tide, metres}),
              "way in: none during the stay: the water rises to no more than " + fixed_up(most_m, 2) +
                  " m above chart datum\n");
    Instant first = stay.arrive();
    while (tide.curve->height_m(first) < double{4.4F}) {
        first += std::chrono::minutes(1);
    }
    const std::string reached = "which the prediction reaches at " + clock_text(first, tide.zone);
    EXPECT_EQ(lines_of(place(Reach::never, 4.4F), by_tide),
              "way in: none for sure: it opens at 4.40 m above chart datum, " + reached +
                  "; the highest level that is sure is 4.10 m above chart datum\n");
    EXPECT_THAT(lines_of(place(Reach::never, 4.625F), by_tide),
                HasSubstr("none for sure: it opens at 4.63 m above chart datum, to which the water may rise "
                          "above its prediction; the highest level that is sure is"));
    EXPECT_EQ(lines_of(place(Reach::never, 6), by_tide),
              "way in: none during the stay: it opens at 6.00 m above chart datum, and the water rises to no "
              "more than " +
                  fixed_up(most_m, 2) + " m above chart datum\n");
    // Where only the line knows the level, what closes it tells.
    const Sill bar{{3, 4}, {-29.04, 47.984}, -1.65, 4.4, ""};
    EXPECT_THAT(closed_text({bar, {}}, {Reach::never, infinite}, by_tide),
                testing::EndsWith("; open from 4.40 m above chart datum on, " + reached));
    EXPECT_THAT(closed_text({bar, {}}, {Reach::never, 4.4F}, by_tide),
                testing::EndsWith("; open from 4.40 m above chart datum on"));
}

TEST(WayInWords, OfAWayThatIsOpenTheWholeStayThereIsNoSill) {
    const WayIn way = way_in();
    PositionReport there = place_over_the_bar();
    there.reach = PlaceReach{Reach::always, 0.3F};
    const std::string lines = lines_of(there, {&way, nullptr, metres});
    EXPECT_THAT(lines, testing::AllOf(HasSubstr("approach: 813 m long"), Not(HasSubstr("sill"))));
}

TEST(WayAtMoment, EndsAreOpenOrShutAsTheWindowsAre) {
    const StayTide tide = made_tide();
    const Stay& stay = tide.stay;
    const std::vector<TimeWindow> windows = stay.windows(2.1);
    ASSERT_EQ(windows.size(), 2U);
    EXPECT_TRUE(way_at(stay, 2.1, windows[0].from).open);
    EXPECT_FALSE(way_at(stay, 2.1, windows[0].from - std::chrono::minutes(1)).open);
    const WayAtMoment between = way_at(stay, 2.1, windows[0].to);
    EXPECT_FALSE(between.open) << "a window ends before its last moment";
    EXPECT_EQ(between.shut_since, windows[0].to);
    EXPECT_EQ(between.window->from, windows[1].from);
    EXPECT_TRUE(way_at(stay, 2.1, stay.depart()).open) << "it is open until she leaves";
    EXPECT_FALSE(way_at(stay, 99, stay.arrive()).window);
    EXPECT_FALSE(way_at(stay, 99, stay.depart()).shut_since);
}

// 1.82 m are 5.97 ft, rounded down; 2.75 m are 9.02 ft, 0.93 m 3.05 ft, rounded up.
TEST(WayInWords, TellSillAndApproach) {
    const WayIn way = way_in();
    const PositionReport there = place_over_the_bar();
    const std::string lines = lines_of(there, {&way, nullptr, metres});
    EXPECT_THAT(lines, HasSubstr("sill: -29.040000 47.984000: the seabed, at the least 1.82 m below chart "
                                 "datum\n"
                                 "over the sill: 2.3 m of water at low water, 4.3 m at high water; she needs "
                                 "2.8 m\n"
                                 "approach: 813 m long, with 4.1 m or more of clear water to each side while "
                                 "the water stands 0.93 m above chart datum or higher\n"));
    EXPECT_THAT(approach_lines(there, metres),
                testing::ElementsAre("The approach, leg by leg: from, course (true), length, least depth "
                                     "below chart datum",
                                     "  -29.040000 47.980000  000\u00b0    556 m   1.82 m",
                                     "  -29.040000 47.985000  050\u00b0    257 m   3.19 m",
                                     "  -29.037000 47.986700  there"));
    const std::string in_feet = lines_of(there, {&way, nullptr, feet});
    EXPECT_THAT(in_feet, HasSubstr("at the least 5.97 ft below chart datum"));
    EXPECT_THAT(in_feet, HasSubstr("; she needs 9.1 ft\n"));
    EXPECT_THAT(in_feet, HasSubstr("open at times: from 3.06 ft above chart datum on"));
    EXPECT_THAT(in_feet, Not(testing::ContainsRegex("[0-9] m\\b")));
}

TEST(WayInWords, TellTheWaterOverTheSillOnArrival) {
    const StayTide tide = made_tide();
    const WayIn way = way_in();
    const LevelBounds level = tide.stay.at(tide.stay.arrive());
    const std::string lines = lines_of(place_over_the_bar(), {&way, &tide, metres});
    EXPECT_THAT(
        lines, HasSubstr("over the sill: about " + fixed(1.82 + tide.curve->height_m(tide.stay.arrive()), 1) +
                         " m of water on arrival by the prediction (" + fixed_down(1.82 + level.least_m, 1) +
                         " to " + fixed_up(1.82 + level.greatest_m, 1) +
                         " m with all that the level may be off), counted from its least depth"));
}

TEST(WayInWords, TellWhatClosesAWay) {
    Sill ring{{3, 4}, {-29.04, 47.984}, -0.47, 3.24, ""};
    const WayIn way = way_in();
    const auto text = [&](const ClosedWay& closed) {
        return closed_text(closed, {Reach::never, infinite}, {&way, nullptr, metres});
    };
    const std::string by_water =
        "the sill of the deepest way, at -29.040000 47.984000: the "
        "seabed, at the least 0.47 m above chart datum: it dries; open from 3.24 m above chart datum on";
    const std::vector<std::string> dangers = {"bridge over the mast (bridges #2)", "lock (gates #0)"};
    EXPECT_EQ(text({ring, {}}), by_water);
    EXPECT_EQ(text({{}, dangers}), "bridge over the mast (bridges #2), lock (gates #0)");
    EXPECT_EQ(text({ring, dangers}),
              "bridge over the mast (bridges #2), lock (gates #0); by more water alone: " + by_water)
        << "one does not hide the other";
    EXPECT_THAT(text({}), HasSubstr("what lies beyond is not known"));
    ring.hazard = "wreck (wrecks #3)";
    EXPECT_THAT(sill_text(ring, metres), testing::StartsWith("wreck (wrecks #3), at the least"));
}

// json-c, by GDAL, reads it: a parser that is not ours.
TEST(WayInJson, HasTheFiguresOfTheText) {
    const WayIn way = way_in();
    SpotReport report;
    report.cell = place_over_the_bar();
    report.way_in = &way;
    CPLJSONDocument document;
    ASSERT_TRUE(document.LoadMemory(spot_json(report))) << spot_json(report);
    const CPLJSONObject root = document.GetRoot().GetObj("way_in");
    EXPECT_EQ(root.GetString("reach"), "at times");
    EXPECT_EQ(root.GetDouble("access_level_m"), 0.93);
    EXPECT_EQ(root.GetDouble("required_depth_m"), 2.8);
    EXPECT_EQ(root.GetDouble("clear_way_m"), 4.2);
    EXPECT_EQ(root.GetObj("windows").GetType(), CPLJSONObject::Type::Null);
    EXPECT_EQ(root.GetObj("closed").GetType(), CPLJSONObject::Type::Null);
    const CPLJSONObject approach = root.GetObj("approach");
    EXPECT_EQ(approach.GetDouble("clear_m"), 4.1);
    EXPECT_EQ(approach.GetDouble("length_m"), 813);
    EXPECT_EQ(approach.GetObj("sill").GetDouble("least_depth_m"), 1.82);
    EXPECT_EQ(approach.GetObj("sill").GetDouble("water_low_m"), 2.32);
    EXPECT_EQ(approach.GetObj("sill").GetDouble("water_high_m"), 4.32);
    ASSERT_EQ(approach.GetArray("legs").Size(), 2);
    EXPECT_EQ(approach.GetArray("legs")[1].GetDouble("course_deg"), 50);
    EXPECT_EQ(approach.GetArray("legs")[1].GetDouble("least_depth_m"), 3.19);
    EXPECT_EQ(approach.GetArray("legs")[1].GetDouble("to_longitude"), -29.037);
}

TEST(WayInJson, TellsWindowsWithATide) {
    const StayTide tide = made_tide();
    const WayIn way = way_in();
    CPLJSONDocument document;
    ASSERT_TRUE(document.LoadMemory(way_in_json(place(Reach::at_times, 2.1F), {&way, &tide, metres})));
    const CPLJSONObject root = document.GetRoot();
    const std::vector<TimeWindow> windows = tide.stay.windows(static_cast<double>(2.1F));
    ASSERT_EQ(root.GetArray("windows").Size(), static_cast<int>(windows.size()));
    EXPECT_EQ(root.GetArray("windows")[0].GetString("from"), utc_text(windows[0].from));
    EXPECT_FALSE(root.GetBool("open_on_arrival", true));
    EXPECT_TRUE(root.GetBool("open_on_departure"));
    ASSERT_TRUE(document.LoadMemory(
        way_in_json(place(Reach::unknown, std::numeric_limits<float>::quiet_NaN()), {&way, &tide, metres})));
    EXPECT_EQ(document.GetRoot().GetString("reach"), "not known");
    EXPECT_EQ(document.GetRoot().GetObj("access_level_m").GetType(), CPLJSONObject::Type::Null);
    EXPECT_EQ(document.GetRoot().GetObj("windows").GetType(), CPLJSONObject::Type::Null);
}

TEST(WayInWords, KeepPointsInALocaleWithCommas) {
    if (std::setlocale(LC_ALL, "de_DE.UTF-8") == nullptr) GTEST_SKIP() << "there is no such locale here";
    const WayIn way = way_in();
    const PositionReport there = place_over_the_bar();
    const std::string lines = lines_of(there, {&way, nullptr, metres}),
                      json = way_in_json(there, {&way, nullptr, metres});
    std::setlocale(LC_ALL, "C");
    EXPECT_THAT(lines, Not(testing::ContainsRegex("[0-9],[0-9]")));
    EXPECT_THAT(json, Not(testing::ContainsRegex("[0-9],[0-9]")));
}

ReportInput input_of(const WayIn& way) {
    ReportInput input;
    input.way_in = &way;
    input.best_spots = {place_over_the_bar(), place_over_the_bar(), place(Reach::always, -3),
                        place(Reach::never, 3.24F)};
    input.best_spots[3].way.emplace();
    input.best_spots[3].way->closed = ClosedWay{Sill{{3, 4}, {-29.04, 47.984}, -0.47, 3.24, ""}, {}};
    input.provenance.facts = {{"way in", "begins on the raster's edge"}, {"boat", "ketch"}};
    return input;
}

TEST(WayInSection, TellsOfPlacesThatShareAWayOnce) {
    const WayIn way = way_in();
    const std::string page = way_in_section(input_of(way)).str();
    EXPECT_THAT(page, HasSubstr("Under way she needs 2.8 m of water within 4.2 m to each side."));
    EXPECT_THAT(page,
                HasSubstr("<strong>To drop points 1, 2</strong>: open at times: from 0.93 m above chart "
                          "datum on. Come and go: at high water, 2.50 m above chart datum; not at low "
                          "water, 0.50 m above chart datum. The sill, at 47\u00b059.0400&#39;N "
                          "029\u00b002.4000&#39;W: the seabed, at the least 1.82 m below chart datum; "
                          "over it 2.3 m of water at low water, 4.3 m at high water."));
    EXPECT_THAT(page, HasSubstr("<strong>To drop point 3</strong>: open the whole stay."));
    EXPECT_THAT(page, HasSubstr("Closed by the sill of the deepest way"));
    EXPECT_THAT(page, HasSubstr("The approach to drop point 1, leg by leg"));
    EXPECT_THAT(page, HasSubstr("Drop point 2: 813 m long"));
    EXPECT_THAT(page, HasSubstr("<li>begins on the raster&#39;s edge</li>"));
    EXPECT_THAT(page, Not(HasSubstr("<li>ketch</li>")));
}

TEST(WayInSection, SaysInOneSentenceThatTheWayIsNotKnown) {
    const WayIn way = way_in();
    ReportInput input = input_of(way);
    input.best_spots = {place(Reach::unknown, std::numeric_limits<float>::quiet_NaN())};
    const std::string page = way_in_section(input).str();
    EXPECT_THAT(page, HasSubstr("Whether a way leads to these places is not known: give her beam"));
    EXPECT_THAT(page, Not(HasSubstr("<table")));
    EXPECT_EQ(when_to_come_text(input), "");
    EXPECT_EQ(way_in_words(0, input), "") << "not once more in its row";
}

TEST(WayInSection, TheFirstPageSaysWhenToComeAndWhenToLeave) {
    const StayTide tide = made_tide();
    const WayIn way = way_in();
    ReportInput input = input_of(way);
    EXPECT_EQ(
        when_to_come_text(input),
        "The way in to drop point 3 is open the whole stay. The way in to drop point 1: open at times: "
        "from 0.93 m above chart datum on. Come and go: at high water, 2.50 m above chart datum; not at "
        "low water, 0.50 m above chart datum. The section on the way in tells of the others. No way leads "
        "to drop point 4 at any level of the stay that is sure.");
    input.tide = &tide;
    input.best_spots[0].reach->access_level_m = 2.1F;
    const std::string words = when_to_come_text(input);
    EXPECT_THAT(words, HasSubstr("Come and go: " + afloat_text(tide.stay, 2.1F, tide.zone) + "."));
    EXPECT_THAT(words, HasSubstr(" At arrival the way in is shut: it opens "));
    EXPECT_THAT(words, HasSubstr("; at departure the way out is open, since "));
    EXPECT_EQ(way_in_words(2, input), "") << "what is open all the time need not be told";
}

TEST(WayInSection, TheMapHasTheFirstWayThatSheHasToWaitForWhateverItsRank) {
    PositionReport open = place_over_the_bar();
    open.reach = PlaceReach{Reach::always, -3};
    ReportInput input;
    input.best_spots.assign(ways_on_map + 5, open);
    input.best_spots[3].way.reset();
    EXPECT_EQ(approaches_on_map(input).size(), ways_on_map - 1);
    input.best_spots[ways_on_map + 2] = input.best_spots[ways_on_map + 4] = place_over_the_bar();
    const std::vector<std::size_t> drawn = approaches_on_map(input);
    EXPECT_EQ(drawn.size(), ways_on_map);
    EXPECT_EQ(drawn.back(), ways_on_map + 2);
}

TEST(WayInSection, TheCurveShowsWhenTheWayIsOpen) {
    const StayTide tide = made_tide();
    const WayIn way = way_in();
    ReportInput input = input_of(way);
    input.tide = &tide;
    input.best_spots[0].reach->access_level_m = 2.1F;
    const std::string page = water_section({}, input).str();
    EXPECT_THAT(page, HasSubstr("way in opens: 2.10 m"));
    EXPECT_THAT(page, HasSubstr("<g class=\"windows\">"));
    EXPECT_THAT(page, HasSubstr("Open is the way in to drop point 1: "));
    EXPECT_THAT(page, HasSubstr("bars along the lower edge: when it is open for sure"));
    input.best_spots = {place(Reach::always, -3)};
    EXPECT_THAT(water_section({}, input).str(), Not(HasSubstr("way in")));
}

TEST(FeatureTables, TellPlacesOutOfReachApart) {
    FinishedFeature spot;
    spot.rings = {{{-29.04, 47.98}}};
    spot.properties = {{"verdict", 4.0}, {"meaning", "no way in during the stay; else yes, at full scope"}};
    EXPECT_FALSE(is_out_of_reach(spot));
    for (const BitName& name : advice_names) {
        if (name.bit == advice::out_of_reach) spot.properties["advice"] = std::string(name.sentence);
    }
    EXPECT_TRUE(is_out_of_reach(spot));
    EXPECT_THAT(best_places_table({spot}, 4, {}, 0).str(), HasSubstr("no way in; else at full scope"));
    spot.properties["verdict"] = 8.0;
    EXPECT_TRUE(is_out_of_reach(spot));
    EXPECT_THAT(best_places_table({spot}, 4, {}, 0).str(), HasSubstr("no way in: room and depth would do"));
}

} // namespace
} // namespace swingroom
