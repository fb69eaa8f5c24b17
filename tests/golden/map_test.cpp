// The map by itself, as a layer: what comes with it, that it needs nothing beside itself, whom it serves.
#include "golden/support.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <map>
#include <string>

namespace swingroom::golden {
namespace {

using testing::HasSubstr;
using testing::Not;

class Map : public testing::Test {
protected:
    static void SetUpTestSuite() {
        scratch_ = new Scratch;
        run_ = swingroom({"overlay", "--plan", "testdata/haven/haven.plan", "--layers", "map", "--threads",
                          "3", "--out", *scratch_ / "haven"});
        files_ = contents(*scratch_ / "haven");
    }
    static void TearDownTestSuite() {
        delete scratch_;
        scratch_ = nullptr;
    }

    static Scratch* scratch_;
    static Outcome run_;
    static std::map<std::string, std::string> files_;
};
Scratch* Map::scratch_ = nullptr;
Outcome Map::run_;
std::map<std::string, std::string> Map::files_;

TEST_F(Map, IsAnSvgByDayAndAtNightWithTheLayersThatItIsMadeFrom) {
    ASSERT_EQ(run_.exit_code, 0) << run_.err;
    for (const char* name : {"map.svg", "map-night.svg", "verdict.tif", "zones.geojson", "spots.geojson"}) {
        EXPECT_TRUE(files_.contains(name)) << name;
    }
    EXPECT_FALSE(files_.contains("report.html"));
    EXPECT_FALSE(files_.contains("exclusions.geojson"));
    EXPECT_THAT(files_.at("manifest.json"), HasSubstr("map-night.svg"));
    EXPECT_EQ(swingroom({"verify", *scratch_ / "haven"}).exit_code, 0);
}

TEST_F(Map, NeedsNothingBesideItselfAndSaysWhereItComesFrom) {
    for (const char* name : {"map.svg", "map-night.svg"}) {
        const std::string& text = files_.at(name);
        EXPECT_THAT(text, testing::StartsWith("<svg"));
        EXPECT_THAT(text, Not(HasSubstr("<script")));
        EXPECT_THAT(text, Not(HasSubstr("var(")));
        for (std::size_t at = 0; (at = text.find("href=\"", at)) != std::string::npos; ++at) {
            EXPECT_EQ(text.compare(at, 27, "href=\"data:image/png;base64"), 0) << text.substr(at, 60);
        }
        EXPECT_THAT(text, HasSubstr("Planning aid, not for navigation."));
        // The digest of the plan's raster, in the metadata.
        EXPECT_THAT(text, HasSubstr("b41d26fb489f635b7dc855b1c081b85eaf9275b1fc130445d7658c7cc52fee3a"));
    }
    EXPECT_NE(files_.at("map.svg"), files_.at("map-night.svg"));
}

TEST_F(Map, HasALegendOfWhatIsOnItAndNothingElse) {
    const std::string& text = files_.at("map.svg");
    for (const char* words : {"yes, at full scope", "dries at chart datum", "not surveyed", "wreck", "rock",
                              "mooring", "cable, or chain of a mooring", "depth at low water, m"}) {
        EXPECT_THAT(text, HasSubstr(">" + std::string(words) + "<"));
    }
    for (const char* words :
         {"land", "yes, at full scope, by the sounder", "pipeline or tunnel", "foul ground"}) {
        EXPECT_THAT(text, Not(HasSubstr(">" + std::string(words) + "<")));
    }
}

TEST_F(Map, IsTheSameForAnyThreadsAndInTheUnitAskedFor) {
    const Outcome one = swingroom({"overlay", "--plan", "testdata/haven/haven.plan", "--layers", "map",
                                   "--threads", "1", "--out", *scratch_ / "one"});
    ASSERT_EQ(one.exit_code, 0) << one.err;
    EXPECT_EQ(bytes_of(*scratch_ / "one/map.svg"), files_.at("map.svg"));
    const Outcome feet = swingroom({"overlay", "--plan", "testdata/haven/haven.plan", "--layers", "map",
                                    "--units", "ft", "--out", *scratch_ / "feet"});
    ASSERT_EQ(feet.exit_code, 0) << feet.err;
    const std::string text = bytes_of(*scratch_ / "feet/map.svg");
    EXPECT_THAT(text, HasSubstr(" ft</text>"));
    EXPECT_THAT(text, HasSubstr("depth at low water, ft"));
    EXPECT_THAT(text, Not(HasSubstr(" m</text>")));
}

TEST_F(Map, CanBeNothingButADrawing) {
    const Outcome run = swingroom({"overlay", "--plan", "testdata/haven/haven.plan", "--layers", "map.tif",
                                   "--out", *scratch_ / "tif"});
    EXPECT_EQ(run.exit_code, 2);
    EXPECT_THAT(run.err, HasSubstr("map can be .svg"));
}

} // namespace
} // namespace swingroom::golden
