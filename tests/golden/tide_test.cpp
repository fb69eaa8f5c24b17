// The water of a stay by a curve, from outside: overlay and spot take it, the manifest tells it, and `tide`
// tells the file by itself.

#include "swingroom/base/version.hpp"

#include "support.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <sstream>
#include <string>
#include <vector>

namespace swingroom::golden {
namespace {

using testing::AllOf;
using testing::HasSubstr;
using testing::Not;
using Words = std::vector<std::string>;

const std::string evening = "testdata/haven/evening.plan", haven = "testdata/haven/haven.plan",
                  table = "testdata/haven/tide_table.csv";

/// The lines of a plan that say something, but for those that begin with one of these words.
std::string without(const std::string& plan, const Words& left_out) {
    std::istringstream in(bytes_of(SWINGROOM_SOURCE "/" + plan));
    std::string text;
    for (std::string line; std::getline(in, line);) {
        bool kept = !line.starts_with("#");
        for (const std::string& word : left_out) {
            kept = kept && !line.starts_with(word + " ");
        }
        if (kept) text += line + "\n";
    }
    return text;
}

TEST(Tide, TheEveningIsTheHavensPlanInOtherWater) {
    EXPECT_EQ(without(evening, {"tide", "arrive", "depart", "below", "above"}),
              without(haven, {"low-water", "high-water"}));
}

// The stay's lowest and highest level, as two numbers: the same cells, one by one. Without the way in, which
// may count on less water by a curve: on the highest that its lower bound reaches, where two numbers know no
// bound.
TEST(Tide, ItsLevelsAnswerAsTwoNumbersWould) {
    const Scratch scratch;
    const Words layers = {"--layers", "verdict,reasons,radius_short,depth_low", "--no-way-in"};
    Words by_tide = {"overlay", "--plan", evening, "--out", scratch / "tide"},
          by_levels = {"overlay",      "--plan", haven,   "--low-water",     "0.35",
                       "--high-water", "2.65",   "--out", scratch / "levels"};
    by_tide.insert(by_tide.end(), layers.begin(), layers.end());
    by_levels.insert(by_levels.end(), layers.begin(), layers.end());
    const Outcome tide = swingroom(by_tide), levels = swingroom(by_levels);
    ASSERT_EQ(tide.exit_code, 0) << tide.err;
    ASSERT_EQ(levels.exit_code, 0) << levels.err;
    EXPECT_EQ(tide.err, "") << "its station is near, its file is sound";
    for (const std::string layer : {"verdict", "reasons", "radius_short", "depth_low"}) {
        const Layer a = read_layer(scratch / ("tide/" + layer + ".tif")),
                    b = read_layer(scratch / ("levels/" + layer + ".tif"));
        ASSERT_EQ(a.values.size(), b.values.size());
        std::size_t differ = 0;
        for (std::size_t i = 0; i < a.values.size(); ++i) {
            const bool same =
                a.values[i] == b.values[i] || (std::isnan(a.values[i]) && std::isnan(b.values[i]));
            differ += same ? 0 : 1;
        }
        EXPECT_EQ(differ, 0U) << layer;
    }
    const std::string manifest = bytes_of(scratch / "tide/manifest.json");
    for (const std::string fact :
         {"tide_table.csv", "Ebbering Haven, quay", "a table of high and low waters; between them",
          "2026-07-03T21:00Z (2026-07-03 19:00 UTC-02:00) to 2026-07-04T10:00Z (2026-07-04 08:00 UTC-02:00)",
          "between 0.35 and 2.65 m above chart datum", "0.20 m below and 0.20 m above the prediction"}) {
        EXPECT_THAT(manifest, HasSubstr(fact));
    }
    EXPECT_THAT(bytes_of(scratch / "levels/manifest.json"), Not(HasSubstr("tide")));
}

// With charts the boat's tables come before the grid, and rode is by the sounder: the level's error of the
// curve is in them, unless the boat file has its own.
TEST(Tide, ChartsAloneTakeItToo) {
    const Scratch scratch;
    const std::string boat = bytes_of(SWINGROOM_SOURCE "/testdata/haven/heavy_ketch.ini");
    write_bytes(scratch / "sure.ini", boat + "level_error = 0.2 m\n");
    const auto manifest = [&scratch](const std::string& boat_file, const std::string& name) {
        const Outcome run = swingroom({"overlay",
                                       "--chart",
                                       "testdata/cells/QQ5HAVEN.000",
                                       "--boat",
                                       boat_file,
                                       "--wind",
                                       "15",
                                       "--tide",
                                       table,
                                       "--arrive",
                                       "2026-07-03 19:00",
                                       "--depart",
                                       "2026-07-04 08:00",
                                       "--below",
                                       "0.2",
                                       "--above",
                                       "0.2",
                                       "--layers",
                                       "verdict",
                                       "--out",
                                       scratch / name});
        EXPECT_EQ(run.exit_code, 0) << run.err;
        return bytes_of(scratch / (name + "/manifest.json"));
    };
    // From 1.094 to 2.65 m stand open at arrival: the cosine, 1.53, less 0.18, 0.05 and 0.2, and 2.4 with
    // these.
    EXPECT_THAT(manifest("testdata/haven/heavy_ketch.ini", "a"),
                HasSubstr("0.78 m, half the width of the tide's bounds at arrival"));
    EXPECT_THAT(manifest(scratch / "sure.ini", "b"),
                AllOf(Not(HasSubstr("half the width")), HasSubstr("0.2 m")));
}

TEST(Tide, AFarStationIsWarnedOf) {
    const Scratch scratch;
    std::string far = bytes_of(SWINGROOM_SOURCE "/" + table);
    const std::string position = "# position: -29.0405,47.9872\n";
    ASSERT_NE(far.find(position), std::string::npos);
    far.replace(far.find(position), position.size(), "# position: -29.0405,48.5\n");
    write_bytes(scratch / "far.csv", far);
    const Outcome run =
        swingroom({"spot", "-29.043932", "47.987038", "--plan", evening, "--tide", scratch / "far.csv"});
    EXPECT_EQ(run.exit_code, 0);
    // 0.5130 degrees of latitude are 57.03 km there (WGS 84: 111.18 km a degree), 30.79 nautical miles.
    EXPECT_THAT(run.err, AllOf(HasSubstr("warning: "), HasSubstr("its station, Ebbering Haven, quay, lies"),
                               HasSubstr("30.79 nm")));
    EXPECT_EQ(run.lines(), 1U);
}

TEST(Tide, APlanOfItMeansTheSameWhereverItLies) {
    const Scratch scratch;
    const Words spot = {"spot", "-29.04487", "47.98704", "--plan"};
    const auto asked = [&spot](const std::string& plan, const Words& more) {
        Words words = spot;
        words.push_back(plan);
        words.insert(words.end(), more.begin(), more.end());
        return swingroom(words);
    };
    const Outcome printed = asked(evening, {"--print-plan"});
    ASSERT_EQ(printed.exit_code, 0) << printed.err;
    write_bytes(scratch / "whole.plan", printed.out);
    EXPECT_EQ(asked(scratch / "whole.plan", {}).out, asked(evening, {}).out);
    const Outcome by_hand = asked(evening, {"--low-water", "0.5", "--high-water", "2.5", "--print-plan"});
    EXPECT_THAT(by_hand.out,
                AllOf(HasSubstr("low-water = 0.5\n"), Not(HasSubstr("tide")), Not(HasSubstr("arrive"))));
}

TEST(Tide, TellsTheFileAndDrawsIt) {
    const Scratch scratch;
    const std::string picture = scratch / "tide.svg";
    const Outcome run = swingroom({"tide", "testdata/haven/constituents.csv", "--from", "2026-07-03T12:00Z",
                                   "--to", "2026-07-05T12:00Z", "--clock", "-02:00", "--picture", picture});
    ASSERT_EQ(run.exit_code, 0) << run.err;
    EXPECT_THAT(run.out, AllOf(HasSubstr("  high  2026-07-03 15:51  2.39\n"), Not(HasSubstr("doubtful: ")),
                               HasSubstr("note: Lists disagree in what SA means (0.05 m)"),
                               HasSubstr(std::string(caution))));
    EXPECT_THAT(bytes_of(picture), AllOf(HasSubstr("<svg "), HasSubstr(">Ebbering Haven, quay. Line: "),
                                         HasSubstr(">15:51<"), HasSubstr("</svg>")));
    const Outcome again = swingroom({"tide", table, "--picture", picture});
    EXPECT_EQ(again.exit_code, 2);
    EXPECT_THAT(again.err, HasSubstr("--picture"));
    EXPECT_EQ(swingroom({"tide", table, "--picture", picture, "--overwrite"}).exit_code, 0);
    const Outcome csv = swingroom({"tide", table, "--format", "csv", "--every", "1h"});
    EXPECT_TRUE(csv.out.starts_with("time,type,height_m,least_m,greatest_m\n"));
    EXPECT_EQ(csv.err, "");
    const Outcome missing = swingroom({"tide", "testdata/haven/haven.plan"});
    EXPECT_EQ(missing.exit_code, 2);
    EXPECT_EQ(missing.out, "");
}

} // namespace
} // namespace swingroom::golden
