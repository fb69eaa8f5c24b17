// What goes into the provenance of a run about the boat that her file does not say.

#include "swingroom/report/boat_facts.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <map>
#include <sstream>

namespace swingroom {
namespace {

using testing::HasSubstr;
using testing::StartsWith;
using Facts = std::map<std::string, std::string>;

constexpr const char* shortest = R"([hull]
length = 10
draught = 1.5
bow_roller = 1.2
[rode]
chain = 20
chain_diameter = 8 mm
[anchor]
type = fluke
mass = 15 kg
)";

Facts facts(const std::string& text, double current_kn = 0) {
    std::istringstream in(text);
    const auto list = boat_assumptions(read_boat(in, "sample.ini"), {{0, 1}, 15, current_kn});
    Facts map;
    for (const Fact& fact : list) {
        EXPECT_EQ(fact.kind, Fact::Kind::assumed) << fact.name;
        map.emplace(fact_name(fact), fact_value(fact));
    }
    EXPECT_EQ(map.size(), list.size()) << "each name once";
    return map;
}

TEST(BoatFacts, TellHowSurelyTheSounderIsReadWhereTheFileDoesNot) {
    std::istringstream in(std::string(shortest) + "[policy]\nlevel_error = 0.2\n");
    Facts all;
    for (const Fact& fact : sounder_assumptions(read_boat(in, "sample.ini"))) {
        all.emplace(fact_name(fact), fact_value(fact));
    }
    EXPECT_EQ(all, (Facts{{"assumed sounder.error", "0.30 m"},
                          {"assumed sounder.to_roller", "10.00 m, her length"}}));
}

TEST(BoatFacts, TellEveryDefaultOfThePolicy) {
    const Facts all = facts(shortest);
    const Facts expected = {{"policy.scope", "5.00"},
                            {"policy.short_scope", "3.00"},
                            {"policy.pull_angle", "0.0 degrees"},
                            {"policy.under_keel", "0.50 m"},
                            {"policy.wave_height", "0.00 m"},
                            {"policy.position_allowance", "5.00 m"},
                            {"policy.set_distance", "5.00 m"},
                            {"policy.max_slope", "no limit"},
                            {"windlass.rated_pull", "no limit"},
                            {"crew.recovery_depth", "no limit"},
                            {"rode.mark", "5.00 m"}};
    for (const auto& [name, value] : expected) {
        EXPECT_EQ(all.at("assumed " + name), value) << name;
    }
    EXPECT_EQ(all.at("assumed rode.chain_mass"), "1.40 kg/m, from the table of DIN 766");
}

TEST(BoatFacts, TellInWhoseTableTheChainWasLookedUp) {
    std::string by_iso = shortest;
    by_iso.replace(by_iso.find("[anchor]"), 0, "chain_standard = iso_4565\n");
    EXPECT_THAT(facts(by_iso).at("assumed rode.chain_mass"), HasSubstr("kg/m, from the table of ISO 4565"));
}

TEST(BoatFacts, AreSilentOfWhatTheFileSays) {
    const Facts all = facts(std::string(shortest) + "holding.sand = 9 kN\n[policy]\nscope = 6\n");
    EXPECT_EQ(all.count("assumed policy.scope"), 0U);
    EXPECT_EQ(all.count("assumed anchor.holding.sand"), 0U);
    EXPECT_EQ(all.at("assumed policy.short_scope"), "3.00");
}

TEST(BoatFacts, TellWhereLoadsComeFrom) {
    const std::string beside_length = "length = 10\n";
    const auto with_hull = [&](const std::string& line) {
        std::string text = shortest;
        return text.insert(text.find(beside_length), line);
    };
    EXPECT_THAT(facts(shortest).at("assumed loads"), StartsWith("small-craft table by length, gusts"));
    EXPECT_EQ(facts(shortest).count("assumed policy.gust"), 0U) << "no gusts are added to the table";
    EXPECT_THAT(facts(with_hull("beam = 3\n")).at("assumed loads"), HasSubstr("length and beam"));
    const Facts windage = facts(with_hull("windage_area = 9\n"));
    EXPECT_EQ(windage.at("assumed loads"), "drag on the windage area, gusts 1.40 times the mean wind");
    EXPECT_EQ(windage.at("assumed policy.gust"), "1.40");
    EXPECT_THAT(facts(std::string(shortest) + "[load]\n20 = 900 N\n").at("assumed loads"),
                HasSubstr("own table"));
    EXPECT_EQ(facts(shortest).count("assumed hull.wetted_area"), 0U);
    EXPECT_THAT(facts(shortest, 1).at("assumed hull.wetted_area"), StartsWith("estimated"));
}

TEST(BoatFacts, TellWhatOfTheRopeIsEstimated) {
    std::string text = shortest;
    text.insert(text.find("[anchor]"), "rope = 30\nrope_diameter = 14 mm\nrope_mass = 0.1\n");
    const Facts all = facts(text);
    EXPECT_EQ(all.count("assumed rode.rope_mass"), 0U);
    EXPECT_EQ(all.at("assumed rode.rope_make"), "laid");
    EXPECT_EQ(all.at("assumed rode.rope_stiffness"),
              "56640 N, estimated from diameter and make; for the angle 113280 N, that of braided rope");
}

TEST(BoatFacts, TellTheOriginOfEachHolding) {
    const Facts law = facts(shortest);
    EXPECT_THAT(law.at("assumed anchor.holding.sand"), HasSubstr(" N, published law"));
    EXPECT_THAT(law.at("assumed anchor.holding.weed"), HasSubstr("published law for sand, soil factor 0.33"));
    EXPECT_THAT(law.at("assumed anchor.holding.rock"), StartsWith("0 N, holds nothing"));
    EXPECT_THAT(law.at("assumed anchor.holding.unknown"), HasSubstr("the least that is known"));
    std::string text = shortest;
    text.replace(text.find("fluke"), 5, "claw");
    EXPECT_EQ(facts(text).at("assumed anchor.holding.sand"), "not known");
    EXPECT_EQ(facts(text + "holding.sand = 9 kN\n").at("assumed anchor.holding.mud"),
              "2970 N, carried from the boat file's own numbers by soil factors, never upwards");
}

} // namespace
} // namespace swingroom
