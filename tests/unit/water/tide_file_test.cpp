#include "swingroom/base/error.hpp"
#include "swingroom/water/tide_file.hpp"

#include "tide_cases.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <chrono>
#include <string>

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
    "# unit: m\n# above-chart-datum: 0 m\n# z0: 2\nname,amplitude,phase\nM2,1.2,98\nS2,0.4,138\n";

TEST(TideFile, ATableOfHighAndLowWaters) {
    const auto file = read(all_said + "# name: Old Mole\n# datum: LAT\n" + turns);
    EXPECT_EQ(file.form, TideForm::turns);
    EXPECT_EQ(file.name, "Old Mole");
    EXPECT_EQ(file.datum, "LAT");
    EXPECT_EQ(file.curve->first(), moment("2026-05-01T06:00Z"));
    EXPECT_DOUBLE_EQ(file.curve->height_m(moment("2026-05-01T12:00Z")), 3.6);
    EXPECT_NEAR(file.curve->by_minute(moment("2026-05-01T06:00Z"), 1)[0].least_m, 0.395, 1e-9)
        << "half of the last digit is off";
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
    EXPECT_THAT(file.doubts, ElementsAre(HasSubstr("SA means (0.0")));
}

// A lag by a clock that is z hours ahead is G = g - speed z on Greenwich.
TEST(TideFile, PhasesByAnotherClock) {
    const auto greenwich = read(constituents);
    const auto local =
        read("# phase: -05:00\n# unit: m\n# above-chart-datum: 0 m\n# z0: 2\nname,amplitude,phase\nM2,1.2," +
             std::to_string(98 - 5 * 28.9841042) + "\nS2,0.4," + std::to_string(138 - 5 * 30.0) + "\n");
    const Instant noon = moment("2026-05-01T12:00Z");
    EXPECT_NEAR(local.curve->height_m(noon), greenwich.curve->height_m(noon), 1e-5);
    EXPECT_THAT(greenwich.doubts, ElementsAre(HasSubstr("on Greenwich")));
    EXPECT_TRUE(local.doubts.empty());
}

TEST(TideFile, WhatIsNeitherInTheFileNorGivenIsAsked) {
    EXPECT_EQ(refusal(all_said + turns), "accepted");
    EXPECT_THAT(refusal("# unit: m\n# above-chart-datum: 0 m\n" + turns), HasSubstr("by which clock"));
    EXPECT_THAT(refusal("# zone: Z\n# above-chart-datum: 0 m\n" + turns),
                HasSubstr("the unit of its heights"));
    EXPECT_THAT(refusal("# zone: Z\n# unit: m\n# datum: NAVD88\n" + turns),
                HasSubstr("its datum, NAVD88, lies above"));
    EXPECT_THAT(refusal("# unit: m\n# above-chart-datum: 0 m\nname,amplitude,phase\nM2,1.2,98\n"),
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

// What is met in files, one by one: each is refused with its line.
TEST(TideFile, WhatCannotBeReadSafelyIsRefused) {
    const struct {
        const char* text;
        const char* says;
    } cases[] = {
        {"time,height,type\n2026-05-01 06:00,0.4,L\n2026-05-01 06:00,3.6,H\n",
         "tide.csv:6: the time does not come after"},
        {"time,height,type\n2026-11-01 01:30,0.4,L\n2026-11-01 01:10,3.6,H\n", "tide.csv:6"},
        {"time,height,type\n2026-05-01 06:00,0.4,L\n2026-05-01 12:00,3.6,L\n", "alternate"},
        {"time,height,type\n2026-05-01 06:00,0.4,H\n2026-05-01 12:00,3.6,L\n", "lies below"},
        {"time,height,type\n2026-05-01 06:00,0.4,L\n2026-05-01 12:00,3.6,X\n",
         "neither a high nor a low water"},
        {"time,height,type\n2026-05-01 06:00,0,4,L\n2026-05-01 12:00,3,6,H\n", "has 4 fields"},
        {"time,height,type\n2026-05-01 06:00,,L\n2026-05-01 12:00,3.6,H\n", "is no height"},
        {"time,height,type\n2026-05-01 06:00,low,L\n2026-05-01 12:00,3.6,H\n", "is no height"},
        {"time,height,type\n05/01/2026 06:00,0.4,L\n05/01/2026 12:00,3.6,H\n", "is no time"},
        {"time,height,type\n2026-05-01 06:00 AM,0.4,L\n2026-05-01 12:00 PM,3.6,H\n", "is no time"},
        {"time,height,type\n2026-05-01 06:00+01:00,0.4,L\n2026-05-01 12:00+01:00,3.6,H\n",
         "by another clock"},
        {"Date Time, Prediction, Type\nError: no predictions for this station.\n", "has 1 fields"},
        {"Date Time, Prediction\n", "no rows"},
        {"time,height\n2026-05-01 06:00,0.4\n2026-05-01 07:00,0.5\n2026-05-01 09:00,0.9\n",
         "no height for 120 minutes"},
        {"time,height\n2026-05-01 06:00,0.4\n2026-05-01 12:10,3.5\n2026-05-01 18:20,0.9\n",
         "needs a column type"},
        {"date,level of sea\n2026-05-01 06:00,0.4\n", "neither levels nor constituents"},
        {"time,height,level\n2026-05-01 06:00,0.4,0.4\n", "mean the same"},
        {"# zone: UTC+1\ntime,height\n2026-05-01 06:00,0.4\n", "zone is \"UTC+1\" here and \"Z\" before"},
    };
    for (const auto& [text, says] : cases)
        EXPECT_THAT(refusal(all_said + text), HasSubstr(says)) << text;
    EXPECT_THAT(refusal("# zone: LST/LDT\n# unit: m\n# above-chart-datum: 0 m\n" + turns),
                HasSubstr("daylight saving"));
    EXPECT_THAT(refusal("# zone: Z\n# unit: feet\n# above-chart-datum: 0 m\n" + turns),
                HasSubstr("say m, ft or cm"));
    EXPECT_THAT(refusal(""), HasSubstr("no rows"));
}

TEST(TideFile, ConstituentsThatCannotBeMeant) {
    const std::string head =
        "# unit: m\n# above-chart-datum: 0 m\n# z0: 2\n# phase: gmt\nname,amplitude,phase,speed\n";
    EXPECT_EQ(refusal(head + "M2,1.2,98,28.9841042\n"), "accepted");
    EXPECT_THAT(refusal(head + "M2,1.2,98,30.0\n"), HasSubstr("slip of a row"));
    EXPECT_THAT(refusal(head + "M2,1.2,98,28.98410\nM1,0.1,3,14.4920521\n"), HasSubstr("M1 runs"));
    EXPECT_THAT(refusal(head + "M2,1.2,98,28.98410\nXY5,0.1,3,14.4\n"), HasSubstr("\"XY5\" is not known"));
    EXPECT_THAT(refusal(head + "M2,1.2,98,28.98410\nM2,0.1,3,28.98410\n"), HasSubstr("twice"));
    EXPECT_THAT(read(head + "S2,1.2,98,30\n").doubts, ElementsAre(HasSubstr("neither M2 nor K1")));
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

} // namespace
} // namespace swingroom
