// The table of a boat file's keys, and what is made from it: a template that is refused while it is empty,
// and taken once what stands open is filled in.

#include "swingroom/base/input_errors.hpp"
#include "swingroom/boat/boat.hpp"

#include "base/text.hpp"
#include "boat/boat_keys.hpp"
#include "boat/boat_template.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <optional>
#include <set>
#include <sstream>
#include <string>
#include <vector>

namespace swingroom {
namespace {

using testing::HasSubstr;
using testing::StartsWith;

Boat read(const std::string& text) {
    std::istringstream in(text);
    return read_boat(in, "new.ini");
}

/// All that is refused of a text; empty where it is taken.
std::vector<std::string> faults_of(const std::string& text) {
    std::vector<std::string> lines;
    try {
        read(text);
    } catch (const InputErrors& errors) {
        for (const Message& line : errors.lines()) {
            lines.push_back(line.text());
        }
    } catch (const InputError& error) {
        lines.push_back(error.message().text());
    }
    return lines;
}

std::string example_of(std::string_view section, std::string_view name) {
    for (const BoatKey& key : boat_keys()) {
        if (key.section() == section && key.name() == name) return std::string(key.example);
    }
    return {};
}

/// What a stranger does: writes a value behind each = that stands open.
std::string filled_in() {
    std::string text, section;
    for (std::string line : split(boat_template(), '\n')) {
        if (line.starts_with('[')) section = line.substr(1, line.find(']') - 1);
        const std::size_t equals = line.find('=');
        if (!line.starts_with('#') && equals != std::string::npos) {
            line.insert(equals + 1, " " + example_of(section, trimmed(line.substr(0, equals))) + " ");
        }
        text += line + '\n';
    }
    return text;
}

TEST(BoatTemplate, IsRefusedAsItIsAndNamesAllThatStandsOpen) {
    const std::vector<std::string> faults = faults_of(boat_template());
    std::size_t open = 0;
    for (const BoatKey& key : boat_keys()) {
        if (key.need != BoatNeed::always && key.need != BoatNeed::unless_replaced) continue;
        ++open;
        EXPECT_THAT(faults, testing::Contains(StartsWith(shown_key(key.key) + ": has no value; ")));
    }
    EXPECT_EQ(faults.size(), open) << "and nothing besides";
}

TEST(BoatTemplate, IsTakenOnceThatIsFilledIn) {
    EXPECT_THAT(faults_of(filled_in()), testing::IsEmpty());
    const Boat boat = read(filled_in());
    EXPECT_EQ(boat.hull.draught_m, 2.1);
    EXPECT_EQ(boat.name, "new");
    EXPECT_FALSE(boat.sinker);
}

TEST(BoatTemplate, FitsAScreen) {
    for (const std::string& line : split(boat_template(), '\n')) {
        EXPECT_LE(line.size(), 80U) << line;
        EXPECT_FALSE(line.ends_with(' ')) << line;
    }
}

/// The filled-in template with another line behind the head of its section.
std::string with_line(const BoatKey& key, const std::string& name, const std::string& value) {
    std::string text = filled_in();
    const std::string head = "[" + std::string(key.section()) + "]\n";
    return text.insert(text.find(head) + head.size(), name + " = " + value + "\n");
}

// What else a line needs beside it.
std::string company_of(const BoatKey& key, std::string text) {
    if (key.key == "rode.chain_mass") text = replaced(text, "chain_diameter = 10 mm", "#");
    if (key.section() == "sinker" && key.name() != "mass")
        text = replaced(text, "[sinker]\n", "[sinker]\nmass = 20 kg\n");
    if (key.key == "rode.rope") text = replaced(text, "[rode]\n", "[rode]\nrope_diameter = 14 mm\n");
    if (key.key == "rode.rope_diameter") text = replaced(text, "[rode]\n", "[rode]\nrope = 40 m\n");
    if (key.key.starts_with("rode.rope"))
        text = replaced(text, "[anchor]\n", "[anchor]\nholding.sand = 14 kN\n");
    return text;
}

TEST(BoatKeys, AreTakenByTheReaderWithTheirExamplesAndTheirPresets) {
    for (const BoatKey& key : boat_keys()) {
        if (key.need == BoatNeed::always || key.need == BoatNeed::unless_replaced) continue;
        SCOPED_TRACE(key.key);
        const std::string name = key.name() == "WIND"             ? "15 kn"
                                 : key.name() == "holding.SEABED" ? "holding.sand"
                                                                  : std::string(key.name());
        EXPECT_THAT(faults_of(company_of(key, with_line(key, name, std::string(key.example)))),
                    testing::IsEmpty());
        if (key.preset.empty() || key.key == "rode.rope") continue; // no rope needs no diameter
        const Boat told = read(company_of(key, with_line(key, name, std::string(key.preset))));
        const Boat untold = read(company_of(key, filled_in()));
        EXPECT_EQ(told.policy.scope, untold.policy.scope);
        EXPECT_EQ(told.policy.gust, untold.policy.gust);
        EXPECT_EQ(told.rode.mark_m, untold.rode.mark_m);
    }
}

// What the header tells users of the library.
TEST(BoatKeys, PresetWhatTheLibraryDoes) {
    const Boat boat = read(filled_in());
    const Policy policy;
    EXPECT_EQ(boat.policy.scope, policy.scope);
    EXPECT_EQ(boat.policy.short_scope, policy.short_scope);
    EXPECT_EQ(boat.policy.pull_angle_deg, policy.pull_angle_deg);
    EXPECT_EQ(boat.policy.under_keel_m, policy.under_keel_m);
    EXPECT_EQ(boat.policy.wave_height_m, policy.wave_height_m);
    EXPECT_EQ(boat.policy.gust, policy.gust);
    EXPECT_EQ(boat.policy.position_allowance_m, policy.position_allowance_m);
    EXPECT_EQ(boat.policy.set_distance_m, policy.set_distance_m);
    EXPECT_EQ(boat.policy.level_error_m, policy.level_error_m);
    EXPECT_EQ(boat.policy.max_slope, policy.max_slope);
    EXPECT_EQ(boat.rode.mark_m, Rode().mark_m);
    EXPECT_EQ(boat.sounder.error_m, Sounder().error_m);
    EXPECT_EQ(boat.sounder.to_roller_m, Sounder().to_roller_m);
    EXPECT_EQ(boat.sounder.transducer_m, std::nullopt) << "0 would be a sounder that shows the water's depth";
    EXPECT_EQ(boat.hull.drag_coefficient, Hull().drag_coefficient);
}

TEST(BoatKeys, StandByTheirSectionsEachOnce) {
    std::set<std::string_view> keys, sections;
    std::string_view last;
    for (const BoatKey& key : boat_keys()) {
        EXPECT_TRUE(keys.insert(key.key).second) << key.key;
        if (key.section() != last) {
            EXPECT_TRUE(sections.insert(key.section()).second) << key.key;
        }
        last = key.section();
        EXPECT_FALSE(key.meaning.empty() || key.example.empty()) << key.key;
        EXPECT_TRUE(key.preset.empty() || key.otherwise.empty()) << key.key;
        EXPECT_EQ(boat_key(key.key.ends_with("SEABED") ? "anchor.holding.mud" : key.key), &key);
    }
    EXPECT_EQ(boat_key("anchor.holding.cheese"), nullptr);
    EXPECT_EQ(boat_key("anchor.holding.SEABED"), nullptr) << "what stands for any of its kind is none";
    EXPECT_EQ(boat_key("hull.lenght"), nullptr);
}

TEST(BoatFile, TellsAllThatIsWrongWithItAtOnce) {
    const std::vector<std::string> faults = faults_of(R"([hull]
length = 11,5 m
draft = 1.8 m
[rode]
chain = 40 m
chain_diameter = 8
[anchor]
type = plouhg
[snubber]
length = 3 m
)");
    EXPECT_THAT(
        faults,
        testing::UnorderedElementsAre(
            StartsWith("[hull] length: \"11,5 m\" is not a number; decimals have a point"),
            testing::AllOf(StartsWith("[hull] draft: is no key of a boat file; did you mean [hull] "
                                      "draught? "),
                           HasSubstr("[hull] takes name, kind, length, draught, ")),
            StartsWith("[hull] bow_roller: is missing; add bow_roller = LENGTH, as 1.4 m: height of "
                       "the bow roller above water"),
            StartsWith("[rode] chain_diameter: \"8\" is not possible; give 3 mm to 40 mm"),
            StartsWith("[anchor] type: \"plouhg\" is not known; did you mean plough? give one of fluke, "),
            StartsWith("[anchor] mass: is missing; add mass = MASS, as 33 kg: "),
            StartsWith("line 9: [snubber] is no section of a boat file; give one of [hull], ")));
}

TEST(BoatFile, AsksAtOnceForWhatDependsOnWhatIsMissing) {
    const std::vector<std::string> faults =
        faults_of("[hull]\nname = bare\n[rode]\nrope = 40 m\n[sinker]\nat = best\n");
    for (const char* key :
         {"[hull] length", "[hull] draught", "[hull] bow_roller", "[rode] chain", "[rode] chain_diameter",
          "[rode] rope_diameter", "[anchor] type", "[anchor] mass", "[sinker] mass", "[sinker] at"}) {
        EXPECT_THAT(faults, testing::Contains(StartsWith(std::string(key) + ": "))) << key;
    }
    EXPECT_EQ(faults.size(), 10U);
}

} // namespace
} // namespace swingroom
