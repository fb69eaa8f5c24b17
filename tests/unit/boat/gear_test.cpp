#include "swingroom/boat/gear.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace swingroom {
namespace {

constexpr double pi = 3.14159265358979323846;

// A link is a stadium of round steel: outer width 3.4 d, centre line 2((p + d) - (b - d)) + pi(b - d) with b
// the outer width, a link each pitch. Pitches of DIN 766; makers' masses agree with it within 4 %.
TEST(ChainMass, OfDin766AgreesWithTheGeometryOfItsLinksWithinFourPercent) {
    for (const auto& [d_mm, pitch_mm] : {std::pair(6.0, 18.5),
                                         {7.0, 22.0},
                                         {8.0, 24.0},
                                         {10.0, 28.0},
                                         {12.0, 36.0},
                                         {13.0, 36.0},
                                         {14.0, 41.0},
                                         {16.0, 45.0}}) {
        const double width_mm = 3.4 * d_mm;
        const double line_mm = 2 * ((pitch_mm + d_mm) - (width_mm - d_mm)) + pi * (width_mm - d_mm);
        const double geometry = line_mm * pi / 4 * d_mm * d_mm * 7850e-9 / (pitch_mm / 1000);
        ASSERT_TRUE(chain_kg_per_m(d_mm));
        EXPECT_NEAR(*chain_kg_per_m(d_mm) / geometry, 1, 0.041) << d_mm;
    }
}

// Makers' table of DIN 766 dimensions; a merchant's table with a column for ISO 4565.
TEST(ChainMass, ByTheStandards) {
    EXPECT_EQ(chain_kg_per_m(6), 0.80);
    EXPECT_EQ(chain_kg_per_m(8), 1.40);
    EXPECT_EQ(chain_kg_per_m(10), 2.20);
    EXPECT_EQ(chain_kg_per_m(10, ChainStandard::iso_4565), 2.25);
    EXPECT_EQ(chain_kg_per_m(12), 3.10);
    EXPECT_EQ(chain_kg_per_m(12, ChainStandard::iso_4565), 3.25);
    EXPECT_EQ(chain_kg_per_m(16), 5.70);
    EXPECT_FALSE(chain_kg_per_m(13, ChainStandard::iso_4565));
    EXPECT_FALSE(chain_kg_per_m(9.5));
}

// Densities from handbooks, sea water 1025 (Coastal Engineering Manual), g 9.80665 (3rd CGPM, 1901).
TEST(WeightInWater, OfChainRopeAndSinkers) {
    EXPECT_NEAR(in_water_n(2.20, 7850), 18.7576, 5e-5);
    EXPECT_NEAR(in_water_n(0.80, 7850), 6.8209, 5e-5);
    EXPECT_NEAR(in_water_n(5.70, 7850), 48.5991, 5e-5);
    EXPECT_NEAR(in_water_n(0.119, 1140), 0.117722812, 5e-10);
    EXPECT_NEAR(in_water_n(15, 7850), 127.892457803, 5e-9);
    EXPECT_NEAR(in_water_n(20, 7850), 170.5233, 5e-5);
    EXPECT_NEAR(in_water_n(15, 11340), 133.8037, 5e-5);
    EXPECT_NEAR(in_water_n(1, 7200) / gravity_m_per_s2, 0.857639, 5e-7);
    EXPECT_NEAR(in_water_n(1, 2400) / gravity_m_per_s2, 0.572917, 5e-7);
}

// ISO 1140:2012, polyamide, kg/m as remembered.
TEST(NylonMass, IsWithinAHundredAndAHalfthOfIso1140AsRemembered) {
    for (const auto& [d_mm, mass] : {std::pair(8.0, 0.040),
                                     {10.0, 0.062},
                                     {12.0, 0.089},
                                     {14.0, 0.122},
                                     {16.0, 0.158},
                                     {18.0, 0.200},
                                     {20.0, 0.245},
                                     {24.0, 0.355}}) {
        EXPECT_NEAR(nylon_kg_per_m(d_mm) / mass, 1, 0.014) << d_mm;
    }
}

// UFC 4-159-03 (3 October 2005), table 6-8, double braided nylon: AE 118.9, 159.3 and 184.1 kips for breaking
// loads of 33.6, 45 and 52 kips.
TEST(NylonStiffness, OfBraidIsAsInUfcTable6_8AndLaidRopeStretchesMore) {
    for (const auto& [ae, breaking] : {std::pair(118.9, 33.6), {159.3, 45.0}, {184.1, 52.0}}) {
        EXPECT_NEAR(ae / breaking, 3.54, 0.005);
    }
    EXPECT_NEAR(nylon_stiffness_n(14, RopeMake::braided), 3.54 * 32000, 1e-6);
    EXPECT_NEAR(2188 / nylon_stiffness_n(14, RopeMake::braided), 0.019, 0.0005);
    EXPECT_LT(nylon_stiffness_n(14, RopeMake::laid), nylon_stiffness_n(14, RopeMake::braided));
}

// The form of UFC 4-159-03, section 5-2, equation 26, needs no memory.
TEST(PublishedHolding, HasTheFormOfThePowerLaw) {
    const auto holding = [](double mass_kg, Seabed seabed) {
        return *published_holding_n(AnchorType::fluke, mass_kg, seabed);
    };
    EXPECT_NEAR(holding(50, Seabed::sand) / holding(25, Seabed::sand), 1.741101, 1e-6);
    EXPECT_NEAR(holding(50, Seabed::mud) / holding(25, Seabed::mud), 1.892115, 1e-6);
}

// Constants of tables 5-3 and 5-4 from memory: not seen in print for this.
TEST(PublishedHolding, WithConstantsFromMemory) {
    const auto n = [](AnchorType type, double mass_kg, Seabed seabed) {
        return *published_holding_n(type, mass_kg, seabed);
    };
    EXPECT_NEAR(n(AnchorType::fluke, 4536, Seabed::sand), 560476, 1);
    EXPECT_NEAR(n(AnchorType::fluke, 4536, Seabed::mud), 386995, 1);
    EXPECT_NEAR(n(AnchorType::stockless, 4536, Seabed::sand), 195722, 1);
    EXPECT_NEAR(n(AnchorType::stockless, 4536, Seabed::mud), 106757, 1);
    EXPECT_NEAR(n(AnchorType::fluke, 25, Seabed::sand), 8741, 1);
    EXPECT_NEAR(n(AnchorType::fluke, 16, Seabed::mud), 2145, 1);
    EXPECT_NEAR(n(AnchorType::stockless, 33, Seabed::sand), 3812, 1);
    EXPECT_NEAR(n(AnchorType::stockless, 10, Seabed::mud), 384, 1);
    for (const AnchorType type :
         {AnchorType::plough, AnchorType::claw, AnchorType::scoop, AnchorType::fisherman}) {
        EXPECT_FALSE(published_holding_n(type, 25, Seabed::sand));
    }
}

// Crenshaw, Naval Shiphandling, as quoted.
TEST(SoilFactor, AgainstFirmSand) {
    EXPECT_EQ(soil_factor(Seabed::clay), 1.5);
    EXPECT_EQ(soil_factor(Seabed::sand), 1);
    EXPECT_EQ(soil_factor(Seabed::mud), 0.33);
    EXPECT_EQ(soil_factor(Seabed::gravel), 0.33);
    EXPECT_EQ(soil_factor(Seabed::rock), 0);
    EXPECT_FALSE(soil_factor(Seabed::unknown));
}

constexpr std::size_t at(Seabed seabed) { return static_cast<std::size_t>(seabed); }

TEST(CompleteHolding, TheUsersNumberWinsAndIsNeverCarriedUpwards) {
    std::array<std::optional<double>, seabed_names.size()> own{};
    own[at(Seabed::sand)] = 6000;
    const auto holding = complete_holding(AnchorType::scoop, 25, own);
    EXPECT_EQ(holding[at(Seabed::sand)], 6000);
    EXPECT_EQ(holding[at(Seabed::clay)], 6000) << "clay may hold more; that is not ours to promise";
    EXPECT_DOUBLE_EQ(*holding[at(Seabed::mud)], 1980);
    EXPECT_EQ(holding[at(Seabed::rock)], 0);
    EXPECT_DOUBLE_EQ(*holding[at(Seabed::unknown)], 1980) << "the worst ground that an anchor holds in";
    // A number for poor ground does not pull the better ones down.
    own[at(Seabed::mud)] = 3000;
    const auto both = complete_holding(AnchorType::scoop, 25, own);
    EXPECT_EQ(both[at(Seabed::clay)], 6000);
    EXPECT_EQ(both[at(Seabed::mud)], 3000);
    EXPECT_DOUBLE_EQ(*both[at(Seabed::gravel)], 1980);
    own[at(Seabed::mud)].reset();
    // Under the power law too the user's number holds the others down.
    const auto fluke = complete_holding(AnchorType::fluke, 25, own);
    EXPECT_EQ(fluke[at(Seabed::sand)], 6000);
    EXPECT_DOUBLE_EQ(*fluke[at(Seabed::mud)], 1980);
}

TEST(CompleteHolding, NothingIsKnownOfATypeWithoutALawOrANumber) {
    const auto holding = complete_holding(AnchorType::plough, 25, {});
    EXPECT_FALSE(holding[at(Seabed::unknown)]);
    EXPECT_FALSE(holding[at(Seabed::sand)]);
    EXPECT_EQ(holding[at(Seabed::coral)], 0);
    const auto fluke = complete_holding(AnchorType::fluke, 25, {});
    EXPECT_NEAR(*fluke[at(Seabed::gravel)], 0.33 * 8741, 1);
    EXPECT_NEAR(*fluke[at(Seabed::unknown)], 0.33 * 8741, 1);
}

TEST(RodeParts, ChainIsNextToTheAnchorAndTheSinkerSplitsWhatItHangsOn) {
    Rode rode;
    rode.chain_m = 10;
    rode.chain_kg_per_m = 1.4;
    rode.rope_m = 30;
    rode.rope_kg_per_m = 0.119;
    rode.rope_stiffness_n = 1e5;
    const auto parts = rode_parts(rode, 25, HungSinker{100, 5}, Stretch::as_aboard);
    ASSERT_EQ(parts.size(), 4U);
    EXPECT_DOUBLE_EQ(parts[0].length_m, 5);
    EXPECT_DOUBLE_EQ(parts[1].weight_n, 100);
    EXPECT_DOUBLE_EQ(parts[2].length_m, 10);
    EXPECT_DOUBLE_EQ(parts[2].stiffness_n, 1e5);
    EXPECT_DOUBLE_EQ(parts[3].length_m, 10);
    EXPECT_TRUE(std::isinf(parts[3].stiffness_n));
    // The least stretch is none where nobody knows how stiff the rope is at the most.
    EXPECT_TRUE(std::isinf(rode_parts(rode, 25, std::nullopt, Stretch::least).front().stiffness_n));
    rode.rope_stiffest_n = 2e5;
    EXPECT_DOUBLE_EQ(rode_parts(rode, 25, std::nullopt, Stretch::least).front().stiffness_n, 2e5);
    EXPECT_DOUBLE_EQ(rode_parts(rode, 25, std::nullopt, Stretch::as_aboard).front().stiffness_n, 1e5);
    // Chain goes out first; a short rode is all chain; at its end hangs what is hung at the anchor.
    EXPECT_EQ(rode_parts(rode, 8, std::nullopt, Stretch::none).size(), 1U);
    EXPECT_EQ(rode_parts(rode, 8, HungSinker{100, 8}, Stretch::none).back().weight_n, 100);
    EXPECT_DOUBLE_EQ(rode_parts(rode, 50, std::nullopt, Stretch::none).back().length_m, 20)
        << "more than is aboard is made up with chain";
}

} // namespace
} // namespace swingroom
