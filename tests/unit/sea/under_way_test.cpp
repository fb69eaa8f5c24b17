#include "swingroom/base/error.hpp"
#include "swingroom/overlay/access.hpp"
#include "swingroom/room/hazard_field.hpp"
#include "swingroom/sea/hazard_rules.hpp"
#include "swingroom/sea/hazards.hpp"

#include "support/overlay_scene.hpp"
#include "support/scratch.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <limits>
#include <optional>
#include <sstream>
#include <string>
#include <utility>
#include <vector>

// From a rules file and a file of features to the levels at which cells are reached: how near she comes to a
// danger under way. From memory, no source: a point in the middle cell of 9 by 9 of 10 m, 9 m deep.

namespace swingroom::testing_support {
namespace {

using testing::AllOf;
using testing::HasSubstr;

constexpr float never = std::numeric_limits<float>::infinity();
constexpr double needs_m = 2;

class UnderWayRules : public testing::Test {
protected:
    /// The middle row of the sea, by a rule and the attributes of the feature.
    [[nodiscard]] std::string row_by(const std::string& rule, const std::string& attributes = "") const {
        const Grid grid = utm_grid(9, 9, 10);
        OverlayScene scene;
        scene.depths = memory_bathymetry(grid, std::vector<float>(81, 9), DepthUncertainty::none());
        scene.metric = GroundMetric::uniform(grid.rows, 10, 10);
        HazardSet set =
            read_hazards({features(attributes)}, rules("effects = hull\n" + rule), grid, scene.metric);
        EXPECT_EQ(set.hazards.size(), 1U);
        scene.hazards = std::make_unique<HazardField>(std::move(set.hazards), grid.extent(), scene.metric);
        scene.tables = std::make_unique<TackleTables>(read_trial_boat(trial_boats().front()),
                                                      Conditions{{1, 3}, 8, 0}, 1.0);
        const auto access = AccessLevels::from_the_rim(scene.job(), {0.5, needs_m});
        EXPECT_TRUE(access);
        AccessLevels::Workspace work;
        Plane<float> level_m;
        access->levels({0, 4, 9, 1}, work, level_m);
        std::string row;
        for (int col = 0; col < 9; ++col) {
            row += level_m.at(col, 4) == never ? '#' : level_m.at(col, 4) == needs_m - 9 ? '.' : '?';
        }
        return row;
    }
    [[nodiscard]] std::string complaint(const std::string& rule, const std::string& attributes = "") const {
        try {
            static_cast<void>(row_by(rule, attributes));
        } catch (const InputError& error) {
            return error.what();
        }
        return "accepted";
    }

private:
    static std::vector<HazardRule> rules(const std::string& keys) {
        std::istringstream text("[buoy]\nlayers = buoys\n" + keys);
        return read_hazard_rules(text, "my.rules");
    }
    [[nodiscard]] std::string features(const std::string& attributes) const {
        const std::string path = scratch_ / "buoys.geojson";
        std::ofstream(path) << R"({"type":"FeatureCollection","name":"buoys","crs":{"type":"name",)"
                            << R"("properties":{"name":"urn:ogc:def:crs:EPSG::32630"}},"features":[)"
                            << R"({"type":"Feature","properties":{)" << attributes
                            << R"(},"geometry":{"type":"Point","coordinates":[500000,5599955]}}]})";
        return path;
    }

    Scratch scratch_;
};

TEST_F(UnderWayRules, LetHerComeNearerThanTheMargin) {
    EXPECT_EQ(row_by("margin = 12 m\n"), "..#####..") << "cells within 12 m, and those that touch them";
    EXPECT_EQ(row_by("margin = 12 m\nunder_way = 12 m\n"), "..#####..");
    EXPECT_EQ(row_by("margin = 12 m\nunder_way = 0 m\n"), "...###...");
    EXPECT_EQ(row_by("margin = 12 m\nunder_way = passes\n"), ".........");
}

TEST_F(UnderWayRules, AddTheRadiusOfTheFeature) {
    const std::string radius = R"("swing":12)";
    EXPECT_EQ(row_by("margin = 0 m\nradius = swing\n", radius), "..#####..");
    EXPECT_EQ(row_by("margin = 25 m\nradius = swing\nunder_way = 0 m\n", radius), "..#####..")
        << "what swings around a mooring is met under way, too";
    EXPECT_EQ(row_by("margin = 25 m\nradius = swing\nunder_way = 0 m\n", R"("swing":null)"), "...###...");
    EXPECT_EQ(row_by("margin = 25 m\nradius = swing\nunder_way = passes\n", radius), ".........");
}

TEST_F(UnderWayRules, RefuseWhatIsNoLengthInOneLine) {
    const auto expect_refused = [&](const std::string& said, const std::string& where) {
        EXPECT_THAT(said, HasSubstr(where));
        EXPECT_EQ(said.find('\n'), std::string::npos) << said;
    };
    expect_refused(complaint("margin = 5 m\nunder_way = wide\n"), "my.rules:5: under_way");
    expect_refused(complaint("margin = 5 m\nunder_way = -1 m\n"), "my.rules:5: under_way is -1 m");
    expect_refused(complaint("margin = 5 m\nunder_way = 6 m\n"), "my.rules");
    expect_refused(complaint("margin = 5 m\nunder_way =\n"), "my.rules:5");
    expect_refused(complaint("margin = 5 m\nradius = swing\nunder_way = 0 m\n", R"("swing":"wide")"),
                   "its swing is \"wide\", which is no length in metres");
    expect_refused(complaint("margin = 5 m\nradius = swing\nunder_way = 0 m\n", R"("swing":-3)"),
                   "its swing is \"-3");
}

} // namespace
} // namespace swingroom::testing_support
