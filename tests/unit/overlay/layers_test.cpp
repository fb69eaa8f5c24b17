#include "swingroom/base/error.hpp"
#include "swingroom/overlay/layers.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <set>
#include <string>

namespace swingroom {
namespace {

std::set<std::string_view> names_in(const LayerSet& set) {
    std::set<std::string_view> names;
    for (std::size_t i = 0; i < layer_names.size(); ++i)
        if (set.has(static_cast<Layer>(i))) names.insert(layer_names[i]);
    return names;
}
std::set<std::string_view> parsed(std::string_view text) {
    return names_in(LayerSet::parse(text, "--layers"));
}

TEST(LayerSet, ReadsEachNameByItself) {
    for (const std::string_view name : layer_names)
        if (name != "report") {
            EXPECT_EQ(parsed(name), std::set<std::string_view>{name});
        }
}

TEST(LayerSet, TheReportBringsWhatItIsMadeFrom) {
    EXPECT_EQ(parsed("report"), (std::set<std::string_view>{"report", "verdict", "zones", "spots"}));
}

TEST(LayerSet, ReadsLists) {
    EXPECT_EQ(parsed("verdict,spare_full,zones"),
              (std::set<std::string_view>{"verdict", "spare_full", "zones"}));
    EXPECT_EQ(parsed("zones,verdict,zones"), (std::set<std::string_view>{"verdict", "zones"}));
    EXPECT_EQ(parsed("all").size(), layer_names.size());
    EXPECT_EQ(names_in(LayerSet::all()), parsed("all"));
    EXPECT_EQ(parsed("verdict,all").size(), layer_names.size());
}

TEST(LayerSet, AGroupsNameStandsForAllItsWays) {
    EXPECT_EQ(parsed("rode"), (std::set<std::string_view>{"rode_full", "rode_short", "rode_sinker"}));
    EXPECT_EQ(parsed("radius"), (std::set<std::string_view>{"radius_full", "radius_short", "radius_sinker"}));
    EXPECT_EQ(parsed("spare"), (std::set<std::string_view>{"spare_full", "spare_short", "spare_sinker"}));
    EXPECT_EQ(parsed("wind_limit"),
              (std::set<std::string_view>{"wind_limit_full", "wind_limit_short", "wind_limit_sinker"}));
}

TEST(LayerSet, RefusesWhatIsNoLayerAndNamesIt) {
    // "hull" and "depth" would be groups if any name with an underscore were one.
    for (const std::string_view text : {"verdikt", "hull", "depth", "ground", "wind", "Verdict", "rode_",
                                        "_full", "verdict zones", " verdict", "full"}) {
        try {
            (void)LayerSet::parse(text, "--layers");
            ADD_FAILURE() << "\"" << text << "\" passed";
        } catch (const InputError& error) {
            EXPECT_THAT(error.what(), testing::StartsWith("--layers: \"" + std::string(text) + "\""));
            EXPECT_THAT(error.what(), testing::HasSubstr("wind_limit_sinker")) << "the names are not listed";
        }
    }
    for (const std::string_view text : {"", ",", "verdict,", ",verdict", "verdict,,zones"})
        EXPECT_THROW((void)LayerSet::parse(text, "--layers"), InputError) << "\"" << text << "\"";
    EXPECT_THROW((void)LayerSet::parse("verdict,wrong,zones", "plan.ini"), InputError);
}

TEST(LayerSet, KnowsGroupsAndEmptiness) {
    LayerSet set;
    EXPECT_TRUE(set.empty());
    EXPECT_FALSE(set.has_any(Layer::rode_full));
    set.add(Layer::rode_sinker);
    EXPECT_FALSE(set.empty());
    EXPECT_TRUE(set.has_any(Layer::rode_full));
    EXPECT_FALSE(set.has_any(Layer::radius_full));
    EXPECT_FALSE(set.has_any(Layer::spare_full));
    set = {};
    set.add(Layer::wind_limit_full);
    EXPECT_TRUE(set.has_any(Layer::wind_limit_full));
    EXPECT_FALSE(set.has_any(Layer::spare_full));
}

TEST(Layers, OfAWayAreNamedAfterIt) {
    for (const Layer group :
         {Layer::rode_full, Layer::radius_full, Layer::spare_full, Layer::wind_limit_full})
        for (const Way way : all_ways)
            EXPECT_THAT(std::string(name(of(group, way))), testing::EndsWith("_" + std::string(name(way))));
}

} // namespace
} // namespace swingroom
