#include "swingroom/base/error.hpp"
#include "swingroom/water/tide_file.hpp"

#include "tide_cases.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <chrono>
#include <cstddef>
#include <fstream>
#include <iterator>
#include <optional>
#include <string>
#include <vector>

namespace swingroom {
namespace {

using namespace std::chrono;
using testing::ElementsAre;
using testing::HasSubstr;
using tide_cases::moment;

TideFile read(const std::string& text, const TideStatements& statements = {}) {
    return read_tide_file(text, "tide.csv", statements);
}
std::string refusal(const std::string& text, const TideStatements& statements = {}) {
    try {
        read(text, statements);
    } catch (const InputError& error) {
        return error.what();
    }
    return "accepted";
}

const std::string all_said = "# zone: Z\n# unit: m\n# above-chart-datum: 0 m\n";
const std::string turns =
    "time,height,type\n2026-05-01 06:00,0.4,L\n2026-05-01 12:00,3.6,H\n2026-05-01 18:10,0.62,L\n";
const std::string series = "time,height\n2026-05-01 06:00,0.4\n2026-05-01 06:30,0.5\n2026-05-01 07:00,0.9\n";
const std::string constituents =
    "# unit: m\n# above-chart-datum: 0 m\n# z0: 2\n# phase: gmt\nname,amplitude,phase\nM2,1.2,98\n"
    "S2,0.4,138\n";

TEST(TideFile, ATableOfHighAndLowWaters) {
    const auto file = read(all_said + "# name: Old Mole\n# datum: LAT\n" + turns);
    EXPECT_EQ(file.form, TideForm::turns);
    EXPECT_EQ(file.name, "Old Mole");
    EXPECT_EQ(file.datum, "LAT");
    EXPECT_EQ(file.curve->first(), moment("2026-05-01T06:00Z"));
    EXPECT_DOUBLE_EQ(file.curve->height_m(moment("2026-05-01T12:00Z")), 3.6);
    EXPECT_NEAR(file.curve->by_minute(moment("2026-05-01T06:00Z"), 1)[0].least_m, 0.35, 1e-9)
        << "half of the digit that most of the rows have is off, though one row has another";
    const auto finer = read(all_said + "time,height,type\n2026-05-01 06:00,0.4,L\n2026-05-01 12:00,3.61,H\n"
                                       "2026-05-01 18:10,0.62,L\n");
    EXPECT_NEAR(finer.curve->by_minute(moment("2026-05-01T06:00Z"), 1)[0].least_m, 0.395, 1e-9)
        << "a zero at the end may have been left off";
}

// As the US agency's service writes them: blanks behind commas, no zone, unit or datum of their own.
TEST(TideFile, TheAgencysFilesPassWithWhatTheyLeaveOut) {
    const std::string text =
        "Date Time, Prediction, Type\n2026-10-08 03:09,5.449,H\n2026-10-08 09:35,0.189,L\n"
        "2026-10-08 15:52,5.426,H\n";
    TideStatements said;
    EXPECT_THAT(refusal(text, said), HasSubstr("unit"));
    said.metres_per_unit = 0.3048;
    EXPECT_THAT(refusal(text, said), HasSubstr("above chart datum"));
    said.above_chart_datum_m = 0.1;
    EXPECT_THAT(refusal(text, said), HasSubstr("by which clock"));
    said.zone = ZoneOffset{-8 * 60};
    const auto file = read(text, said);
    EXPECT_EQ(file.curve->first(), moment("2026-10-08T11:09Z"));
    EXPECT_NEAR(file.curve->height_m(file.curve->first()), 5.449 * 0.3048 + 0.1, 1e-9);
}

TEST(TideFile, ASeriesOfHeights) {
    const auto file =
        read("# zone: +02:00\n# unit: cm\n# above-chart-datum: -0.2 m\nt\tv\n2026-05-01T06:00\t40\n"
             "2026-05-01T06:30\t50\n2026-05-01T07:00\t90\n");
    EXPECT_EQ(file.form, TideForm::series);
    EXPECT_EQ(file.curve->first(), moment("2026-05-01T04:00Z"));
    EXPECT_NEAR(file.curve->height_m(moment("2026-05-01T04:15Z")), 0.25, 1e-9);
}

TEST(TideFile, ConstituentsOfAPlaceGiveItsTide) {
    std::string text = "# unit: m\n# above-chart-datum: 0 m\n# phase: gmt\n# z0: " +
                       tide_cases::rows("z0", "9411340").front().value +
                       "\nConstituent #,Name,Amplitude,Phase\n";
    int number = 0;
    for (const auto& constant : tide_cases::constants("9411340")) {
        text += std::to_string(++number) + "," + constant.name + "," + std::to_string(constant.amplitude_m) +
                "," + std::to_string(constant.lag_deg) + "\n";
    }
    const auto file = read(text);
    EXPECT_EQ(file.form, TideForm::constituents);
    for (const auto& row : tide_cases::rows("published", "9411340")) {
        if (row.item != "height") continue;
        EXPECT_NEAR(file.curve->height_m(moment(row.time)), tide_cases::metres(row), 0.5e-3) << row.time;
    }
    EXPECT_THAT(file.doubts, testing::IsEmpty()) << "there is nothing that anybody could do";
    EXPECT_THAT(file.notes, ElementsAre(HasSubstr("Lists disagree in what SA")));
}

// A lag by a clock that is z hours ahead is G = g - speed z on Greenwich.
TEST(TideFile, PhasesByAnotherClock) {
    const auto greenwich = read(constituents);
    const auto local =
        read("# phase: -05:00\n# unit: m\n# above-chart-datum: 0 m\n# z0: 2\nname,amplitude,phase\nM2,1.2," +
             std::to_string(98 - 5 * 28.9841042) + "\nS2,0.4," + std::to_string(138 - 5 * 30.0) + "\n");
    const Instant noon = moment("2026-05-01T12:00Z");
    EXPECT_NEAR(local.curve->height_m(noon), greenwich.curve->height_m(noon), 1e-5);
    // The same said with the file; nobody's guess is taken.
    const std::string bare = "# unit: m\n# above-chart-datum: 0 m\n# z0: 2\nname,amplitude,phase\nM2,1.2," +
                             std::to_string(98 - 5 * 28.9841042) + "\nS2,0.4," +
                             std::to_string(138 - 5 * 30.0) + "\n";
    EXPECT_THAT(refusal(bare), HasSubstr("by which clock its phases are"));
    TideStatements said;
    said.phase_zone = ZoneOffset(-5 * 60);
    EXPECT_NEAR(read(bare, said).curve->height_m(noon), greenwich.curve->height_m(noon), 1e-5);
    EXPECT_THAT(refusal(constituents, said), HasSubstr("another clock of phases"));
    EXPECT_THAT(refusal(all_said + turns, said), HasSubstr("have no phases"));
}

TEST(TideFile, WhatIsNeitherInTheFileNorGivenIsAsked) {
    EXPECT_EQ(refusal(all_said + turns), "accepted");
    EXPECT_THAT(refusal("# unit: m\n# above-chart-datum: 0 m\n" + turns), HasSubstr("by which clock"));
    EXPECT_THAT(refusal("# zone: Z\n# above-chart-datum: 0 m\n" + turns),
                HasSubstr("the unit of its heights"));
    EXPECT_THAT(refusal("# zone: Z\n# unit: m\n# datum: NAVD88\n" + turns),
                HasSubstr("its datum, NAVD88, lies above"));
    EXPECT_THAT(
        refusal("# unit: m\n# above-chart-datum: 0 m\n# phase: gmt\nname,amplitude,phase\nM2,1.2,98\n"),
        HasSubstr("mean sea level"));
}

TEST(TideFile, WhatFileAndUserSayHasToAgree) {
    TideStatements said;
    said.zone = ZoneOffset{60};
    EXPECT_THAT(refusal(all_said + turns, said), HasSubstr("another zone"));
    said = {};
    said.metres_per_unit = 0.3048;
    EXPECT_THAT(refusal(all_said + turns, said), HasSubstr("another unit"));
    said = {};
    said.above_chart_datum_m = 1;
    EXPECT_THAT(refusal(all_said + turns, said), HasSubstr("another height above chart datum"));
}

TEST(TideFile, OffsetsOfASubordinateStation) {
    TideStatements said;
    said.offsets = StationOffsets{{60min, 2, 0}, {30min, 1.5, 0.1}};
    const auto table = read(all_said + turns, said);
    EXPECT_EQ(table.curve->first(), moment("2026-05-01T06:30Z"));
    EXPECT_NEAR(table.curve->height_m(moment("2026-05-01T13:00Z")), 7.2, 1e-9);
    EXPECT_THAT(refusal(all_said + series, said), HasSubstr("no high and low waters"));
    EXPECT_THAT(refusal(constituents, said), HasSubstr("say from when to when"));
    said.span = TimeWindow{moment("2026-05-01T00:00Z"), moment("2026-05-02T00:00Z")};
    const auto reference = read(constituents).curve->turns(said.span->from, said.span->to);
    const auto later = read(constituents, said).curve;
    for (const auto& turn : reference) {
        const auto& offset = turn.high ? said.offsets->high : said.offsets->low;
        EXPECT_NEAR(later->height_m(turn.time + offset.later),
                    turn.height_m * offset.ratio + offset.difference_m, 1e-9);
    }
}

// A ratio is of heights above the file's datum: what lies between that and chart datum is not multiplied.
TEST(TideFile, ARatioIsOfHeightsAboveTheFilesDatum) {
    TideStatements said;
    said.above_chart_datum_m = 0.5;
    said.offsets = StationOffsets{{0min, 2, 0}, {0min, 1.5, 0}};
    const auto table = read("# zone: Z\n# unit: m\n" + turns, said);
    EXPECT_NEAR(table.curve->height_m(moment("2026-05-01T12:00Z")), 3.6 * 2 + 0.5, 1e-9);
    EXPECT_NEAR(table.curve->height_m(moment("2026-05-01T06:00Z")), 0.4 * 1.5 + 0.5, 1e-9);
    said.span = TimeWindow{moment("2026-05-01T00:00Z"), moment("2026-05-02T00:00Z")};
    const auto plain =
        read("# unit: m\n# above-chart-datum: 0 m\n# z0: 2\n# phase: Z\nname,amplitude,phase\nM2,1.2,98\n");
    const auto later =
        read("# unit: m\n# z0: 2\n# phase: UTC\nname,amplitude,phase\nM2,1.2,98\n", said).curve;
    for (const auto& turn : plain.curve->turns(said.span->from, said.span->to)) {
        EXPECT_NEAR(later->height_m(turn.time), turn.height_m * (turn.high ? 2 : 1.5) + 0.5, 1e-9);
    }
}

TEST(TideFile, TellsWhereItsStationIsAndByWhichClock) {
    const auto file = read(all_said + "# position: -29.0405, 47.9872\n" + turns);
    ASSERT_TRUE(file.place);
    EXPECT_EQ(file.place->lon, -29.0405);
    EXPECT_EQ(file.place->lat, 47.9872);
    EXPECT_EQ(file.zone, ZoneOffset(0));
    EXPECT_FALSE(read(all_said + turns).place);
    const std::string without = "# unit: m\n# above-chart-datum: 0 m\n";
    EXPECT_EQ(
        read(without + "time,height,type\n2026-05-01 06:00-02:00,0.4,L\n2026-05-01 12:00-02:00,3.6,H\n").zone,
        ZoneOffset(-120));
    EXPECT_EQ(
        read(without + "time,height,type\n2026-05-01 06:00-02:00,0.4,L\n2026-05-01 12:00Z,3.6,H\n").zone,
        std::nullopt)
        << "two clocks are none";
    EXPECT_EQ(read(constituents).zone, std::nullopt);
}

TEST(TideFile, TellsAllThatIsUnsaidAtOnce) {
    const auto open = [](const std::string& text, const TideStatements& said = {}) {
        const auto unsaid = unsaid_of_tide_file(text, "tide.csv", said);
        return std::vector<bool>{unsaid.zone, unsaid.unit, unsaid.above_chart_datum, unsaid.mean_level,
                                 unsaid.phase_zone};
    };
    EXPECT_THAT(open(turns), ElementsAre(true, true, true, false, false));
    EXPECT_THAT(open(all_said + turns), ElementsAre(false, false, false, false, false));
    EXPECT_THAT(open("time,height\n2026-05-01 06:00Z,0.4\n"), ElementsAre(false, true, true, false, false));
    EXPECT_THAT(open("name,amplitude,phase\nM2,1.2,98\n"), ElementsAre(false, true, true, true, true));
    TideStatements said;
    said.zone = ZoneOffset(60);
    said.metres_per_unit = 1;
    said.above_chart_datum_m = 0;
    EXPECT_THAT(open(turns, said), ElementsAre(false, false, false, false, false));
    EXPECT_EQ(unsaid_of_tide_file(constituents, "tide.csv", {}).form, TideForm::constituents);
}

std::string text_of(const std::string& name) {
    std::ifstream in(SWINGROOM_SOURCE "/testdata/haven/" + name);
    return {std::istreambuf_iterator<char>(in), {}};
}

// scripts/charting/tide.py makes the table, in plain arithmetic from the published formulas: another program
// than ours, by the same constituents. Times are to the minute there, heights to 0.1 m.
TEST(TideFile, TheHavensTableIsThatOfItsConstituents) {
    const auto tide = read(text_of("constituents.csv"));
    const auto table = read(text_of("tide_table.csv"));
    EXPECT_THAT(table.doubts, testing::IsEmpty());
    EXPECT_THAT(tide.doubts, testing::IsEmpty());
    EXPECT_THAT(tide.notes, ElementsAre(HasSubstr("SA means (0.05 m)")));
    EXPECT_EQ(table.zone, ZoneOffset(-120));
    const auto told = table.curve->turns(table.curve->first(), table.curve->last());
    const auto ours = tide.curve->turns(table.curve->first() - 1min, table.curve->last() + 1min);
    ASSERT_EQ(told.size(), ours.size());
    EXPECT_GT(told.size(), 50U);
    for (std::size_t i = 0; i < told.size(); ++i) {
        EXPECT_EQ(told[i].high, ours[i].high);
        EXPECT_LE(abs(told[i].time - ours[i].time), 31s) << utc_text(told[i].time);
        EXPECT_NEAR(told[i].height_m, ours[i].height_m, 0.0505) << utc_text(told[i].time);
    }
}

// What the table is taken for holds whatever its constituents do between its turns.
TEST(TideFile, TheHavensTableBoundsItsConstituents) {
    const auto tide = read(text_of("constituents.csv")).curve, table = read(text_of("tide_table.csv")).curve;
    const auto minutes = static_cast<int>((table->last() - table->first()) / 1min);
    const auto bounds = table->by_minute(table->first(), minutes);
    for (int minute = 0; minute < minutes; ++minute) {
        const double height_m = tide->height_m(table->first() + std::chrono::minutes(minute));
        EXPECT_LE(bounds[static_cast<std::size_t>(minute)].least_m, height_m) << minute;
        EXPECT_GE(bounds[static_cast<std::size_t>(minute)].greatest_m, height_m) << minute;
    }
}

} // namespace
} // namespace swingroom
