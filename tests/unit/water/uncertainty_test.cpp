#include "swingroom/base/error.hpp"
#include "swingroom/water/uncertainty.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <array>
#include <cstddef>
#include <string>

namespace swingroom {
namespace {

using testing::AllOf;
using testing::HasSubstr;

double at(const char* text, double depth_m) {
    return DepthUncertainty::parse(text, "--uncertainty").at(depth_m);
}

std::string refusal(const char* text) {
    try {
        DepthUncertainty::parse(text, "--uncertainty");
    } catch (const InputError& error) {
        return error.what();
    }
    return "accepted";
}

// IHO S-44 edition 6.1.0 (October 2022), table 1 and section 3.2.3: TVU = sqrt(a^2 + (b d)^2); the values by
// depth are computed from it to six decimals.
TEST(DepthUncertainty, OrdersOfS44) {
    constexpr std::array depths_m = {0.0, 2.0, 5.0, 10.0, 15.0, 20.0, 30.0, 40.0, 100.0};
    struct Order {
        const char* pair;
        std::array<double, 9> tvu_m;
    };
    const Order orders[] = {
        {"0.15,0.0075",
         {0.150000, 0.150748, 0.154616, 0.167705, 0.187500, 0.212132, 0.270416, 0.335410, 0.764853}},
        {"0.25,0.0075",
         {0.250000, 0.250450, 0.252797, 0.261008, 0.274146, 0.291548, 0.336341, 0.390512, 0.790569}},
        {"0.5,0.013",
         {0.500000, 0.500676, 0.504207, 0.516624, 0.536680, 0.563560, 0.634114, 0.721388, 1.392839}},
        {"1,0.023",
         {1.000000, 1.001057, 1.006591, 1.026109, 1.057840, 1.100727, 1.214949, 1.358823, 2.507987}}};
    for (const Order& order : orders) {
        for (std::size_t i = 0; i < depths_m.size(); ++i) {
            EXPECT_NEAR(at(order.pair, depths_m[i]), order.tvu_m[i], 5.1e-7)
                << order.pair << " at " << depths_m[i];
        }
    }
}

// IHO S-66 edition 2.0.0 (October 2024), table 7-4: depth accuracy by zone of confidence.
TEST(DepthUncertainty, ZonesOfConfidenceOfS66) {
    constexpr std::array depths_m = {10.0, 30.0, 50.0, 100.0};
    struct Zone {
        const char* letter;
        std::array<double, 4> accuracy_m;
    };
    const Zone zones[] = {{"A1", {0.6, 0.8, 1.0, 1.5}},
                          {"A2", {1.2, 1.6, 2.0, 3.0}},
                          {"B", {1.2, 1.6, 2.0, 3.0}},
                          {"C", {2.5, 3.5, 4.5, 7.0}}};
    for (const Zone& zone : zones) {
        for (std::size_t i = 0; i < depths_m.size(); ++i) {
            EXPECT_DOUBLE_EQ(at(zone.letter, depths_m[i]), zone.accuracy_m[i]) << zone.letter;
        }
    }
    EXPECT_DOUBLE_EQ(at("A1", 5), 0.55);
    EXPECT_DOUBLE_EQ(at("B", 5), 1.10);
    EXPECT_DOUBLE_EQ(at("C", 5), 2.25);
}

TEST(DepthUncertainty, DryingHeightsHaveTheSameAsDepths) {
    for (const char* text : {"0.3", "0.5,0.013", "C"}) {
        EXPECT_EQ(at(text, -3), at(text, 3)) << text;
    }
}

TEST(DepthUncertainty, AConstantMayCarryAUnitAndZeroIsNone) {
    EXPECT_DOUBLE_EQ(at("1 ft", 50), 0.3048);
    EXPECT_DOUBLE_EQ(at("50cm,0.013", 0), 0.5);
    EXPECT_EQ(at("0", 50), 0);
    EXPECT_EQ(DepthUncertainty::parse("0", "x").kind(), DepthUncertainty::Kind::none);
    EXPECT_EQ(DepthUncertainty::parse("0.0", "x").kind(), DepthUncertainty::Kind::none);
    EXPECT_EQ(DepthUncertainty::parse("band", "x").kind(), DepthUncertainty::Kind::band);
    EXPECT_EQ(DepthUncertainty::parse("0,0.02", "x").kind(), DepthUncertainty::Kind::root_sum_square);
    EXPECT_DOUBLE_EQ(at("0,0.02", 10), 0.2);
}

TEST(DepthUncertainty, TheTextIsKeptAsWritten) {
    for (const char* text : {"0.3", "0.5,0.013", "A2", "0", "band", "1 ft"}) {
        EXPECT_EQ(DepthUncertainty::parse(text, "x").text(), text);
    }
    EXPECT_EQ(DepthUncertainty::constant(0.25).text(), "0.25");
    EXPECT_EQ(DepthUncertainty::root_sum_square(0.5, 0.013).text(), "0.5,0.013");
}

TEST(DepthUncertainty, ZonesWithoutAPublishedNumberAreRefused) {
    for (const char* text : {"D", "U"}) {
        EXPECT_THAT(refusal(text), AllOf(HasSubstr("--uncertainty"), HasSubstr("no published"))) << text;
    }
}

TEST(DepthUncertainty, RefusesWhatItCannotBe) {
    EXPECT_THAT(refusal("-0.1"), HasSubstr("negative"));
    EXPECT_THAT(refusal("0.5,-0.01"), HasSubstr("negative"));
    for (const char* text : {"", ",", "0.5,", ",0.01", "0.5,0.01,3", "a1", "E", "nan", "0.5;0.01"}) {
        EXPECT_THAT(refusal(text), HasSubstr("--uncertainty")) << text;
    }
}

} // namespace
} // namespace swingroom
