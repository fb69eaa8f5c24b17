#include "swingroom/base/error.hpp"
#include "swingroom/sea/hazards.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <sstream>

namespace swingroom {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;

std::vector<HazardRule> read(const std::string& text) {
    std::istringstream in(text);
    return read_hazard_rules(in, "my.rules");
}

std::string complaint(const std::string& text) {
    try {
        read(text);
    } catch (const InputError& error) {
        return error.what();
    }
    return "accepted";
}

TEST(HazardRules, ReadsEveryKey) {
    const auto rules = read("\xEF\xBB\xBF# ours\r\n"
                            "[power cable]\r\n"
                            "layers = cables, Power Cable* , x?\r\n"
                            "where = kind = 'power' AND name <> 'a=b' # the live ones\r\n"
                            "may_lack = kind, name\r\n"
                            "effects = ground, trip_line\r\n"
                            "margin = 0.25 nm\r\n"
                            "restriction = yes\r\n"
                            "source = by hand\r\n"
                            "\r\n"
                            "[mud]\n"
                            "layers=seabed\n"
                            "margin=0\n"
                            "seabed=mud\n"
                            "[inert]\nlayers = marks\neffects = none");
    ASSERT_EQ(rules.size(), 3u);
    EXPECT_EQ(rules[0].name, "power cable");
    EXPECT_THAT(rules[0].layers, ElementsAre("cables", "Power Cable*", "x?"));
    EXPECT_EQ(rules[0].where, "kind = 'power' AND name <> 'a=b'");
    EXPECT_THAT(rules[0].may_lack, ElementsAre("kind", "name"));
    EXPECT_EQ(rules[0].effects, effect::ground | effect::trip_line);
    EXPECT_DOUBLE_EQ(rules[0].margin_m, 463);
    EXPECT_EQ(rules[0].source, "by hand");
    EXPECT_EQ(rules[0].line, 2);
    EXPECT_FALSE(rules[0].seabed);
    EXPECT_TRUE(rules[0].restriction);
    EXPECT_FALSE(rules[1].restriction) << "where it is not said";
    EXPECT_EQ(rules[1].seabed, Seabed::mud);
    EXPECT_EQ(rules[1].effects, 0);
    EXPECT_EQ(rules[1].line, 11);
    EXPECT_EQ(rules[2].effects, 0);
}

TEST(HazardRules, ReadsKindsOfGeometryAndWhatIsSaidOfTheGround) {
    const auto rules =
        read("[p]\nlayers = SBDARE\ngeometry = point\neffects = poor_ground note\nmargin = 250 m\n"
             "[l]\nlayers = x\ngeometry = line\neffects = warn\nmargin = 0\n"
             "[a]\nlayers = x\ngeometry = area\neffects = warn\nmargin = 0\n"
             "[any]\nlayers = x\nwords = shoal*, foul\neffects = warn\nmargin = 0\n"
             "[all]\nlayers = *\nwords = foul\neffects = warn\nmargin = 0\n");
    ASSERT_EQ(rules.size(), 5u);
    EXPECT_THAT(rules[3].words, ElementsAre("shoal*", "foul"));
    EXPECT_FALSE(rules[3].of_every_layer());
    EXPECT_TRUE(rules[4].of_every_layer());
    EXPECT_EQ(rules[0].geometry, RuleGeometry::point);
    EXPECT_EQ(rules[0].effects, effect::poor_ground | effect::note);
    EXPECT_EQ(rules[1].geometry, RuleGeometry::line);
    EXPECT_EQ(rules[2].geometry, RuleGeometry::area);
    EXPECT_EQ(rules[3].geometry, RuleGeometry::any);
    EXPECT_EQ(complaint("[a]\nlayers = x\ngeometry = points\neffects = warn\nmargin = 0\n"),
              "my.rules:3: unknown geometry \"points\"; use point, line or area");
}

TEST(HazardRules, NamesFileLineAndCure) {
    const std::string good = "[cable]\nlayers = cables\neffects = ground\nmargin = 50 m\n";
    EXPECT_EQ(complaint(good), "accepted");
    EXPECT_EQ(complaint(good + "restriction = maybe\n"),
              "my.rules:5: restriction is \"maybe\"; write yes or no");
    EXPECT_EQ(complaint(good + "marign = 3\n"),
              "my.rules:5: unknown key \"marign\"; use layers, codes, "
              "geometry, words, where, may_lack, effects, margin, under_way, radius, "
              "least_depth, clearance, restriction, seabed or source");
    EXPECT_EQ(complaint("[a]\nlayers = x\neffects = hull\nmargin = 5 m\nunder_way = passes\n"), "accepted");
    EXPECT_EQ(complaint("[a]\nlayers = x\neffects = hull\nmargin = 5 m\nunder_way = 5 m\n"), "accepted");
    EXPECT_THAT(complaint("[a]\nlayers = x\neffects = hull\nmargin = 5 m\nunder_way = never\n"),
                HasSubstr("my.rules:5: under_way"));
    EXPECT_THAT(complaint("[a]\nlayers = x\neffects = hull\nmargin = 5 m\nunder_way = -1 m\n"),
                HasSubstr("my.rules:5: under_way is -1 m; give 0 m or more, or write passes"));
    EXPECT_THAT(complaint("[a]\nlayers = x\neffects = hull\nmargin = 5 m\nunder_way = 6 m\n"),
                HasSubstr("my.rules:1: the rule [a] keeps her farther off under way"));
    EXPECT_THAT(complaint(good + "under_way = 3 m\n"), HasSubstr("but has no effect on the hull"));
    EXPECT_THAT(complaint(good + "margin = 3\n"), HasSubstr("my.rules:5: \"margin\" is given twice"));
    EXPECT_THAT(complaint("[a]\nlayers = x\neffects = hull\nmargin = -50 m\n"),
                HasSubstr("my.rules:4: margin is -50 m"));
    EXPECT_THAT(complaint("[a]\nlayers = x\neffects = hull\nmargin = 5 yd\n"),
                HasSubstr("my.rules:4: margin"));
    EXPECT_THAT(complaint("[a]\nlayers = x\neffects = hull\nmargin = nan\n"),
                HasSubstr("my.rules:4: margin"));
    EXPECT_THAT(complaint("[a]\nlayers = x\neffects = hul\nmargin = 5\n"),
                HasSubstr("my.rules:3: unknown effect \"hul\""));
    EXPECT_THAT(complaint("[a]\nlayers = x\neffects = none hull\n"), HasSubstr("my.rules:3: \"none\""));
    EXPECT_THAT(complaint("[a]\nlayers = x\nseabed = cheese\n"),
                HasSubstr("my.rules:3: unknown seabed \"cheese\""));
    EXPECT_THAT(complaint("[a]\nlayers = x\neffects = hull\n"),
                HasSubstr("my.rules:1: the rule [a] has no margin"));
    EXPECT_THAT(complaint("[a]\nlayers = x\nmargin = 5\n"),
                HasSubstr("my.rules:1: the rule [a] has no effects"));
    EXPECT_THAT(complaint("[a]\neffects = hull\nmargin = 5\n"),
                HasSubstr("my.rules:1: the rule [a] names no layers"));
    EXPECT_THAT(complaint("[a]\nlayers = ,\n"), HasSubstr("my.rules:2: \"layers\" names none"));
    EXPECT_THAT(complaint("[a]\nlayers =\n"), HasSubstr("my.rules:2: \"layers\" has no value"));
    EXPECT_THAT(complaint(good + good),
                HasSubstr("my.rules:5: the rule [cable] is given twice, first on line 1"));
    EXPECT_THAT(complaint("layers = x\n"), HasSubstr("my.rules:1: \"layers\" stands before any rule"));
    EXPECT_THAT(complaint("[a\nlayers = x\n"), HasSubstr("my.rules:1: a section name must stand between"));
    EXPECT_THAT(complaint("[ ]\nlayers = x\n"), HasSubstr("my.rules:1: a rule has no name"));
    EXPECT_THAT(complaint("[a]\nlayers\n"), HasSubstr("my.rules:2: this line is no \"key = value\""));
    EXPECT_THAT(complaint("# nothing\n"), HasSubstr("my.rules: holds no rule"));
}

TEST(HazardRules, ReadsConditionsOnCodes) {
    using Wants = CodeCondition::Wants;
    const auto rules = read("[x]\nlayers = a\neffects = hull\nmargin = 0\nradius = RADIUS\n"
                            "codes = RESTRN 1 7, CATOBS not 6, CATREA none, DRVAL1 given, NATSUR unreadable\n"
                            "least_depth = VALSOU, DRVAL1\nclearance = VERCLR\n");
    const std::vector<CodeCondition>& codes = rules.at(0).codes;
    ASSERT_EQ(codes.size(), 5u);
    EXPECT_EQ(codes[0].attribute, "RESTRN");
    EXPECT_EQ(codes[0].wants, Wants::any_of);
    EXPECT_THAT(codes[0].codes, ElementsAre(1, 7));
    EXPECT_EQ(codes[1].wants, Wants::none_of);
    EXPECT_THAT(codes[1].codes, ElementsAre(6));
    EXPECT_EQ(codes[2].wants, Wants::absent);
    EXPECT_EQ(codes[3].wants, Wants::given);
    EXPECT_EQ(codes[4].wants, Wants::unreadable);
    EXPECT_EQ(rules[0].radius, "RADIUS");
    EXPECT_THAT(rules[0].least_depth, ElementsAre("VALSOU", "DRVAL1"));
    EXPECT_THAT(rules[0].clearance, ElementsAre("VERCLR"));
    for (const char* wrong : {"RESTRN", "RESTRN one", "RESTRN not", "RESTRN none 1", "RESTRN 1.5"}) {
        EXPECT_THAT(
            complaint("[x]\nlayers = a\neffects = hull\nmargin = 0\ncodes = " + std::string(wrong) + "\n"),
            HasSubstr("my.rules:5: \"" + std::string(wrong) + "\" is no condition on codes"));
    }
    EXPECT_THAT(
        complaint("[x]\nlayers = a\neffects = ground\nmargin = 0\nleast_depth = VALSOU\n"),
        HasSubstr("my.rules:1: the rule [x] has a least depth or a clearance, but no effect on the hull"));
}

TEST(HazardRules, AHashInsideQuotesIsRefusedNotCut) {
    EXPECT_THAT(complaint("[a]\nlayers = x\nwhere = name = 'No #4'\neffects = hull\nmargin = 0\n"),
                HasSubstr("my.rules:3: # begins a comment"));
}

TEST(HazardRules, AMissingFileIsNamed) {
    try {
        read_hazard_rules_file("no/such.rules");
        FAIL();
    } catch (const InputError& error) {
        EXPECT_STREQ(error.what(), "no/such.rules: no such file; give the path of an existing file");
    }
    EXPECT_THROW(read_hazard_rules_file("."), InputError);
}

TEST(DefaultHazardRules, CableMarginIsAQuarterOfANauticalMile_IhoResolution4Of1967_M3C310) {
    const auto rules = default_hazard_rules();
    const auto cable =
        std::find_if(rules.begin(), rules.end(), [](const HazardRule& r) { return r.name == "cable"; });
    ASSERT_NE(cable, rules.end());
    EXPECT_DOUBLE_EQ(cable->margin_m, 463);
    EXPECT_EQ(cable->effects, effect::ground);
    EXPECT_THAT(cable->source, HasSubstr("4/1967"));
}

TEST(DefaultHazardRules, EachSaysWhereItsMarginIsFrom) {
    for (const HazardRule& rule : default_hazard_rules()) {
        EXPECT_EQ(rule.source.empty(), rule.effects == 0 && !rule.seabed) << rule.name;
    }
}

TEST(DefaultHazardRules, TheTextReadsAsTheRules) {
    const auto rules = read(std::string(default_hazard_rules_text()));
    EXPECT_EQ(rules.size(), default_hazard_rules().size());
}

} // namespace
} // namespace swingroom
