// What a cruise file is made of: each stay's plan is one that overlay takes, and what is doubtful is refused.

#include "swingroom/base/error.hpp"

#include "cli/commands/overlay_command.hpp"
#include "cli/cruise/cruise_plans.hpp"
#include "cli/cruise/cruise_text.hpp"
#include "cli/options/options.hpp"
#include "cli/options/plan.hpp"
#include "support/scratch.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <set>
#include <string>
#include <vector>

namespace swingroom::cli {
namespace {

namespace po = boost::program_options;
using testing::HasSubstr;
using testing::Not;
using testing_support::Scratch;

const std::string haven = SWINGROOM_SOURCE "/testdata/haven/";

/// What all stays of these tests have in common.
const std::string sea = "bathymetry = " + haven + "bathymetry.tif\npositive = up\nchart-datum = 0\n" +
                        "uncertainty = 0.2\nhazards = " + haven +
                        "rocks.geojson\nmargin = rocks=40\nwind = 15\n",
                  common = sea + "low-water = 0.5\nhigh-water = 2.5\n",
                  boat = "boat = " + haven + "heavy_ketch.ini\n",
                  tide = "tide = " + haven + "tide_table.csv\nbelow = 0.2\nabove = 0.2\n",
                  cove = "[stay Gull Cove]\naround = -29.04,47.98, 0.5 nm\n";

class CruiseFile : public testing::Test {
protected:
    CruisePlans plans(const std::string& text) {
        std::ofstream(folder_ / "cruise.ini") << text;
        return plans_of_cruise(folder_ / "cruise.ini", "out");
    }
    /// What is said of a cruise file, without its folder; "taken" where nothing is.
    std::string refusal(const std::string& text) {
        try {
            (void)plans(text);
        } catch (const InputError& error) {
            const std::string said = error.what(), folder = folder_ / "";
            EXPECT_EQ(said.find('\n'), std::string::npos) << said;
            return said.starts_with(folder) ? said.substr(folder.size()) : said;
        }
        return "taken";
    }
    void route(const std::string& points) {
        std::ofstream(folder_ / "route.gpx")
            << "<gpx version=\"1.1\" xmlns=\"http://www.topografix.com/GPX/1/1\"><rte>" << points
            << "</rte></gpx>";
    }

    Scratch folder_;
};

std::string point(const std::string& name, const std::string& time) {
    return "<rtept lat=\"47.98\" lon=\"-29.04\">" + (time.empty() ? "" : "<time>" + time + "</time>") +
           "<name>" + name + "</name></rtept>";
}

/// Of a plan the values of an option.
std::vector<std::string> lines(const std::string& plan, const std::string& name) {
    std::vector<std::string> found;
    std::string rest = "\n" + plan;
    for (std::size_t at = 0; (at = rest.find("\n" + name + " = ", at)) != std::string::npos; ++at) {
        const std::size_t from = at + name.size() + 4;
        found.push_back(rest.substr(from, rest.find('\n', from) - from));
    }
    return found;
}
std::string line(const std::string& plan, const std::string& name) {
    const std::vector<std::string> found = lines(plan, name);
    return found.size() == 1 ? found.front() : std::to_string(found.size()) + " of them";
}

TEST_F(CruiseFile, HaveAPlanForEachStayWithAllBoats) {
    const CruisePlans cruise =
        plans(common + boat + "boat = " + haven + "../haven/../haven/haven.plan\n" + cove +
              "wind = 20\n[stay gull-cove]\nbounds = -29.05,47.97,-29.03,47.99\n");
    EXPECT_EQ(cruise.stays, (std::vector<std::string>{"Gull Cove", "gull-cove"}));
    ASSERT_EQ(cruise.boats.size(), 2U);
    ASSERT_EQ(cruise.runs.size(), 2U);
    std::set<std::string> prefixes, counted;
    for (const PlannedRun& run : cruise.runs) {
        ASSERT_EQ(run.prefixes.size(), 2U);
        prefixes.insert(run.prefixes.begin(), run.prefixes.end());
        counted.insert(run.what_counts);
        EXPECT_EQ(line(run.plan, "out"), (std::filesystem::absolute("out") / run.folder).string());
        EXPECT_EQ(lines(run.plan, "boat"), cruise.boats);
        EXPECT_EQ(line(run.plan, "name"), run.prefixes[0] + "," + run.prefixes[1]);
        EXPECT_THAT(run.what_counts, Not(HasSubstr("out = ")));
    }
    EXPECT_EQ(line(cruise.runs[0].plan, "wind"), "20") << "its own";
    EXPECT_EQ(line(cruise.runs[1].plan, "wind"), "15") << "that of all";
    EXPECT_EQ(cruise.runs[0].folder, "gull-cove");
    EXPECT_EQ(cruise.runs[1].folder, "gull-cove-2");
    EXPECT_EQ(prefixes.size(), 4U);
    EXPECT_EQ(counted.size(), 2U) << "both differ in what counts";
    EXPECT_EQ(line(cruise.runs[1].plan, "bounds"), "-29.05,47.97,-29.03,47.99") << "as it was written";
}

// By plan.cpp's own reader: the way that overlay --plan takes.
TEST_F(CruiseFile, AreReadBackToTheSame) {
    const PlannedRun run = plans(common + boat + cove + "zone-edges = stepped\noffset-low = +0:10,1\n" +
                                 "arrive = 2026-12-24T18:00Z\ndepart = 2026-12-25T06:00Z\n" + tide)
                               .runs.at(0);
    std::ofstream(folder_ / "stay.plan") << run.plan;
    const Options own = overlay_plan_options();
    po::variables_map given;
    const std::vector<std::string> words = {"--plan", folder_ / "stay.plan"};
    po::store(po::command_line_parser(words).options(own).run(), given);
    const po::variables_map read = with_plan(given, own).values;
    EXPECT_EQ(whole_plan(read, own), run.plan);
    EXPECT_EQ(whole_plan(run.given, own), run.plan);
    EXPECT_EQ(line(run.plan, "tide"), haven + "tide_table.csv");
    EXPECT_EQ(line(run.plan, "low-water"), "0 of them") << "a stay's tide takes the place of two levels";
}

TEST_F(CruiseFile, AreTakenByOverlay) {
    for (const PlannedRun& run : plans(common + boat + cove).runs) {
        OverlayCommand command;
        EXPECT_NO_THROW(command.accept(run.given));
        EXPECT_EQ(command.plan(), run.plan);
    }
}

TEST_F(CruiseFile, AddHazardsAndMarginsAsPlansDo) {
    const std::string plan = plans(common + boat + cove + "hazards = " + haven +
                                   "wrecks.geojson\nmargin = wrecks=50\nmargin = rocks=60\n")
                                 .runs.at(0)
                                 .plan;
    EXPECT_EQ(lines(plan, "hazards"),
              (std::vector<std::string>{haven + "wrecks.geojson", haven + "rocks.geojson"}));
    EXPECT_EQ(lines(plan, "margin"), (std::vector<std::string>{"wrecks=50", "rocks=60"}));
}

TEST_F(CruiseFile, SeePathsFromTheCruiseFilesFolder) {
    std::ofstream(folder_ / "sloop.ini") << "x";
    EXPECT_EQ(line(plans(common + "boat = sloop.ini\n" + cove).runs.at(0).plan, "boat"),
              folder_ / "sloop.ini");
    EXPECT_EQ(refusal(common + "boat = none.ini\n" + cove),
              "none.ini: no such file; paths in a plan are seen from the plan's own folder");
}

TEST_F(CruiseFile, TheAreaIsThatOfTheStayOrOfAll) {
    EXPECT_EQ(line(plans(common + boat + cove).runs.at(0).plan, "around"), "-29.04,47.98, 0.5 nm")
        << "as it was written";
    EXPECT_EQ(
        line(plans(common + boat + "bounds = 1,2,3,4\n" + cove + "[stay b]\n").runs.at(1).plan, "bounds"),
        "1,2,3,4")
        << "that of all, but for a stay with its own";
}

TEST_F(CruiseFile, OfARouteHaveItsPointsAndTimes) {
    route(point("Gull Cove", "2026-12-24T18:00:00Z") + point("Pool", "2026-12-25T20:00:00+02:00"));
    const CruisePlans cruise = plans(sea + boat + tide + "stays = route.gpx\nradius = 0.5 nm\nnights = 2\n" +
                                     "[stay pool]\nnights = 1\nradius = 1 nm\nwind = 30\n");
    ASSERT_EQ(cruise.runs.size(), 2U);
    EXPECT_EQ(line(cruise.runs[0].plan, "arrive"), "2026-12-24T18:00Z");
    EXPECT_EQ(line(cruise.runs[0].plan, "depart"), "2026-12-26T18:00Z");
    EXPECT_EQ(line(cruise.runs[1].plan, "arrive"), "2026-12-25T18:00Z");
    EXPECT_EQ(line(cruise.runs[1].plan, "depart"), "2026-12-26T18:00Z");
    EXPECT_EQ(line(cruise.runs[1].plan, "wind"), "30");
    const auto width = [](const std::string& plan) {
        const LonLatBox box = parse_bounds(line(plan, "bounds"));
        return box[2] - box[0];
    };
    EXPECT_NEAR(width(cruise.runs[1].plan), 2 * width(cruise.runs[0].plan), 2e-5);
}

TEST_F(CruiseFile, OfARouteWithoutATideHaveNoTimes) {
    route(point("Gull Cove", "2026-12-24T18:00:00"));
    EXPECT_EQ(line(plans(common + boat + "stays = route.gpx\nradius = 900\n").runs.at(0).plan, "arrive"),
              "0 of them");
}

TEST_F(CruiseFile, AlongAWayAreStaysOfTheirOwn) {
    route(point("a", "") + "<rtept lat=\"48.2\" lon=\"-29.04\"/>");
    const CruisePlans cruise = plans(common + boat + "along = route.gpx, within 2 nm\n" + cove);
    EXPECT_EQ(cruise.stays, (std::vector<std::string>{"Along 1", "Along 2", "Gull Cove"}));
    EXPECT_EQ(cruise.runs[1].folder, "along-2");
}

TEST_F(CruiseFile, AlongAWayMayBeAtAnyTimeOfTheCruise) {
    route(point("a", "2026-12-25T18:00:00Z") + point("b", "2026-12-26T18:00:00Z"));
    const CruisePlans cruise =
        plans(sea + boat + tide + "stays = route.gpx\nradius = 900\nalong = route.gpx, within 2 nm\n" +
              "arrive = 2026-12-24T18:00Z\ndepart = 2026-12-27T18:00Z\n");
    EXPECT_EQ(cruise.stays, (std::vector<std::string>{"a", "b", "Along 1"}));
    EXPECT_EQ(line(cruise.runs[1].plan, "arrive"), "2026-12-26T18:00Z");
    EXPECT_EQ(line(cruise.runs[2].plan, "arrive"), "2026-12-24T18:00Z");
}

TEST_F(CruiseFile, ThatAreDoubtfulAreRefusedInOneLine) {
    const std::string good = common + boat;
    EXPECT_EQ(refusal(good + cove), "taken");
    EXPECT_THAT(refusal(good), HasSubstr("cruise.ini: has no stays; give each as a section"));
    EXPECT_THAT(refusal(common + cove), HasSubstr("cruise.ini: names no boat; "));
    EXPECT_THAT(refusal(good + boat + cove), HasSubstr("twice; leave out one of them"));
    EXPECT_THAT(refusal(good + "[stay a]\n"), HasSubstr("cruise.ini, stay a: has no area; give it bounds"));
    EXPECT_THAT(refusal(good + cove + "bounds = 1,2,3,4\n"),
                HasSubstr("stay Gull Cove: --around: is given with --bounds"));
    EXPECT_THAT(refusal(good + cove + "[stay GULL COVE]\nbounds = 1,2,3,4\n"),
                HasSubstr("stay GULL COVE is there twice; "));
    EXPECT_THAT(refusal(good + "[stay ../../etc]\nbounds = 1,2,3,4\n"),
                testing::StartsWith("cruise.ini:11: stay \"../../etc\" is called like a path; "));
    EXPECT_THAT(refusal(good + "[haven]\n"),
                testing::StartsWith("cruise.ini:11: [haven] is no stay; write [stay haven]"));
    EXPECT_THAT(refusal(good + "[stay ]\n"), HasSubstr("names no stay; "));
    EXPECT_THAT(refusal(good + cove + "arround = 1,2,3\n"),
                HasSubstr("stay Gull Cove: \"arround\" is no option of this command; did you mean around?"));
    EXPECT_THAT(refusal("wnd = 3\n" + good + cove), HasSubstr("did you mean wind?"));
    EXPECT_THAT(refusal(good + cove + "out = ../elsewhere\n"),
                HasSubstr("stay Gull Cove: \"out\" is no matter of a cruise file; name the folder on the "));
    EXPECT_THAT(refusal("plan = x\n" + good + cove), HasSubstr("\"plan\" is no matter of a cruise file; "));
    EXPECT_THAT(refusal(good + cove + boat), HasSubstr("\"boat\" is said of all stays or of none; "));
    EXPECT_THAT(refusal(good + cove + "wind =\n"), HasSubstr("stay Gull Cove: wind: has no value; "));
    EXPECT_THAT(refusal(good + cove + "wind = 1\nwind = 2\n"), HasSubstr("stay Gull Cove: "));
    EXPECT_THAT(refusal(good + "radius = 900\n" + cove),
                HasSubstr("radius: is for stays at the points of a route; "));
    EXPECT_THAT(refusal(good + "spots = 10000\n" + cove), HasSubstr("give at most 9999"));
    EXPECT_THAT(refusal(good + "[stay a]\naround = 1,2\n"),
                HasSubstr("stay a: --around: \"1,2\" is no position"));
    std::string many = good;
    for (int i = 0; i <= 500; ++i) {
        many += "[stay " + std::to_string(i) + "]\n";
    }
    EXPECT_THAT(refusal(many), HasSubstr("has many stays; give at most 500"));
    EXPECT_EQ(refusal("# a comment\r\n\r\n" + good + "\n  [ Stay  Gull Cove ]  \r\nbounds = 1,2,3,4\r\n"),
              "taken");
    EXPECT_THAT(refusal(good + tide + cove), HasSubstr("stay Gull Cove: --tide: is given with --low-water"));
    EXPECT_THAT(refusal(good + "no key\n" + cove), HasSubstr("cruise.ini:11: \"no key\" has no =; "));
}

TEST_F(CruiseFile, WhoseTimesAreOutOfOrderAreRefused) {
    const auto stay = [&](const std::string& name, const std::string& arrive, const std::string& depart) {
        return "[stay " + name + "]\nbounds = -29.05,47.97,-29.03,47.99\narrive = " + arrive +
               "\ndepart = " + depart + "\n";
    };
    const std::string good = sea + boat + tide;
    const std::string first = stay("a", "2026-12-24T18:00Z", "2026-12-25T06:00Z");
    EXPECT_EQ(refusal(good + first + stay("b", "2026-12-24T18:00Z", "2026-12-25T06:00Z")), "taken")
        << "a choice";
    EXPECT_THAT(refusal(good + first + stay("b", "2026-12-23T18:00Z", "2026-12-25T06:00Z")),
                testing::StartsWith("cruise.ini, stay b: begins before stay a, which stands before it; "));
    EXPECT_THAT(refusal(good + stay("a", "2026-12-24T18:00Z", "2026-12-24T19:30+02:00")),
                testing::StartsWith("cruise.ini, stay a: ends before it begins; "));
    EXPECT_EQ(refusal(good + stay("a", "2026-12-24T18:00Z", "2026-12-24T19:30")), "taken")
        << "by which clock the file of the tide has to say";
    EXPECT_THAT(refusal(good + "clock = +02:00\n" + stay("a", "2026-12-24T18:00Z", "2026-12-24T19:30")),
                HasSubstr("ends before it begins; "));
    EXPECT_THAT(refusal(good + stay("a", "24.12.2026 18:00", "2026-12-25T06:00Z")),
                HasSubstr("stay a, arrive: "));
}

TEST_F(CruiseFile, OfARouteThatIsDoubtfulAreRefused) {
    route(point("Gull Cove", "2026-12-24T18:00:00") + point("Pool", ""));
    const std::string of_route = common + boat + "stays = route.gpx\n";
    EXPECT_THAT(refusal(of_route),
                HasSubstr("stay Gull Cove: nobody says how far around its point she may lie; "));
    EXPECT_THAT(refusal(of_route + "radius = 900\n[stay Gul Cove]\nwind = 3\n"),
                HasSubstr("stay Gul Cove: no point of the route is called so; did you mean Gull Cove?"));
    EXPECT_THAT(refusal(of_route + "radius = 900\nbounds = 1,2,3,4\n"),
                HasSubstr("cruise.ini: has one area for all stays, and a file that tells each its own; "));
    const std::string with_tide = sea + boat + tide + "stays = route.gpx\nradius = 900\n";
    EXPECT_THAT(refusal(with_tide), HasSubstr("does not say by which clock; put Z behind it"));
    EXPECT_THAT(refusal(with_tide + "clock = UTC\nnights = 0.5\n"),
                HasSubstr("stay Gull Cove, nights: \"0.5\" is not possible; "));
    EXPECT_THAT(refusal(of_route + "radius = 9\n"),
                HasSubstr("stay Gull Cove, radius: \"9\" is not possible; "));
    EXPECT_THAT(refusal(common + boat + "stays = none.gpx\n"), HasSubstr("none.gpx: no such file; "));
}

} // namespace
} // namespace swingroom::cli
