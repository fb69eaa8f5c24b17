// The way in, from outside: the layer of access levels by the options of overlay, what is refused, what is
// told.

#include "support.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

namespace swingroom::golden {
namespace {

using testing::AllOf;
using testing::HasSubstr;
using testing::Not;
using Words = std::vector<std::string>;

const std::string haven = "testdata/haven/haven.plan";

Words overlay(const Words& more) {
    Words words = {"overlay", "--plan", haven};
    words.insert(words.end(), more.begin(), more.end());
    return words;
}

/// What is wrong with a command, in one line; nothing is made.
void expect_refused(const Words& words, const std::string& where, const std::string& cure) {
    const Scratch scratch;
    Words all = overlay({"--out", scratch / "out"});
    all.insert(all.end(), words.begin(), words.end());
    const Outcome run = swingroom(all);
    EXPECT_EQ(run.exit_code, 2) << run.err;
    EXPECT_EQ(run.lines(), 1U) << run.err;
    EXPECT_THAT(run.err, AllOf(HasSubstr(where), HasSubstr(cure)));
    EXPECT_TRUE(contents(scratch / "").empty()) << "something is left behind";
}

TEST(WayIn, RefusesWhatSaysNothingOrTooMuch) {
    const Words named = {"--layers", "access_level"};
    const auto with = [&](const Words& more) {
        Words words = named;
        words.insert(words.end(), more.begin(), more.end());
        return words;
    };
    expect_refused({"--layers", "depth_low", "--from", "-29.04,47.98"}, "--from: tells of the way in",
                   "add verdict or access_level to --layers");
    expect_refused({"--layers", "depth_low", "--clear-way", "5"}, "--clear-way: tells of the way in",
                   "add verdict or access_level to --layers");
    expect_refused({"--no-way-in", "--from", "-29.04,47.98"}, "--no-way-in: leaves out the way in",
                   "give one of the two");
    expect_refused({"--no-way-in", "--clear-way", "5"}, "--no-way-in: leaves out the way in",
                   "give one of the two");
    expect_refused(with({"--no-way-in"}),
                   "--no-way-in: leaves out the way in, of which the layer access_level",
                   "give one of the two");
    expect_refused({"--layers", "verdict,ways", "--no-way-in"}, "of which the layer ways tells",
                   "give one of the two");
    expect_refused(with({"--clear-way", "0"}), "--clear-way: \"0\" is not possible", "give 0.1 to 1000 m");
    expect_refused(with({"--clear-way", "wide"}), "--clear-way", "");
    expect_refused(with({"--from", "-29.04"}), "--from: \"-29.04\" is not longitude and latitude",
                   "longitude first");
    expect_refused(with({"--from", "-29,04,47,98"}), "--from: \"-29,04,47,98\" is not longitude and latitude",
                   "decimal points");
    expect_refused(with({"--from", "-29.04,95"}), "--from", "90");
    expect_refused(with({"--from", "-20,47.98"}),
                   "--from -20,47.98: lies outside testdata/haven/bathymetry.tif", "longitude comes first");
}

TEST(WayIn, NeedsABeamOrAClearWay) {
    const Scratch scratch;
    std::string boat = bytes_of(SWINGROOM_SOURCE "/testdata/haven/heavy_ketch.ini");
    const std::size_t line = boat.find("\nbeam = ");
    ASSERT_NE(line, std::string::npos);
    boat.erase(line, boat.find('\n', line + 1) - line);
    write_bytes(scratch / "boat.ini", boat);
    const Words words = {"--boat", scratch / "boat.ini", "--layers", "access_level"};
    expect_refused(words, "boat.ini: gives no beam", "or --clear-way");

    // Who has not asked for the way by name gets all else, and is told.
    const Words told = {"--boat", scratch / "boat.ini", "--layers", "verdict", "--out", scratch / "out"};
    const Outcome run = swingroom(overlay(told));
    EXPECT_EQ(run.exit_code, 0);
    EXPECT_EQ(run.lines(), 1U) << run.err;
    EXPECT_THAT(run.err, AllOf(HasSubstr("warning"), HasSubstr("boat.ini: gives no beam"),
                               HasSubstr("is not told"), HasSubstr("or --clear-way")));
    EXPECT_THAT(bytes_of(scratch / "out/manifest.json"), HasSubstr("gives no beam"));
}

/// A window has the cells of the whole, whatever lies between it and the edge; and no other layer changes.
TEST(WayIn, OfAWindowIsThatOfTheWholeAndLeavesAllElseAsItIs) {
    const Scratch scratch;
    const Words bounds = {"--bounds", "-29.046,47.984,-29.040,47.989"};
    const auto made = [&](const std::string& name, Words more) {
        more.insert(more.end(), {"--out", scratch / name});
        const Outcome run = swingroom(overlay(more));
        EXPECT_EQ(run.exit_code, 0) << run.err;
    };
    made("whole", {"--layers", "access_level", "--threads", "2"});
    made("with", {"--layers", "verdict,exclusions,access_level", bounds[0], bounds[1], "--threads", "1"});
    made("without",
         {"--layers", "verdict,exclusions", bounds[0], bounds[1]}); // looks for it, but tells no level
    made("unasked", {"--layers", "verdict,exclusions", "--no-way-in", bounds[0], bounds[1]});
    const Layer whole = read_layer(scratch / "whole/access_level.tif"),
                part = read_layer(scratch / "with/access_level.tif"),
                with = read_layer(scratch / "with/verdict.tif"),
                without = read_layer(scratch / "without/verdict.tif");
    EXPECT_EQ(with.values, without.values);
    const auto features = [&](const std::string& name) {
        const std::string all = bytes_of(scratch / (name + "/exclusions.geojson"));
        return all.substr(all.find("\"features\"")); // what comes before tells of the layers, too
    };
    EXPECT_TRUE(features("with") == features("without"));
    const auto first_col = static_cast<int>(std::lround((part.west - whole.west) / whole.step_x)),
               first_row = static_cast<int>(std::lround((part.north - whole.north) / whole.step_y));
    ASSERT_LT(part.cols, whole.cols);
    int reached = 0, never = 0;
    for (int row = 0; row < part.rows; ++row) {
        for (int col = 0; col < part.cols; ++col) {
            const double here = part.at(col, row), there = whole.at(first_col + col, first_row + row);
            ASSERT_TRUE(here == there || (std::isnan(here) && std::isnan(there))) << col << ", " << row;
            ++(std::isnan(here) ? never : reached);
        }
    }
    EXPECT_GT(reached, 1000);
    EXPECT_GT(never, 100);
    const std::string manifest = bytes_of(scratch / "whole/manifest.json");
    EXPECT_THAT(manifest, HasSubstr("half her beam and the position allowance"));
    EXPECT_THAT(manifest, HasSubstr("begins on the raster's edge"));
    EXPECT_THAT(bytes_of(scratch / "unasked/manifest.json"), Not(HasSubstr("begins on the raster's edge")));
}

/// A command on a made sea; its boat is the haven's, the water stands between 0 and 1 m.
Words over(const std::filesystem::path& raster, const Words& more) {
    Words words = {"overlay",
                   "--bathymetry",
                   raster.string(),
                   "--positive",
                   "up",
                   "--chart-datum",
                   "0",
                   "--uncertainty",
                   "0.2",
                   "--boat",
                   SWINGROOM_SOURCE "/testdata/haven/heavy_ketch.ini",
                   "--low-water",
                   "0",
                   "--high-water",
                   "1",
                   "--wind",
                   "15"};
    words.insert(words.end(), more.begin(), more.end());
    return words;
}

/// The raster of the haven has land, a drying bank and, beyond its edge, nothing: each is refused as a start.
TEST(WayIn, BeginsInOpenWaterAlone) {
    const Words named = {"--layers", "access_level"};
    const auto from = [&](const std::string& place) { return Words{named[0], named[1], "--from", place}; };
    expect_refused(from("-29.036706,47.988696"),
                   "--from -29.036706,47.988696: she floats clear there only from",
                   "give a position in open water"); // on land that stands 1.35 m high
    expect_refused(from("-29.0487,47.98636"), "--from -29.0487,47.98636: she floats clear there at no level",
                   "give a position in open water"); // where nobody has surveyed
    expect_refused(from("-29.0403,47.9"), "--from -29.0403,47.9: lies outside", "longitude comes first");
}

/// Without any water that is deep enough on its edge nobody knows where she comes from: said once, with the
/// cure; and who asks for the way by name is refused.
TEST(WayIn, IsNotKnownWhereNoWaterLeadsIn) {
    const Scratch scratch;
    Sea sea;
    sea.elevation_m = -1;
    write_sea(scratch / "shoal.tif", sea);
    const Outcome told =
        swingroom(over(scratch / "shoal.tif", {"--layers", "verdict", "--out", scratch / "out"}));
    EXPECT_EQ(told.exit_code, 0) << told.err;
    EXPECT_TRUE(told.says("no cell on its outer edge has water enough")) << told.err;
    EXPECT_TRUE(told.says("say with --from LON,LAT where she comes from")) << told.err;
    EXPECT_EQ(told.err.find("outer edge"), told.err.rfind("outer edge")) << "once";
    const Outcome refused =
        swingroom(over(scratch / "shoal.tif", {"--layers", "access_level", "--out", scratch / "none"}));
    EXPECT_EQ(refused.exit_code, 2);
    EXPECT_EQ(refused.lines(), 1U) << refused.err;
    const Outcome from =
        swingroom(over(scratch / "shoal.tif",
                       {"--layers", "verdict", "--from", "-28.33265,47.84831", "--out", scratch / "none"}));
    EXPECT_EQ(from.exit_code, 2);
    EXPECT_EQ(from.lines(), 1U) << from.err;
    EXPECT_TRUE(from.says("give a position")) << from.err;
}

/// Where the data end in the middle of an anchorage the way begins there, and nobody knows what is beyond.
TEST(WayIn, SaysThatNothingIsKnownBeyondTheData) {
    const Scratch scratch;
    write_sea(scratch / "deep.tif");
    const Outcome run =
        swingroom(over(scratch / "deep.tif", {"--layers", "verdict", "--out", scratch / "out"}));
    EXPECT_EQ(run.exit_code, 0) << run.err;
    EXPECT_THAT(bytes_of(scratch / "out/manifest.json"),
                AllOf(HasSubstr("begins on the raster's edge"),
                      HasSubstr("what lies beyond the edge of the data is not known")));
}

/// What spot refuses is what overlay does.
TEST(WayIn, IsLookedForByASpot) {
    const auto spot = [](const Words& more) {
        Words words = {"spot", "--plan", haven, "-29.0431", "47.9867"};
        words.insert(words.end(), more.begin(), more.end());
        return swingroom(words);
    };
    EXPECT_EQ(spot({}).exit_code, 0);
    EXPECT_EQ(spot({"--no-way-in"}).exit_code, 0);
    EXPECT_EQ(spot({"--from", "-29.0415,47.982", "--clear-way", "6"}).exit_code, 0);
    const auto refused = [&](const Words& more, const std::string& wrong, const std::string& cure) {
        const Outcome run = spot(more);
        EXPECT_EQ(run.exit_code, 2);
        EXPECT_EQ(run.lines(), 1U) << run.err;
        EXPECT_THAT(run.err, AllOf(HasSubstr(wrong), HasSubstr(cure)));
    };
    refused({"--no-way-in", "--from", "-29.046,47.984"}, "--no-way-in: leaves out the way in",
            "one of the two");
    refused({"--from", "-20,47.98"}, "--from -20,47.98: lies outside testdata/haven/bathymetry.tif",
            "longitude comes first");
}

} // namespace
} // namespace swingroom::golden
