#include "swingroom/base/error.hpp"
#include "swingroom/overlay/block_answers.hpp"
#include "swingroom/overlay/layers.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cstddef>
#include <set>
#include <string>
#include <string_view>
#include <variant>

namespace swingroom {
namespace {

std::set<std::string_view> names_in(const LayerSet& set) {
    std::set<std::string_view> names;
    for (std::size_t i = 0; i < layer_names.size(); ++i) {
        if (set.has(static_cast<Layer>(i))) names.insert(layer_names[i]);
    }
    return names;
}
std::set<std::string_view> parsed(std::string_view text, BoatCount boats = BoatCount::one) {
    return names_in(LayerSet::parse(text, "--layers", boats));
}

TEST(LayerSet, ReadsEachNameByItself) {
    for (const std::string_view name : layer_names) {
        EXPECT_EQ(parsed(name, BoatCount::several), std::set<std::string_view>{name});
    }
}

TEST(LayerSet, ReadsLists) {
    EXPECT_EQ(parsed("verdict,spare_full,zones"),
              (std::set<std::string_view>{"verdict", "spare_full", "zones"}));
    EXPECT_EQ(parsed("zones,verdict,zones"), (std::set<std::string_view>{"verdict", "zones"}));
    EXPECT_EQ(parsed("all").size(), layer_names.size() - 2);
    EXPECT_FALSE(parsed("all").contains("access_level")) << "it is made for who asks for it";
    EXPECT_EQ(names_in(LayerSet::all()), parsed("all"));
    EXPECT_EQ(parsed("verdict,all"), parsed("all"));
    EXPECT_EQ(parsed("access_level,all").size(), layer_names.size() - 1);
}

TEST(LayerSet, HasWhatIsOfAllBoatsOnlyWhereThereAreSeveral) {
    EXPECT_FALSE(parsed("all").contains("boats_yes"));
    EXPECT_TRUE(parsed("all", BoatCount::several).contains("boats_yes"));
    EXPECT_EQ(parsed("all", BoatCount::several).size(), layer_names.size() - 1);
    EXPECT_EQ(names_in(LayerSet::all(BoatCount::several)), parsed("all", BoatCount::several));
    EXPECT_EQ(names_in(LayerSet::all(BoatCount::several).without(Layer::boats_yes)), parsed("all"));
    EXPECT_EQ(names_in(LayerSet::all().without(Layer::boats_yes)), parsed("all"));
    EXPECT_EQ(parsed("verdict,boats_yes", BoatCount::several),
              (std::set<std::string_view>{"verdict", "boats_yes"}));
    try {
        (void)parsed("all,boats_yes");
        ADD_FAILURE() << "it passed";
    } catch (const InputError& error) {
        EXPECT_STREQ(error.what(), "--layers: boats_yes counts several boats, and there is one; give several "
                                   "boats, or leave it out");
    }
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
            EXPECT_THAT(error.what(), testing::AnyOf(testing::HasSubstr("wind_limit_sinker"),
                                                     testing::HasSubstr("did you mean ")))
                << "neither are the names listed nor is one proposed";
        }
    }
    try {
        (void)LayerSet::parse("zones,Verdikt", "--layers");
    } catch (const InputError& error) {
        EXPECT_STREQ(error.what(), "--layers: \"Verdikt\" is no layer; did you mean verdict?");
    }
    for (const std::string_view text : {"", ",", "verdict,", ",verdict", "verdict,,zones"}) {
        EXPECT_THROW((void)LayerSet::parse(text, "--layers"), InputError) << "\"" << text << "\"";
    }
    EXPECT_THROW((void)LayerSet::parse("verdict,wrong,zones", "plan.ini"), InputError);
}

TEST(LayerSet, KnowsWhatItHasAndEmptiness) {
    LayerSet set;
    EXPECT_TRUE(set.empty());
    set.add(Layer::rode_sinker);
    EXPECT_FALSE(set.empty());
    EXPECT_EQ(names_in(set), std::set<std::string_view>{"rode_sinker"});
    set = {};
    set.add(Layer::report);
    EXPECT_EQ(names_in(set), std::set<std::string_view>{"report"});
}

TEST(Layers, OfAWayAreNamedAfterIt) {
    for (const Layer group : {Layer::rode_full, Layer::radius_full, Layer::spare_full, Layer::wind_limit_full,
                              Layer::least_water_full, Layer::hours_afloat_full}) {
        for (const Way way : all_ways) {
            EXPECT_THAT(std::string(name(of(group, way))), testing::EndsWith("_" + std::string(name(way))));
        }
    }
}

TEST(Layers, OfTheWaterOverTimeNeedATide) {
    EXPECT_EQ(parsed("hours_afloat"),
              (std::set<std::string_view>{"hours_afloat_full", "hours_afloat_short", "hours_afloat_sinker"}));
    for (const LayerTraits& layer : layer_table) {
        EXPECT_EQ(needs_tide(layer.layer), layer.group == "hours_afloat") << layer.name;
    }
}

TEST(Layers, OfAGroupAreFoundFromAnyOfThem) {
    EXPECT_EQ(of(Layer::rode_sinker, Way::full), Layer::rode_full);
    EXPECT_EQ(of(Layer::wind_limit_short, Way::sinker), Layer::wind_limit_sinker);
    EXPECT_EQ(of(Layer::verdict, Way::sinker), Layer::verdict) << "it is of no way";
}

TEST(Layers, AreDescribedWithTheirWay) {
    EXPECT_EQ(description(Layer::verdict), "Whether the boat can lie here, and how");
    EXPECT_EQ(description(Layer::spare_short), "Room less what is needed at short scope, in metres; below "
                                               "zero is a no; rounded down to steps of 1/16 m");
    EXPECT_THAT(description(Layer::radius_short), testing::EndsWith("; rounded up to steps of 1/16 m"));
    EXPECT_THAT(description(Layer::wind_limit_full), testing::EndsWith("; rounded down to steps of 1 kn"));
    EXPECT_THAT(description(Layer::rode_full), testing::Not(testing::HasSubstr("rounded")));
    for (const Layer layer : raster_layers) {
        EXPECT_THAT(description(layer), testing::Not(testing::HasSubstr("{"))) << name(layer);
    }
}

TEST(Layers, OnlyRastersAreListedAsSuch) {
    for (const LayerTraits& layer : layer_table) {
        EXPECT_EQ(std::count(raster_layers.begin(), raster_layers.end(), layer.layer),
                  is_raster(layer.content) ? 1 : 0)
            << layer.name;
    }
    EXPECT_THAT(raster_layers, testing::Not(testing::Contains(Layer::zones)));
    EXPECT_THAT(raster_layers, testing::Contains(Layer::source));
    EXPECT_THAT(raster_layers, testing::Contains(Layer::boats_yes));
    EXPECT_THAT(rasters_of_a_boat, testing::Not(testing::Contains(Layer::boats_yes)));
    EXPECT_EQ(rasters_of_a_boat.size() + 1, raster_layers.size());
}

TEST(BlockAnswers, HasPlanesOfWhatIsWantedInTheTypesOfTheTable) {
    BlockAnswers answers;
    answers.core = {3, 5, 4, 2};
    LayerSet wanted;
    wanted.add(Layer::reasons);
    wanted.add(Layer::spare_short);
    answers.reset(wanted);
    for (const LayerTraits& layer : layer_table) {
        EXPECT_EQ(answers.plane(layer.layer).index(),
                  is_raster(layer.content) ? static_cast<std::size_t>(layer.type) : 0U)
            << layer.name;
        std::visit(
            [&](const auto& plane) {
                EXPECT_EQ(plane.size(), wanted.has(layer.layer) ? 8U : 0U) << layer.name;
                const std::size_t bytes = sizeof(*plane.data());
                EXPECT_EQ(bytes,
                          is_raster(layer.content) ? static_cast<std::size_t>(bytes_of(layer.type)) : 1U)
                    << layer.name;
            },
            answers.plane(layer.layer));
    }
    answers.reset({});
    EXPECT_EQ(answers.plane<Layer::reasons>().size(), 0U) << "no longer wanted";
}

} // namespace
} // namespace swingroom
