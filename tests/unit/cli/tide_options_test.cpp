// What overlay, spot and tide make of the options of a tide: what is refused, what is asked for together, and
// what a command line puts in the place of a plan's levels.

#include "swingroom/base/error.hpp"

#include "cli/commands/tide_command.hpp"
#include "cli/options/tide_options.hpp"
#include "cli/run/job.hpp"
#include "support/scratch.hpp"

#include <boost/program_options.hpp>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <chrono>
#include <fstream>
#include <string>
#include <vector>

namespace swingroom::cli {
namespace {

namespace po = boost::program_options;
using namespace std::chrono;
using Words = std::vector<std::string>;
using testing::AllOf;
using testing::HasSubstr;
using testing::StartsWith;

const std::string table = SWINGROOM_SOURCE "/testdata/haven/tide_table.csv";
const std::string constituents = SWINGROOM_SOURCE "/testdata/haven/constituents.csv";

po::variables_map parsed(const Words& words, const po::options_description& options,
                         const po::positional_options_description& positional = {}) {
    po::variables_map given;
    po::store(po::command_line_parser(words).options(options).positional(positional).run(), given);
    return given;
}

Words operator+(Words words, const Words& more) {
    words.insert(words.end(), more.begin(), more.end());
    return words;
}

const Words job = {"--bathymetry=sea.tif", "--boat=boat.ini", "--wind=18"};
const Words stay = {"--tide=" + table, "--arrive=2026-07-03 19:00", "--depart=2026-07-04 08:00",
                    "--below=0.2", "--above=0.3"};

JobOptions job_of(const Words& words) {
    JobOptions options;
    Options all;
    options.declare(all);
    (void)options.accept(parsed(words, all), all);
    return options;
}
/// What overlay and spot say to options, when they are accepted and when the tide is opened.
std::string job_says(const Words& words) {
    try {
        (void)job_of(words).tide.open();
    } catch (const OpenQuestions& questions) {
        return questions.text(1000);
    } catch (const InputError& error) {
        return error.what();
    }
    return "taken";
}
/// What the command tide says.
std::string tide_says(const Words& words) {
    TideCommand command;
    Options options;
    po::positional_options_description positional;
    command.declare(options, positional);
    try {
        command.accept(parsed(words, options, positional));
        (void)command.run();
    } catch (const OpenQuestions& questions) {
        return questions.text(1000);
    } catch (const InputError& error) {
        return error.what();
    }
    return "taken";
}

TEST(TideOptions, MakeAStayByTheFilesClock) {
    const auto tide = job_of(job + stay).tide.open();
    ASSERT_TRUE(tide);
    EXPECT_EQ(utc_text(tide->stay.arrive()), "2026-07-03T21:00Z") << "two hours behind UTC, as the file says";
    EXPECT_EQ(utc_text(tide->stay.depart()), "2026-07-04T10:00Z");
    EXPECT_EQ(tide->zone, ZoneOffset(-120));
    EXPECT_EQ(tide->file, table);
    EXPECT_EQ(tide->station, "Ebbering Haven, quay");
    ASSERT_TRUE(tide->place);
    // Low water 0.6 m, high water 2.1 m (2.4 m bounds the way down from the one before), half a digit each.
    EXPECT_NEAR(tide->stay.levels().low_m, 0.6 - 0.05 - 0.2, 1e-9);
    EXPECT_NEAR(tide->stay.levels().high_m, 2.4 + 0.05 + 0.3, 1e-9);

    const auto by_clock = job_of(job + stay + Words{"--clock=+01:00"}).tide.open();
    EXPECT_EQ(utc_text(by_clock->stay.arrive()), "2026-07-03T18:00Z")
        << "a time without a zone is by the clock";
    EXPECT_EQ(by_clock->zone, ZoneOffset(60));
}

TEST(TideOptions, ConstituentsHaveNoClock) {
    Words words = job + stay;
    words[3] = "--tide=" + constituents;
    EXPECT_THAT(job_says(words), AllOf(StartsWith("--arrive: "), HasSubstr("by which clock")));
    EXPECT_EQ(job_says(words + Words{"--clock=-02:00"}), "taken");
    EXPECT_THAT(job_says(words + Words{"--clock=-02:00", "--tide-zone=-02:00"}), HasSubstr("have no times"));
    words[4] = "--arrive=2026-07-03T21:00Z";
    words[5] = "--depart=2026-07-04T10:00Z";
    EXPECT_EQ(job_says(words), "taken");
    EXPECT_EQ(job_of(words).tide.open()->zone, ZoneOffset(0)) << "told in UTC, as nobody says otherwise";
}

TEST(TideOptions, WhatIsMissingIsAskedForAtOnce) {
    const testing_support::Scratch scratch;
    const std::string bare = scratch / "bare.csv";
    std::ofstream(bare) << "time,height,type\n2026-07-01 06:00,0.4,L\n2026-07-01 12:00,2.4,H\n";
    const std::string all = job_says({"--tide=" + bare});
    EXPECT_THAT(all, StartsWith("10 things are not said"));
    for (const std::string option : {"bathymetry", "boat", "arrive", "depart", "below", "above", "wind",
                                     "tide-zone", "tide-unit", "tide-datum"}) {
        EXPECT_THAT(all, HasSubstr("  --" + option + " "));
    }
    EXPECT_THAT(all, testing::Not(HasSubstr("low-water")));
    const std::string phases = scratch / "phases.csv";
    std::ofstream(phases)
        << "# unit: m\n# above-chart-datum: 0 m\n# z0: 2\nname,amplitude,phase\nM2,1.2,98\n";
    const Words of_phases = {phases, "--from=2026-07-01T00:00Z", "--to=2026-07-02T00:00Z"};
    EXPECT_THAT(tide_says(of_phases),
                AllOf(HasSubstr("--tide-phase"), HasSubstr("gmt where they are on Greenwich")));
    Words words = job + stay + Words{"--clock=UTC"};
    words[3] = "--tide=" + phases;
    EXPECT_EQ(job_says(words + Words{"--tide-phase=gmt"}), "taken");
    EXPECT_EQ(job_says(words + Words{"--tide-phase=-05:00"}), "taken");
    EXPECT_THAT(tide_says(of_phases + Words{"--tide-phase=local"}), HasSubstr("is no distance from UTC"));
    EXPECT_THAT(tide_says({bare}),
                AllOf(StartsWith("3 things are not said"), HasSubstr("Give each as an option:\n")));
    EXPECT_THAT(tide_says({constituents}),
                AllOf(StartsWith("2 things are not said"), HasSubstr("--from TIME"), HasSubstr("--to TIME")));
    EXPECT_THAT(job_says(job), HasSubstr("--low-water M    or in a plan"));
}

TEST(TideOptions, ACurveAndTwoLevelsContradictEachOther) {
    EXPECT_THAT(
        job_says(job + stay + Words{"--low-water=0.4"}),
        AllOf(StartsWith("--tide: is given with --low-water"), HasSubstr("leave out the two levels")));
    const Words levels = {"--low-water=0.4", "--high-water=2.5"};
    for (const std::string word : {"--arrive=2026-07-03T19:00Z", "--below=0.2", "--tide-unit=m", "--clock=Z",
                                   "--offset-high=0:10,1.1", "--curve-allowance=0.1,10"}) {
        EXPECT_THAT(job_says(job + levels + Words{word}),
                    AllOf(StartsWith(word.substr(0, word.find('=')) + ": tells of the tide"),
                          HasSubstr("name the file with --tide")));
    }
}

TEST(TideOptions, TheCommandLineTakesThePlaceOfAPlansWater) {
    const testing_support::Scratch scratch;
    const std::string of_levels = scratch / "levels.plan", of_curve = scratch / "curve.plan";
    const std::string rest = "bathymetry = sea.tif\nboat = boat.ini\nwind = 18\n";
    std::ofstream(of_levels) << rest + "low-water = 0.4\nhigh-water = 2.5\n";
    std::ofstream(of_curve)
        << rest + "tide = " + table +
               "\narrive = 2026-07-03 19:00\ndepart = 2026-07-04 08:00\nbelow = 0.2\nabove = 0.3\n";
    EXPECT_FALSE(job_of({"--plan=" + of_levels}).tide.open());
    EXPECT_TRUE(job_of({"--plan=" + of_curve}).tide.open());
    EXPECT_TRUE(job_of(Words{"--plan=" + of_levels} + stay).tide.open());
    const JobOptions by_hand = job_of({"--plan=" + of_curve, "--low-water=0.1", "--high-water=2"});
    EXPECT_FALSE(by_hand.tide.open());
    EXPECT_EQ(by_hand.conditions.water.low_m, 0.1);
    EXPECT_THAT(job_says({"--plan=" + of_curve, "--low-water=0.1"}), StartsWith("--high-water: is missing"));
    EXPECT_EQ(job_of({"--plan=" + of_curve, "--arrive=2026-07-03 20:00"}).tide.open()->stay.minutes(),
              12 * 60);
    std::ofstream(scratch / "both.plan")
        << rest + "low-water = 0.4\nhigh-water = 2.5\ntide = " + table + "\n";
    EXPECT_THAT(job_says({"--plan=" + (scratch / "both.plan")}),
                StartsWith("--tide: is given with --low-water"));
}

TEST(TideOptions, AreHeldToWhatTheyCanBe) {
    const struct {
        const char *word, *says;
    } cases[] = {
        {"--below=-0.1", "--below: \"-0.1\" is not possible"},
        {"--above=11", "--above: \"11\" is not possible"},
        {"--tide-zone=CET", "--tide-zone: \"CET\" is no distance from UTC"},
        {"--clock=UTC+1", "--clock: \"UTC+1\" is no distance from UTC"},
        {"--tide-zone=+01:00", "another zone"},
        {"--tide-zone=UTC", "another zone"},
        {"--tide-phase=gmt", "have no phases"},
        {"--clock=UTC", "taken"},
        {"--arrive=2026-07-03 8:00", "hour and minute in two figures"},
        {"--arrive=2026-07-04 10:00", "arrival, 2026-07-04 10:00 UTC-02:00"},
        {"--tide-unit=feet", "--tide-unit: \"feet\" is not known; give m, ft or cm"},
        {"--tide-unit=ft", "another unit"},
        {"--tide-datum=0.5", "another height above chart datum"},
        {"--curve-allowance=0.1", "--curve-allowance: \"0.1\" is not two numbers"},
        {"--curve-allowance=0.1,101", "--curve-allowance: \"0.1,101\" is not possible"},
        {"--curve-allowance=0.3m,15%", "taken"},
        {"--offset-high=0:10,1.1", "--offset-low: is missing"},
        {"--arrive=2026-07-03T19:00 CET", "is no time"},
        {"--arrive=2026-07-04T19:00Z", "is not after arrival"},
        {"--arrive=2026-06-30T19:00Z", "none is made up"},
    };
    for (const auto& [word, says] : cases) {
        Words words = job;
        for (const std::string& other : stay) {
            const std::string option = other.substr(0, other.find('=') + 1);
            if (!std::string(word).starts_with(option)) words.push_back(other);
        }
        EXPECT_THAT(job_says(words + Words{word}), HasSubstr(says)) << word;
    }
    for (const std::string high :
         {"10,1.1", "0:5,1.1", "13:00,1.1", "0:60,1.1", "+0:35", "0:35,1.1,2", "0:35,x"}) {
        EXPECT_THAT(job_says(job + stay + Words{"--offset-high=" + high, "--offset-low=0:00,1"}),
                    StartsWith("--offset-high: "))
            << high;
    }
}

// A plan's 19:00 is another moment by another file's clock: it is said by which it was read.
TEST(TideOptions, TellByWhichClockTimesWereRead) {
    const auto notes = [](const Words& words) { return job_of(words).tide.open()->notes; };
    EXPECT_THAT(
        notes(job + stay),
        testing::ElementsAre("--arrive, --depart say no clock: read by the clock UTC-02:00, that of the "
                             "file's times."));
    EXPECT_THAT(notes(job + stay + Words{"--clock=+01:00"}),
                testing::ElementsAre(HasSubstr("UTC+01:00, as given with --clock.")));
    const testing_support::Scratch scratch;
    const std::string rest = "# unit: m\n# above-chart-datum: 0 m\ntime,height,type\n";
    const std::string in_utc = scratch / "utc.csv", mixed = scratch / "mixed.csv";
    std::ofstream(in_utc) << rest +
                                 "2026-07-03 12:00Z,0.4,L\n2026-07-03 18:00Z,2.4,H\n2026-07-04 00:10Z,0.4,L\n"
                                 "2026-07-04 06:20Z,2.4,H\n2026-07-04 12:30Z,0.4,L\n";
    std::ofstream(mixed)
        << rest + "2026-07-03 12:00Z,0.4,L\n2026-07-03 19:00+01:00,2.4,H\n2026-07-04 00:10Z,0.4,L\n"
                  "2026-07-04 06:20Z,2.4,H\n2026-07-04 12:30Z,0.4,L\n";
    Words words = job + stay;
    words[3] = "--tide=" + in_utc;
    EXPECT_THAT(notes(words), testing::ElementsAre(HasSubstr("the clock UTC, that of the file's times")));
    words[3] = "--tide=" + mixed;
    EXPECT_THAT(job_says(words), HasSubstr("nor has the file one for all of its times"));
    words[4] = "--arrive=2026-07-03T19:00Z";
    words[5] = "--depart=2026-07-04T08:00Z";
    EXPECT_TRUE(notes(words).empty());
}

TEST(TideOptions, OffsetsAreLaterAndHigher) {
    const Words offsets = {"--offset-high=+0:35,1.5", "--offset-low=-0:20,2"};
    const auto there = job_of(job + stay).tide.open(), here = job_of(job + stay + offsets).tide.open();
    const Instant first = there->curve->turns(there->curve->first(), there->curve->last()).front().time;
    EXPECT_EQ(here->curve->first(), first + 35min) << "a high water";
    EXPECT_NEAR(here->stay.levels().low_m, 2 * 0.6 - 0.1 - 0.2, 1e-9) << "half a digit grows with it";
}

TEST(TideCommand, RefusesWhatItCannotTell) {
    EXPECT_THAT(tide_says({}), StartsWith("FILE: no file of levels is given"));
    EXPECT_THAT(tide_says({"nowhere.csv"}), StartsWith("nowhere.csv: no such file"));
    EXPECT_THAT(tide_says({table, "--every=0"}), StartsWith("--every: \"0\" is not possible"));
    EXPECT_THAT(tide_says({table, "--every=90s"}), StartsWith("--every: "));
    EXPECT_THAT(tide_says({table, "--at=2026-08-01T00:00Z"}), HasSubstr("no level is made up"));
    EXPECT_THAT(tide_says({table, "--format=html"}), StartsWith("--format: \"html\" is not known"));
    EXPECT_THAT(tide_says({table, "--json", "--format=csv"}), StartsWith("--json: contradicts"));
    EXPECT_THAT(tide_says({table, "--picture=" + table, "--overwrite"}), StartsWith("picture: "));
    EXPECT_THAT(tide_says({constituents, "--from=2026-07-01T00:00Z", "--to=2026-07-02T00:00Z",
                           "--curve-allowance=0.1,10"}),
                StartsWith("--curve-allowance: "));
}

} // namespace
} // namespace swingroom::cli
