// What can be wrong with a file of levels, one by one: refused with a cure, or read with a word of warning.

#include "swingroom/base/error.hpp"
#include "swingroom/water/stay.hpp"
#include "swingroom/water/tide_file.hpp"

#include "tide_cases.hpp"
#include "water/tide_doubts.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <chrono>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace swingroom {
namespace {

using namespace std::chrono;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using tide_cases::moment;

const std::string said = "# zone: Z\n# unit: m\n# above-chart-datum: 0 m\n";
const std::string said_of_constituents = "# unit: m\n# above-chart-datum: 0 m\n# z0: 2\n# phase: gmt\n";
const std::string table = "time,height,type\n";
const std::string series = "time,height\n";
const std::string constants = "name,amplitude,phase,speed\n";
const std::string two_turns = "2026-05-01 06:00,0.4,L\n2026-05-01 12:00,3.6,H\n";

/// What the user says with the file.
TideStatements zone(int minutes) {
    TideStatements statements;
    statements.zone = ZoneOffset(minutes);
    return statements;
}
TideStatements unit(double metres) {
    TideStatements statements;
    statements.metres_per_unit = metres;
    return statements;
}
TideStatements above(double metres) {
    TideStatements statements;
    statements.above_chart_datum_m = metres;
    return statements;
}
TideStatements mean_level(double metres) {
    TideStatements statements;
    statements.mean_level_m = metres;
    return statements;
}
TideStatements phase(int minutes) {
    TideStatements statements;
    statements.phase_zone = ZoneOffset(minutes);
    return statements;
}
TideStatements offsets(seconds high_later, double high_ratio) {
    TideStatements statements;
    statements.offsets = StationOffsets{{high_later, high_ratio, 0}, {}};
    statements.span = TimeWindow{moment("2026-05-01T00:00Z"), moment("2026-05-03T00:00Z")};
    return statements;
}

/// How the reader takes it: the refusal, or its doubts after "doubt: ".
std::string taken(const std::string& text, const TideStatements& statements) {
    try {
        std::string doubts;
        for (const auto& doubt : read_tide_file(text, "tide.csv", statements).doubts) {
            doubts += "doubt: " + doubt + "\n";
        }
        return doubts.empty() ? "taken" : doubts;
    } catch (const InputError& error) {
        return error.what();
    }
}

struct Case {
    const char* what;
    std::string text;
    const char* says;
    TideStatements statements{};
};

std::vector<Case> cases() {
    return {
        {"all is well", said + table + two_turns, "taken"},
        // The clock.
        {"no zone", "# unit: m\n# above-chart-datum: 0 m\n" + table + two_turns, "by which clock"},
        {"file and user by two clocks", said + table + two_turns, "another zone than was given", zone(60)},
        {"a row by another clock", said + table + "2026-05-01 06:00+01:00,0.4,L\n",
         "tide.csv:5: \"2026-05-01 06:00+01:00\" is by another clock"},
        {"the name of a zone", "# zone: CET\n# unit: m\n# above-chart-datum: 0 m\n" + table + two_turns,
         "daylight saving"},
        {"the agency's local time",
         "# zone: LST/LDT\n# unit: m\n# above-chart-datum: 0 m\n" + table + two_turns, "daylight saving"},
        {"a zone of more than 14 hours",
         "# zone: +15:00\n# unit: m\n# above-chart-datum: 0 m\n" + table + two_turns, "is none"},
        {"two zones", said + "# zone: +01:00\n" + table + two_turns,
         "zone is \"+01:00\" here and \"Z\" before"},
        {"twelve hours", said + table + "2026-05-01 06:00 AM,0.4,L\n2026-05-01 12:00 PM,3.6,H\n", "24 hours"},
        {"the month first", said + table + "05/01/2026 06:00,0.4,L\n", "the year first"},
        {"an hour of one figure", said + table + "2026-05-01 6:00,0.4,L\n", "hour and minute in two figures"},
        {"date and time apart", said + "date,time,height,type\n2026-05-01,06:00,0.4,L\n",
         "the date stands in another column; write both into one"},
        {"a zone by name that is UTC",
         "# zone: UTC\n# unit: m\n# above-chart-datum: 0 m\n" + table + two_turns, "taken"},
        {"told by the clock of the file",
         "# zone: -02:00\n# unit: m\n# above-chart-datum: 0 m\n" + table +
             "2026-05-01 06:00,3.4,H\n2026-05-01 18:30,3.6,H\n",
         "the high water of 2026-05-01 18:30 UTC-02:00, 3.60 m, follows"},
        {"no such day", said + table + "2026-02-30 06:00,0.4,L\n", "is no time"},
        {"no such hour", said + table + "2026-02-03 24:00,0.4,L\n", "is no time"},
        // 1 November 2026 has 01:00 to 01:59 twice where clocks are put back then, 8 March no 02:00 to 02:59.
        {"the repeated hour of a clock that is put back",
         said + table + "2026-11-01 01:30,0.4,L\n2026-11-01 01:10,3.6,H\n", "a clock that was put back"},
        {"the same in a series",
         said + series + "2026-11-01 01:00,0.4\n2026-11-01 01:30,0.5\n2026-11-01 01:00,0.6\n",
         "a clock that was put back"},
        {"the hour that a clock leaves out",
         said + series +
             "2026-03-08 01:00,0.4\n2026-03-08 01:30,0.5\n2026-03-08 03:00,0.6\n2026-03-08 03:30,0.7\n",
         "no height for 90 minutes"},
        {"times out of order", said + table + "2026-05-01 12:00,3.6,H\n2026-05-01 06:00,0.4,L\n",
         "tide.csv:6: the time does not come after"},
        {"a time twice", said + table + "2026-05-01 06:00,0.4,L\n2026-05-01 06:00,3.6,H\n",
         "tide.csv:6: the time does not come after"},
        // The unit.
        {"no unit", "# zone: Z\n# above-chart-datum: 0 m\n" + table + two_turns, "the unit of its heights"},
        {"a unit that is none", "# zone: Z\n# unit: feet\n# above-chart-datum: 0 m\n" + table + two_turns,
         "say m, ft or cm"},
        {"file and user in two units", said + table + two_turns, "another unit of heights", unit(0.3048)},
        {"highs in metres, lows in feet", said + table + "2026-05-01 06:00,2.6,L\n2026-05-01 12:00,2.4,H\n",
         "lies below"},
        {"one row in feet",
         said + table + two_turns +
             "2026-05-01 18:10,0.6,L\n2026-05-02 00:25,3.7,H\n2026-05-02 06:40,0.5,L\n2026-05-02 "
             "12:50,12.1,H\n2026-05-02 19:00,0.4,L\n2026-05-03 01:10,3.6,H\n",
         "doubt: The high water of 2026-05-02 12:50 UTC, 12.10 m, stands far off"},
        {"one low water in centimetres below datum",
         said + table +
             "2026-05-01 06:00,-0.04,L\n2026-05-01 12:00,3.6,H\n2026-05-01 18:10,-4,L\n2026-05-02 "
             "00:25,3.7,H\n2026-05-02 06:40,-0.05,L\n",
         "doubt: The low water of 2026-05-01 18:10 UTC, -4.00 m, stands far off"},
        {"centimetres for metres", said + table + "2026-05-01 06:00,40,L\n2026-05-01 12:00,360,H\n",
         "tide.csv:5: a height of 40.00 m above chart datum is beyond any water"},
        {"a range that no tide has", said + table + "2026-05-01 06:00,-2,L\n2026-05-01 12:00,19,H\n",
         "more than any tide has"},
        {"a slip in a series",
         said + series +
             "2026-05-01 06:00,0.4\n2026-05-01 06:30,0.5\n2026-05-01 07:00,3.0\n2026-05-01 07:30,1.1\n",
         "doubt: Heights of the series bend so sharply"},
        // The datum.
        {"no datum", "# zone: Z\n# unit: m\n# datum: NAVD88\n" + table + two_turns,
         "its datum, NAVD88, lies above chart datum"},
        {"file and user of two datums", said + table + two_turns, "another height above chart datum",
         above(0.4)},
        {"a height above chart datum that is none",
         "# zone: Z\n# unit: m\n# above-chart-datum: 1 yard\n" + table + two_turns, "is no height"},
        // Rows.
        {"no file", "", "no rows"},
        {"a header alone", said + "Date Time, Prediction, Type\n", "no rows"},
        {"the agency's refusal",
         said + "Date Time, Prediction, Type\nError: No Predictions data was found. Please make sure the "
                "Datum input is valid.\n",
         "has 1 fields"},
        {"other columns", said + "date,level of sea\n2026-05-01 06:00,0.4\n",
         "neither levels nor constituents"},
        {"a column twice", said + "time,height,level\n2026-05-01 06:00,0.4,0.4\n", "mean the same"},
        {"decimals with a comma", said + table + "2026-05-01 06:00,0,4,L\n",
         "decimals are written with a point"},
        {"no height", said + table + "2026-05-01 06:00,,L\n", "is no height"},
        {"a word for a height", said + table + "2026-05-01 06:00,low,L\n", "is no height"},
        {"a type that is none", said + table + "2026-05-01 06:00,0.4,L\n2026-05-01 12:00,3.6,X\n",
         "neither a high nor a low water"},
        {"a low water left out", said + table + "2026-05-01 06:00,3.4,H\n2026-05-01 18:30,3.6,H\n",
         "alternate"},
        {"one turn", said + table + "2026-05-01 06:00,0.4,L\n", "fewer than two"},
        {"a day and more left out", said + table + two_turns + "2026-05-02 18:10,0.6,L\n",
         "no turn is there for 30.2 hours"},
        {"a high and a low left out of a short table",
         said + table + two_turns +
             "2026-05-01 18:10,0.6,L\n2026-05-02 12:50,3.7,H\n2026-05-02 19:00,0.5,L\n",
         "give six or more"},
        {"a high and a low left out",
         said + table + two_turns +
             "2026-05-01 18:10,0.6,L\n2026-05-02 12:50,3.7,H\n2026-05-02 19:00,0.5,L\n"
             "2026-05-03 01:20,3.8,H\n",
         "doubt: From the low water of 2026-05-01 18:10 UTC on no turn is there for 18.7 hours"},
        {"a gap in a series",
         said + series +
             "2026-05-01 06:00,0.4\n2026-05-01 06:10,0.5\n2026-05-01 06:20,0.5\n2026-05-01 06:40,0.6\n",
         "no height for 20 minutes"},
        {"steps over an hour",
         said + series + "2026-05-01 06:00,0.4\n2026-05-01 07:00,0.5\n2026-05-01 09:00,0.9\n",
         "no height for 120 minutes"},
        {"turns without their type",
         said + series + "2026-05-01 06:00,0.4\n2026-05-01 12:10,3.5\n2026-05-01 18:20,0.9\n",
         "needs a column type"},
        {"two heights", said + series + "2026-05-01 06:00,0.4\n2026-05-01 06:30,0.5\n", "fewer than three"},
        {"a position that is none", said + "# position: 47.98\n" + table + two_turns,
         "position \"47.98\" is none"},
        {"latitude first", said + "# position: 47.98,-129.04\n" + table + two_turns, "position"},
        // Constituents.
        {"constituents", said_of_constituents + constants + "M2,1.2,98,28.9841042\n", "taken"},
        {"no mean level",
         "# unit: m\n# above-chart-datum: 0 m\n# phase: gmt\n" + constants + "M2,1.2,98,28.9841042\n",
         "mean sea level"},
        {"another mean level", said_of_constituents + constants + "M2,1.2,98,28.9841042\n",
         "another mean level", mean_level(1)},
        {"no phase", "# unit: m\n# above-chart-datum: 0 m\n# z0: 2\n" + constants + "M2,1.2,98,28.9841042\n",
         "by which clock its phases are"},
        {"file and user by two clocks of phases", said_of_constituents + constants + "M2,1.2,98,28.98410\n",
         "another clock of phases", phase(60)},
        {"phases of a table", said + table + two_turns, "have no phases", phase(60)},
        {"a mean level of a table", said + table + two_turns, "have no mean level", mean_level(1)},
        {"a phase by the name of a zone",
         "# unit: m\n# above-chart-datum: 0 m\n# z0: 2\n# phase: local\n" + constants +
             "M2,1.2,98,28.9841042\n",
         "daylight saving"},
        {"a zone of constituents", said_of_constituents + constants + "M2,1.2,98,28.9841042\n",
         "have no times", zone(60)},
        {"the same in the file",
         "# zone: +01:00\n" + said_of_constituents + constants + "M2,1.2,98,28.9841042\n", "have no times"},
        {"node factors of a scheme that is none",
         said_of_constituents + "# nodal: daily\n" + constants + "M2,1.2,98,28.9841042\n",
         "say yearly or continuous"},
        {"an unknown constituent", said_of_constituents + constants + "M2,1.2,98,28.98410\nXY5,0.1,3,14.4\n",
         "\"XY5\" is not known"},
        {"one that is there twice",
         said_of_constituents + constants + "M2,1.2,98,28.98410\nM2,0.1,3,28.98410\n", "twice"},
        {"a slip of a row", said_of_constituents + constants + "M2,1.2,98,30.0\n", "slip of a row"},
        {"M1 of another list", said_of_constituents + constants + "M2,1.2,98,28.98410\nM1,0.1,3,14.4920521\n",
         "M1 runs"},
        {"a negative amplitude", said_of_constituents + constants + "M2,-1.2,98,28.98410\n", "M2"},
        {"centimetres for metres", said_of_constituents + constants + "M2,120,98,28.98410\n",
         "add up to 120.00 m"},
        {"neither M2 nor K1", said_of_constituents + constants + "S2,1.2,98,30\n",
         "doubt: There is neither M2 nor K1"},
        {"what lists disagree upon",
         said_of_constituents + constants + "M2,1.2,98,28.98410\nSA,0.13,3,0.0410686\n", "taken"},
        {"what lists disagree upon by more, in sum",
         said_of_constituents + constants + "M2,1.2,98,28.98410\nSA,0.13,3,0.0410686\nS1,0.02,3,15.0000000\n",
         "doubt: Lists disagree in what SA and S1 mean (0.15 m in sum)"},
        // A subordinate station.
        {"offsets of a series",
         said + series + "2026-05-01 06:00,0.4\n2026-05-01 06:30,0.5\n2026-05-01 07:00,0.9\n",
         "no high and low waters to offset", offsets(0s, 1.1)},
        {"highs that come after the next low", said + table + two_turns + "2026-05-01 18:10,0.6,L\n",
         "does not come after", offsets(7h, 1.1)},
        {"highs below lows", said + table + two_turns, "lies below", offsets(0s, 0.1)},
    };
}

TEST(TideRefusals, EachIsToldWithItsCure) {
    std::set<std::string> told;
    for (const Case& one : cases()) {
        const std::string says = taken(one.text, one.statements);
        EXPECT_THAT(says, HasSubstr(one.says)) << one.what;
        // A refusal names the file and what to do about it.
        if (says != "taken" && !says.starts_with("doubt: ")) {
            EXPECT_THAT(says, HasSubstr("tide.csv")) << one.what;
            EXPECT_THAT(says, HasSubstr("; ")) << one.what;
            told.insert(says.substr(0, 60));
        }
    }
    EXPECT_GT(told.size(), 40U) << "the table is of many faults, not of one";
}

TEST(TideRefusals, AStayHasToLieWithinWhatIsTold) {
    const auto curve = read_tide_file(said + table + two_turns, "tide.csv", {}).curve;
    const auto refusal = [&curve](const char* arrive, const char* depart) {
        try {
            (void)Stay(*curve, moment(arrive), moment(depart), {}, "tide.csv");
        } catch (const InputError& error) {
            return std::string(error.what());
        }
        return std::string("taken");
    };
    EXPECT_EQ(refusal("2026-05-01T06:00Z", "2026-05-01T12:00Z"), "taken");
    EXPECT_THAT(refusal("2026-05-01T05:59Z", "2026-05-01T12:00Z"), HasSubstr("none is made up"));
    EXPECT_THAT(refusal("2026-05-01T06:00Z", "2026-05-01T12:01Z"), HasSubstr("none is made up"));
    EXPECT_THAT(refusal("2026-05-01T08:00Z", "2026-05-01T08:00Z"), HasSubstr("is not after arrival"));
    EXPECT_THAT(refusal("2026-05-01T09:00Z", "2026-05-01T08:00Z"), HasSubstr("is not after arrival"));
    try {
        (void)Stay(*curve, moment("2026-05-01T09:00Z"), moment("2026-05-01T08:00Z"), {}, "tide.csv",
                   ZoneOffset(-120));
        FAIL() << "departure comes first";
    } catch (const InputError& error) {
        EXPECT_THAT(error.what(), HasSubstr("departure, 2026-05-01 06:00 UTC-02:00, is not after arrival, "
                                            "2026-05-01 07:00 UTC-02:00"));
    }

    const auto tide =
        read_tide_file(said_of_constituents + constants + "M2,1.2,98,28.9841042\n", "tide.csv", {}).curve;
    const auto of_tide = [&tide](const char* arrive, const char* depart) {
        try {
            (void)Stay(*tide, moment(arrive), moment(depart), {}, "tide.csv");
        } catch (const InputError& error) {
            return std::string(error.what());
        }
        return std::string("taken");
    };
    EXPECT_THAT(of_tide("2026-05-01T08:00Z", "2027-05-03T08:00Z"), HasSubstr("longer than a year"));
    EXPECT_THAT(of_tide("1899-12-31T08:00Z", "1900-01-03T08:00Z"), HasSubstr("none is made up"));
    EXPECT_THAT(of_tide("2100-12-30T08:00Z", "2101-01-03T08:00Z"), HasSubstr("none is made up"));
}

TEST(TideRefusals, ATimeNeedsAClock) {
    EXPECT_THROW((void)parse_instant("2026-05-01 08:00", std::nullopt, "arrive"), InputError);
    for (const char* const text :
         {"2026-05-01 08:00 CET", "2026-05-01 08:00 PM", "01.05.2026 08:00Z", "8 h"}) {
        EXPECT_THROW((void)parse_instant(text, ZoneOffset(0), "arrive"), InputError) << text;
    }
}

// A warning that comes with every other table is read by nobody: real tides bring none, not even those whose
// turns vanish in pairs, as at Santa Barbara, Honolulu and Key West.
TEST(TideRefusals, TheTidesOfRealStationsAreNotDoubted) {
    std::string doubts;
    for (const auto& station : tide_cases::stations()) {
        const HarmonicTide tide = tide_cases::tide(station);
        const auto turns = tide.turns(moment("2026-01-01T00:00Z"), moment("2026-12-31T00:00Z"));
        for (const auto& doubt : doubts_of_turns(turns, ZoneOffset(0), station)) {
            doubts += station + ": " + doubt + "\n";
        }
    }
    EXPECT_EQ(doubts, "");
}

} // namespace
} // namespace swingroom
