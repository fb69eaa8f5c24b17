// What the page tells of the water of a stay.

#include "swingroom/overlay/arrival.hpp"
#include "swingroom/report/report.hpp"
#include "swingroom/water/harmonic_tide.hpp"

#include "report/feature_tables.hpp"
#include "report/water_section.hpp"
#include "support/tides.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <limits>
#include <memory>
#include <string>
#include <vector>

namespace swingroom {
namespace {

using testing::HasSubstr;
using testing::Not;
using testing_support::made_tide;

/// A drop point at full scope that needs so much water.
PositionReport spot(double level_needed_m) {
    PositionReport report;
    report.answer.verdict = Verdict::full;
    report.facts.shoal_m = 5.0F;
    report.facts.deep_m = 5.6F;
    report.reach_m = 200;
    WayAtPosition at;
    at.detail.needs.sounder_limit_m = std::numeric_limits<float>::quiet_NaN();
    at.level_needed_m = level_needed_m;
    report.ways = {at};
    return report;
}

ReportContents contents() {
    ReportContents of;
    of.south_west = {-29.05, 47.97};
    of.north_east = {-29.03, 47.99};
    return of;
}

TEST(WaterSection, IsNotThereWithoutATide) { EXPECT_TRUE(water_section(contents(), {}).empty()); }

TEST(WaterSection, TellsTheStayItsTurnsAndWhatToLookFor) {
    const StayTide tide = made_tide();
    ReportInput input;
    input.tide = &tide;
    input.best_spots = {spot(0.1), spot(0.15), spot(0.12)};
    const std::string page = water_section(contents(), input).str();
    EXPECT_THAT(page,
                HasSubstr("From 2026-12-24 15:30 to 2026-12-25 10:00 UTC+01:00, water 0.15 to 4.85 m above "
                          "chart datum, by the tide of Haven pier."));
    EXPECT_THAT(page, HasSubstr("<svg"));
    EXPECT_THAT(page, HasSubstr("the curve of a table is a mean one"));
    EXPECT_THAT(page, HasSubstr("2026-12-24 19:45")) << "high water at 18:45 UTC";
    EXPECT_THAT(page, HasSubstr("4.50"));
    EXPECT_THAT(page, HasSubstr("On arrival at drop point 1"));
    EXPECT_THAT(page, HasSubstr("Nobody says where Haven pier lies"));
    EXPECT_THAT(page, HasSubstr("0.20 m are taken off the curve, and 0.30 m put on it"));
    EXPECT_THAT(page, HasSubstr("the layers hours_afloat_full, "));
}

// The turns of constituents are told to the second where nobody needs it.
TEST(WaterSection, TellsTurnsToTheMinute) {
    const auto curve = std::make_shared<HarmonicTide>(
        std::vector<HarmonicConstant>{{"M2", 1.5, 40}, {"S2", 0.5, 70}}, 2.0, NodalScheme::yearly, "made");
    const Stay stay(*curve, testing_support::utc("2026-07-01T12:00"),
                    testing_support::utc("2026-07-02T12:00"), {}, "made");
    const StayTide tide{curve, {}, stay, ZoneOffset(0), "made", {}, {}, {}, {}, {}};
    ReportInput input;
    input.tide = &tide;
    input.best_spots = {spot(0.1)};
    std::string page = water_section(contents(), input).str();
    page.erase(0, page.find("</svg>")); // a picture has tests of its own
    const std::vector<Turn> turns = curve->turns(stay.arrive(), stay.depart());
    ASSERT_FALSE(turns.empty());
    for (const Turn& turn : turns) {
        EXPECT_NE(turn.time.time_since_epoch().count() % 60, 0) << "proves nothing";
        EXPECT_THAT(
            page,
            HasSubstr(">" + local_time_text(std::chrono::round<std::chrono::minutes>(turn.time), tide.zone) +
                      "<"));
    }
    EXPECT_THAT(page, Not(testing::ContainsRegex("[0-9][0-9]:[0-9][0-9]:[0-9][0-9]")));
    EXPECT_THAT(page, HasSubstr("which is that one")) << "the lowest minute is that of low water";
    EXPECT_THAT(page, Not(HasSubstr("the curve of a table"))) << "it is none";
}

// A yes needs less than the lowest level, 0.15 m: where it needs hardly less a line tells so, one.
TEST(WaterSection, DrawsTheGreatestNeedWhereItLiesWithinThePicture) {
    const StayTide tide = made_tide();
    ReportInput input;
    input.tide = &tide;
    input.best_spots = {spot(-0.1), spot(0.1), spot(0.05)};
    std::string page = water_section(contents(), input).str();
    EXPECT_THAT(page, HasSubstr("drop point 2"));
    EXPECT_THAT(page, Not(HasSubstr("drop point 3")));
    EXPECT_THAT(page, HasSubstr("reckons with, and the level at which the drop point that needs the most"));
    input.best_spots = {spot(-2.2), spot(-1.9)};
    page = water_section(contents(), input).str();
    EXPECT_THAT(page, Not(HasSubstr("drop point 2")));
    EXPECT_THAT(page, HasSubstr("highest level that this page reckons with.</figcaption>"));
}

// From 29.04 W, 47.98 N to a station a degree of latitude north: 111.2 km there (a degree of the WGS 84
// meridian at 48 N), 60.0 nautical miles.
TEST(WaterSection, TellsHowFarTheStationIs) {
    StayTide tide = made_tide();
    tide.place = StationPlace{-29.04, 48.98};
    ReportInput input;
    input.tide = &tide;
    EXPECT_THAT(water_section(contents(), input).str(),
                HasSubstr("The station, Haven pier, lies 60.0 nm from the middle of the area, bearing 000°"));
    tide.place = StationPlace{-29.04, 47.981};
    EXPECT_THAT(water_section(contents(), input).str(), HasSubstr("Haven pier, lies 111 m from"));
    input.measures.length = LengthUnit::foot;
    const std::string feet = water_section(contents(), input).str();
    EXPECT_THAT(feet, HasSubstr("Haven pier, lies 365 ft from"));
    // 4.5 m are 14.76 ft; 0.15 m 0.492 ft, 4.85 m 15.912 ft.
    EXPECT_THAT(feet, HasSubstr("14.76"));
    EXPECT_THAT(feet, HasSubstr("water 0.49 to 15.92 ft above chart datum"));
    tide.station.clear();
    EXPECT_THAT(water_section(contents(), input).str(), HasSubstr(">The station lies 365 ft from"));
}

TEST(Cautions, OfATideTakeThePlaceOfThoseOfTwoNumbers) {
    const StayTide tide = made_tide();
    const std::vector<std::string> plain = cautions_of(nullptr), of_tide = cautions_of(&tide);
    ASSERT_EQ(plain.size(), cautions.size());
    ASSERT_TRUE(std::equal(plain.begin(), plain.end(), cautions.begin()));
    ASSERT_EQ(of_tide.size(), cautions.size());
    EXPECT_THAT(plain, testing::Contains(HasSubstr("Two levels of the water")));
    EXPECT_THAT(of_tide, Not(testing::Contains(HasSubstr("Two levels of the water"))));
    EXPECT_THAT(plain, Not(testing::Contains(HasSubstr("that of one station"))));
    EXPECT_THAT(of_tide, testing::Contains(HasSubstr("that of one station")));
}

/// A drop point of the layer, by the sounder where it has a limit.
FinishedFeature drop_point(double limit_m) {
    FinishedFeature feature;
    feature.properties = {{"rank", 1.0},
                          {"verdict", std::isnan(limit_m) ? 4.0 : 7.0},
                          {"meaning", "yes"},
                          {"sounder_on_arrival_predicted_m", 7.1},
                          {"sounder_on_arrival_least_m", 6.3},
                          {"sounder_on_arrival_greatest_m", 8.1},
                          {"hull_danger", "none within reach"},
                          {"ground_danger", "none within reach"}};
    if (!std::isnan(limit_m)) { // what is null is not there
        feature.properties["sounder_limit_m"] = limit_m;
        feature.properties["sounder_on_arrival_limit_m"] = limit_m;
    }
    feature.rings = {{{-29.04, 47.98}}};
    return feature;
}

TEST(BestPlaces, TellWhatTheSounderReadsOnArrival) {
    const StayTide tide = made_tide();
    ReportInput input;
    input.tide = &tide;
    input.boat.sounder = {0.2, 0, 0.6};
    const double none = std::numeric_limits<double>::quiet_NaN();
    std::string table = best_places_table({drop_point(none)}, 4, input, 0).str();
    EXPECT_THAT(table, HasSubstr("<b>Sounder on arrival:</b> about 7.1 m (6.3 to 8.1 m)<"));
    table = best_places_table({drop_point(none), drop_point(7.5)}, 4, input, 0).str();
    EXPECT_THAT(table, HasSubstr("about 7.1 m (6.3 to 8.1 m); let go then only at 7.5 m or less<"));
    const std::string note =
        "<p>Sounder on arrival: by the prediction, and in brackets with all that depth and "
        "level may be off; error of the sounder ± 0.2 m.</p>";
    ASSERT_THAT(table, HasSubstr(note));
    EXPECT_EQ(table.find("±"), table.rfind("±")) << "once, below the table";
    EXPECT_THAT(table, HasSubstr("height of the water together, less 0.6 m by which the transducer is under "
                                 "water, within a boat"));
    input.boat.sounder.transducer_m.reset();
    table = best_places_table({drop_point(none)}, 4, input, 0).str();
    EXPECT_THAT(table, HasSubstr("<b>Water on arrival:</b> about 7.1 m (6.3 to 8.1 m)<"));
    EXPECT_THAT(table, HasSubstr("the sounder shows less, by how deep its transducer is; error of"));
    FinishedFeature no_edge = drop_point(none);
    no_edge.properties.erase("sounder_on_arrival_predicted_m");
    no_edge.properties.erase("sounder_on_arrival_greatest_m");
    EXPECT_THAT(best_places_table({no_edge}, 4, input, 0).str(), HasSubstr("</b> 6.3 m or more<"));
    EXPECT_THAT(best_places_table({FinishedFeature{no_edge.rings, {{"rank", 1.0}}}}, 4, input, 0).str(),
                Not(HasSubstr("arrival")))
        << "without a tide";
}

} // namespace
} // namespace swingroom
