#include "swingroom/base/error.hpp"
#include "swingroom/boat/boat.hpp"
#include "swingroom/boat/gear.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <optional>
#include <random>
#include <sstream>
#include <string>

namespace swingroom {
namespace {

using testing::AllOf;
using testing::HasSubstr;

constexpr const char* good = R"(# a yacht
[hull]
name = Sample
length = 38 ft
draught = 1.9 m
bow_roller = 120 cm
beam = 3.8

[rode]
chain = 30 m          # galvanised
chain_diameter = 8 mm
rope = 40 m
rope_diameter = 14 mm

[anchor]
type = fluke
mass = 35 lb
holding.mud = 2 kN

[sinker]
mass = 12 kg
at = 1.5 spans

[windlass]
rated_pull = 100 kgf
[crew]
recovery_depth = 10
[policy]
scope = 6
pull_angle = 4 deg
)";

Boat read(const std::string& text) {
    std::istringstream in(text);
    return read_boat(in, "sample.ini");
}

/// The good file with one piece of text replaced.
std::string with(const std::string& old_text, const std::string& new_text) {
    std::string text = good;
    const auto at = text.find(old_text);
    EXPECT_NE(at, std::string::npos) << old_text;
    return text.replace(at, old_text.size(), new_text);
}

std::string message(const std::string& text) {
    try {
        read(text);
    } catch (const InputError& error) {
        return error.what();
    }
    return "no error";
}

TEST(BoatFile, ReadsHowDeepTheTransducerIsAndTakesNothingForIt) {
    EXPECT_EQ(read(good).sounder.transducer_m, std::nullopt);
    const std::string sounder = "[sounder]\ntransducer = ";
    // The foot is 0.3048 m (agreement on yard and pound, 1959).
    EXPECT_NEAR(read(good + sounder + "2 ft\n").sounder.transducer_m.value(), 0.6096, 1e-12);
    EXPECT_EQ(read(good + sounder + "0\n").sounder.transducer_m, 0.0);
    EXPECT_THAT(message(good + sounder + "11 m\n"), HasSubstr("[sounder] transducer"));
    EXPECT_THAT(message(good + sounder + "-0.5\n"), HasSubstr("[sounder] transducer"));
}

TEST(BoatFile, ReadsUnitsDefaultsAndWhatFollowsFromThem) {
    const Boat boat = read(good);
    EXPECT_EQ(boat.name, "Sample");
    EXPECT_NEAR(boat.hull.length_m, 38 * 0.3048, 1e-12);
    EXPECT_DOUBLE_EQ(boat.hull.bow_roller_m, 1.2);
    EXPECT_DOUBLE_EQ(boat.rode.chain_kg_per_m, 1.40);
    EXPECT_DOUBLE_EQ(boat.rode.rope_stiffness_n, nylon_stiffness_n(14, RopeMake::laid));
    EXPECT_DOUBLE_EQ(boat.rode.rope_stiffest_n, nylon_stiffness_n(14, RopeMake::braided))
        << "nobody said that it is laid";
    EXPECT_DOUBLE_EQ(boat.rode.mark_m, 5);
    EXPECT_EQ(boat.rode.mark_unit, LengthUnit::metre);
    EXPECT_NEAR(boat.anchor.mass_kg, 15.8757, 1e-4);
    EXPECT_EQ(boat.anchor.holding_n[static_cast<std::size_t>(Seabed::mud)], 2000);
    ASSERT_TRUE(boat.sinker);
    EXPECT_EQ(boat.sinker->at, Sinker::At::spans);
    EXPECT_DOUBLE_EQ(boat.sinker->at_value, 1.5);
    EXPECT_NEAR(boat.windlass_rated_pull_n, 980.665, 1e-9);
    EXPECT_DOUBLE_EQ(boat.policy.scope, 6);
    EXPECT_DOUBLE_EQ(boat.policy.short_scope, 3);
    EXPECT_DOUBLE_EQ(boat.policy.pull_angle_deg, 4);
    EXPECT_FALSE(boat.policy.max_slope);
    EXPECT_EQ(boat.as_read.size(), 18U);
    EXPECT_EQ(boat.as_read.front(), (std::pair<std::string, std::string>("hull.name", "Sample")));
}

// By definition a foot is 0.3048 m, a fathom 6 ft, a pound 0.45359237 kg (agreement on yard and pound, 1959),
// and a pound of force that under 9.80665 m/s2.
TEST(BoatFile, EveryLengthMassAndForceMayBeInFeetFathomsAndPounds) {
    const Boat boat = read(R"([hull]
length = 36 ft
draught = 1 fm
bow_roller = 4 ft
beam = 12ft
air_draught = 50 ft
windage_area = 100 ft2
wetted_area = 200 ft²
tender = 9 ft
[rode]
chain = 20 fm
chain_mass = 1 lb/ft
rope = 100 ft
rope_mass = 0.1 lb/ft
rope_stiffness = 20000 lbf
mark = 5 fm
[anchor]
type = plough
mass = 45 lb
holding.sand = 2000 lbf
[sinker]
mass = 40 lb
at = 20 ft
line = 5 fm
[crew]
recovery_depth = 5 fm
[policy]
under_keel = 2 ft
under_keel_under_way = 1 ft
wave_height = 1 ft
position_allowance = 10 ft
set_distance = 0.01 nm
)");
    EXPECT_NEAR(boat.hull.length_m, 36 * 0.3048, 1e-12);
    EXPECT_NEAR(boat.hull.draught_m, 1.8288, 1e-12);
    EXPECT_NEAR(boat.hull.bow_roller_m, 1.2192, 1e-12);
    EXPECT_NEAR(boat.hull.beam_m, 3.6576, 1e-12);
    EXPECT_NEAR(boat.hull.air_draught_m, 15.24, 1e-12);
    EXPECT_NEAR(boat.hull.windage_area_m2, 9.290304, 1e-12);
    EXPECT_NEAR(boat.hull.wetted_area_m2, 18.580608, 1e-12);
    EXPECT_NEAR(boat.hull.tender_length_m, 2.7432, 1e-12);
    EXPECT_NEAR(boat.rode.chain_m, 36.576, 1e-12);
    EXPECT_NEAR(boat.rode.chain_kg_per_m, 1.488163943569554, 1e-12);
    EXPECT_NEAR(boat.rode.rope_m, 30.48, 1e-12);
    EXPECT_NEAR(boat.rode.rope_kg_per_m, 0.1488163943569554, 1e-12);
    EXPECT_NEAR(boat.rode.rope_stiffness_n, 20000 * 4.4482216152605, 1e-6);
    EXPECT_EQ(boat.rode.rope_stiffest_n, boat.rode.rope_stiffness_n);
    EXPECT_NEAR(boat.rode.mark_m, 9.144, 1e-12);
    EXPECT_EQ(boat.rode.mark_unit, LengthUnit::fathom);
    EXPECT_NEAR(boat.anchor.mass_kg, 45 * 0.45359237, 1e-12);
    EXPECT_NEAR(boat.sinker->mass_kg, 40 * 0.45359237, 1e-12);
    EXPECT_NEAR(boat.sinker->at_value, 6.096, 1e-12);
    EXPECT_NEAR(boat.sinker->line_m, 9.144, 1e-12);
    EXPECT_NEAR(boat.recovery_depth_m, 9.144, 1e-12);
    EXPECT_NEAR(boat.policy.under_keel_m, 0.6096, 1e-12);
    EXPECT_NEAR(boat.required_under_way_m(), 1.8288 + 0.3048, 1e-12) << "waves are not added";
    EXPECT_EQ(read(good).required_under_way_m(), read(good).required_depth_m()) << "not given: as at anchor";
    EXPECT_NEAR(boat.policy.wave_height_m, 0.3048, 1e-12);
    EXPECT_NEAR(boat.policy.position_allowance_m, 3.048, 1e-12);
    EXPECT_NEAR(boat.policy.set_distance_m, 18.52, 1e-12);
    EXPECT_NEAR(read(with("chain_diameter = 8 mm", "chain_mass = 1.4 kg/m")).rode.chain_kg_per_m, 1.4, 1e-12);
}

TEST(BoatFile, TakesItsNameFromTheFileWhereNoneIsGiven) {
    EXPECT_EQ(read(with("name = Sample\n", "")).name, "sample");
    EXPECT_EQ(read("\xEF\xBB\xBF" + std::string(good)).name, "Sample")
        << "a byte order mark is no part of it";
}

TEST(BoatFile, NamesTheFileTheKeyAndTheCure) {
    EXPECT_THAT(
        message(with("draught = 1.9 m", "draft = 1.9 m")),
        AllOf(HasSubstr("sample.ini"), HasSubstr("[hull] draft"), HasSubstr("did you mean [hull] draught?")));
    EXPECT_THAT(message(with("draught = 1.9 m\n", "")),
                AllOf(HasSubstr("[hull] draught"), HasSubstr("is missing")));
    EXPECT_THAT(message(with("draught = 1.9 m", "draught = 1.9 kg")),
                AllOf(HasSubstr("[hull] draught"), HasSubstr("unknown unit")));
    EXPECT_THAT(message(with("draught = 1.9 m", "draught = -1.9 m")),
                AllOf(HasSubstr("[hull] draught"), HasSubstr("-1.9 m is not possible")));
    EXPECT_THAT(message(with("draught = 1.9 m", "draught = 1,9 m")),
                AllOf(HasSubstr("[hull] draught"), HasSubstr("decimals have a point")));
    EXPECT_THAT(message(with("draught = 1.9 m", "draught = 1.9 m\ndraught = 2 m")), HasSubstr("given twice"));
    EXPECT_THAT(message(with("draught = 1.9 m", "draught =")), HasSubstr("has no value"));
}

TEST(BoatFile, RefusesWhatIsDoubtful) {
    const std::pair<std::string, std::string> wrong[] = {
        {with("chain_diameter = 8 mm", "chain_diameter = 8"), "[rode] chain_diameter"},
        {with("chain_diameter = 8 mm", "chain_diameter = 9.5 mm"), "give chain_mass"},
        {with("chain_diameter = 8 mm", "chain_diameter = 8 mm\nchain_mass = 1.4"), "leave one"},
        {with("rope_diameter = 14 mm", ""), "rope_diameter"},
        {with("rope = 40 m", ""), "rope_diameter"},
        {with("rope = 40 m", "rope = 40 m\nmark = 200 m"), "[rode] mark"},
        {with("type = fluke", "type = grapple"), "fluke, plough, claw"},
        {with("type = fluke\nmass = 35 lb\nholding.mud = 2 kN", "type = claw\nmass = 35 lb"),
         "give holding.<seabed>"},
        {with("holding.mud", "holding.mudd"), "seabeds are unknown, clay"},
        {with("at = 1.5 spans", "at = best"), "give line"},
        {with("at = 1.5 spans", "at = 20 m\nline = 10 m"), "farther down than line"},
        {with("at = 1.5 spans", "at = 2 parsecs"), "[sinker] at"},
        {with("scope = 6", "scope = 6\nshort_scope = 7"), "more than scope"},
        {with("scope = 6", "scope = 0.5"), "[policy] scope"},
        {with("pull_angle = 4 deg", "pull_angle = 45 deg"), "[policy] pull_angle"},
        {with("beam = 3.8", "beam = 13"), "[hull] beam"},
        {with("beam = 3.8", "beam = 8"), "give windage_area"},
        {with("[crew]", "[load]\n10 kn = 900 N\n20 kn = 800 N\n[crew]"), "does not grow"},
        {with("[hull]", "[hull"), "sample.ini"},
        {"", "no keys"},
    };
    for (const auto& [text, part] : wrong) {
        EXPECT_THAT(message(text), HasSubstr(part));
    }
}

TEST(BoatFile, RefusesNewtonsWhereKilonewtonsWereMeant) {
    EXPECT_THAT(message(with("holding.mud = 2 kN", "holding.sand = 9")),
                AllOf(HasSubstr("[anchor] holding.sand"), HasSubstr("did you mean 9 kN?")));
    EXPECT_EQ(message(with("holding.mud = 2 kN", "holding.mud = 0")), "no error") << "a word, not a slip";
    EXPECT_EQ(message(with("holding.mud = 2 kN", "holding.mud = 52 N")), "no error") << "35 lb weigh 156 N";
    EXPECT_THAT(message(with("holding.mud = 2 kN", "holding.mud = 51 N")), HasSubstr("own weight"));
}

TEST(BoatFile, SaysDiametersAndForcesInUnitsThatAreReadable) {
    EXPECT_THAT(message(with("chain_diameter = 8 mm", "chain_diameter = 10")),
                AllOf(HasSubstr("\"10\" is not possible"), HasSubstr("give 3 mm to 40 mm")));
    EXPECT_THAT(message(with("rope_diameter = 14 mm", "rope_diameter = 14")), HasSubstr("4 mm to 80 mm"));
    EXPECT_THAT(message(with("rated_pull = 100 kgf", "rated_pull = 1 N")),
                HasSubstr("give 10 N to 10000 kN"));
    EXPECT_THAT(message(with("draught = 1.9 m", "draught = 19000 km")), HasSubstr("19000000 m is not"));
}

TEST(BoatFile, KnowsWhereAMisplacedKeyBelongs) {
    EXPECT_THAT(message(with("type = fluke", "type = fluke\ntender = 3 m")),
                AllOf(HasSubstr("[anchor] tender"), HasSubstr("did you mean [hull] tender?")));
    EXPECT_THAT(message(with("pull_angle", "pull-angle")), HasSubstr("did you mean [policy] pull_angle?"));
}

TEST(BoatFile, RefusesSectionsThatItDoesNotKnowAlsoWhenEmpty) {
    EXPECT_THAT(
        message(with("[crew]", "[foo]\n[crew]")),
        AllOf(HasSubstr("sample.ini:26: "), HasSubstr("[foo] is no section"), HasSubstr("[windlass]")));
    EXPECT_THAT(message(with("[crew]", "[Crew]")), HasSubstr("did you mean [crew]?"));
    EXPECT_EQ(message(with("[crew]", "[load]\n[crew]")), "no error");
    EXPECT_EQ(message(with("[sinker]", "[anchor.holding]\nsand = 9 kN\n[sinker]")), "no error");
}

TEST(BoatFile, NamesTheLineThatIsNone) {
    EXPECT_THAT(message(with("beam = 3.8", "beam 3.8")),
                AllOf(HasSubstr("sample.ini:7: "), HasSubstr("\"beam 3.8\" has no =")));
    EXPECT_THAT(message(with("[rode]", "[rode")), HasSubstr("sample.ini:9: \"[rode\""));
    EXPECT_THAT(message(with("[rode]", "[]")), HasSubstr("sample.ini:9: "));
    EXPECT_THAT(message(with("beam = 3.8", "= 3.8")), HasSubstr("sample.ini:7: "));
}

TEST(BoatFile, TellsThatRockDoesNotCountForRope) {
    EXPECT_THAT(message(with("type = fluke\nmass = 35 lb\nholding.mud = 2 kN",
                             "type = claw\nmass = 35 lb\nholding.rock = 9 kN")),
                HasSubstr("rock and coral do not count"));
}

TEST(BoatFile, ReadsTheUsersOwnLoads) {
    const Boat boat = read(with("[crew]", "[load]\n30 = 2.5 kN\n10 kn = 400 N\n[crew]"));
    ASSERT_EQ(boat.load_table.size(), 2U);
    EXPECT_EQ(boat.load_table[0], (std::pair<double, double>(10, 400)));
    EXPECT_EQ(boat.load_table[1], (std::pair<double, double>(30, 2500)));
}

TEST(BoatFile, EveryMessageIsOneLine) {
    for (std::size_t cut = 1; cut < std::string(good).size(); cut += 7) {
        // Any piece of a file is read, or refused in one line; nothing else.
        const std::string text = message(std::string(good).substr(0, cut));
        EXPECT_EQ(text.find('\n'), std::string::npos) << text;
    }
}

TEST(BoatFile, OfAnyBytesIsRefusedInOneLineWithoutControlCharacters) {
    std::mt19937 random(5);
    for (int i = 0; i < 300; ++i) {
        std::string bytes = i % 2 == 0 ? "[hull]\n" : std::string(good);
        for (int k = 0; k < 40; ++k) {
            bytes.insert(bytes.begin() + static_cast<std::ptrdiff_t>(random() % bytes.size()),
                         static_cast<char>(random()));
        }
        for (const char c : message(bytes)) {
            ASSERT_FALSE(static_cast<unsigned char>(c) < 0x20) << message(bytes);
        }
    }
}

TEST(BoatFile, MayHaveLineEndsOfWindows) {
    std::string text;
    for (const char* c = good; *c != 0; ++c) {
        text += *c == '\n' ? std::string("\r\n") : std::string(1, *c);
    }
    EXPECT_EQ(read(text).as_read, read(good).as_read);
}

TEST(BoatFile, ThatCannotBeOpenedIsNamed) {
    const auto refused = [](const std::string& path) -> std::string {
        try {
            read_boat_file(path);
        } catch (const InputError& error) {
            return error.what();
        }
        return "no error";
    };
    EXPECT_THAT(refused("/nowhere/boat.ini"),
                AllOf(HasSubstr("/nowhere/boat.ini: "), HasSubstr("no such file")));
    EXPECT_THAT(refused("/"), HasSubstr("is a folder"));
}

} // namespace
} // namespace swingroom
