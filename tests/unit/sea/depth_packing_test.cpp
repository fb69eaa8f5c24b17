// Depths packed and unpacked: to the bit, whatever they are, and small where they come in steps.

#include "swingroom/base/error.hpp"
#include "swingroom/base/rounding.hpp"

#include "sea/record/depth_packing.hpp"
#include "support/drawing.hpp"

#include <gtest/gtest.h>

#include <bit>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <span>
#include <string>
#include <vector>

namespace swingroom {
namespace {

using testing_support::Dice;

constexpr float none = std::numeric_limits<float>::quiet_NaN();

DepthPlanes planes(Window window) {
    DepthPlanes depths;
    depths.shoal_m.reset(window, none);
    depths.deep_m.reset(window, none);
    return depths;
}

void expect_same_bits(const Plane<float>& a, const Plane<float>& b) {
    ASSERT_EQ(a.window(), b.window());
    for (std::size_t i = 0; i < a.size(); ++i) {
        ASSERT_EQ(std::bit_cast<std::uint32_t>(a.data()[i]), std::bit_cast<std::uint32_t>(b.data()[i])) << i;
    }
}
void expect_same_bytes(const Plane<std::uint8_t>& a, const Plane<std::uint8_t>& b) {
    ASSERT_EQ(a.window(), b.window());
    for (std::size_t i = 0; i < a.size(); ++i) {
        ASSERT_EQ(a.data()[i], b.data()[i]) << i;
    }
}

/// @returns how many bytes it takes
std::size_t expect_back(const DepthPlanes& depths) {
    const PlanesFilled filled = PlanesFilled::of(depths);
    DepthPacking packing;
    // What was packed before leaves nothing behind.
    static_cast<void>(packing.pack(planes({0, 0, 3, 3}), {}));
    const std::vector<std::uint8_t> packed = packing.pack(depths, filled);
    DepthPlanes back;
    unpack(packed, depths.shoal_m.window(), filled, back, "some.bin");
    expect_same_bits(depths.shoal_m, back.shoal_m);
    expect_same_bits(depths.deep_m, back.deep_m);
    for (const auto plane : {&DepthPlanes::source, &DepthPlanes::banded, &DepthPlanes::differs,
                             &DepthPlanes::partial, &DepthPlanes::joined}) {
        expect_same_bytes(depths.*plane, back.*plane);
    }
    return packed.size();
}

/// A seabed in centimetres that rises and falls, with its uncertainty, land on one side.
DepthPlanes coast(Window window, double uncertainty_m) {
    DepthPlanes depths = planes(window);
    for (int row = window.row; row < window.row_end(); ++row) {
        for (int col = window.col; col < window.col_end(); ++col) {
            double depth_m = 12 + 11 * std::sin(col * 0.02) * std::cos(row * 0.015);
            // The roughness of a lead line: two waves of some decimetres.
            depth_m += 0.3 * std::sin(col * 0.9 + row * 0.4) + 0.2 * std::sin(col * 0.35 - row * 1.3);
            const auto in_cm = static_cast<double>(static_cast<float>(std::round(depth_m * 100) / 100));
            if (in_cm < 2) continue;
            depths.shoal_m.at(col, row) = narrow_down(in_cm - uncertainty_m);
            depths.deep_m.at(col, row) = narrow_up(in_cm + uncertainty_m);
        }
    }
    return depths;
}

TEST(DepthPacking, GivesBackEveryBit) {
    Dice dice(7);
    const std::vector<float> odd = {0.0F,
                                    -0.0F,
                                    none,
                                    -none,
                                    std::numeric_limits<float>::infinity(),
                                    -std::numeric_limits<float>::infinity(),
                                    std::numeric_limits<float>::denorm_min(),
                                    12000};
    for (const Window window :
         {Window{0, 0, 1, 1}, Window{-3, 7, 1, 40}, Window{5, 5, 33, 1}, Window{100, 200, 61, 47}}) {
        DepthPlanes depths = planes(window);
        expect_back(depths);
        for (std::size_t i = 0; i < depths.shoal_m.size(); ++i) {
            const auto any = [&] { return odd[static_cast<std::size_t>(dice.whole(0, 7))]; };
            depths.shoal_m.data()[i] = dice.chance(0.2) ? any() : static_cast<float>(dice.between(-10, 40));
            depths.deep_m.data()[i] = dice.chance(0.2) ? any() : static_cast<float>(dice.between(-10, 40));
        }
        depths.source.reset(window, 3);
        depths.partial.reset(window, 0);
        depths.partial.data()[0] = 255;
        expect_back(depths);
        depths.source.reset({});
        depths.banded.reset(window, 1);
        depths.differs.reset(window, 0);
        depths.joined.reset(window, 2);
        expect_back(depths);
    }
}

// More pairs than two bytes can number are kept as floats.
TEST(DepthPacking, GivesBackDepthsThatComeInNoSteps) {
    Dice dice(11);
    const Window window{0, 0, 300, 300};
    DepthPlanes depths = planes(window);
    for (std::size_t i = 0; i < depths.shoal_m.size(); ++i) {
        depths.shoal_m.data()[i] = static_cast<float>(dice.between(-10, 40));
        depths.deep_m.data()[i] = depths.shoal_m.data()[i] + 0.4F;
    }
    expect_back(depths);
}

// What the format promises: a survey in centimetres takes no more than two bytes a cell, of the eight that it
// has in memory.
TEST(DepthPacking, IsSmallWhereDepthsComeInSteps) {
    const Window window{0, 0, 512, 512};
    const std::size_t constant = expect_back(coast(window, 0.2));
    EXPECT_LE(constant, 2 * window.cells());
    EXPECT_GT(constant, window.cells() / 10);
    EXPECT_LE(expect_back(planes(window)), window.cells() / 100);
}

TEST(DepthPacking, RefusesWhatItHasNotMade) {
    const Window window{0, 0, 40, 30};
    DepthPlanes depths = coast(window, 0.3);
    depths.source.reset(window, 1);
    const PlanesFilled filled = PlanesFilled::of(depths);
    const std::vector<std::uint8_t> packed = DepthPacking().pack(depths, filled);
    const auto complaint = [&](std::span<const std::uint8_t> bytes, Window of, const PlanesFilled& with) {
        const std::vector<std::uint8_t> exactly(bytes.begin(), bytes.end());
        DepthPlanes into;
        try {
            unpack(exactly, of, with, into, "some.bin");
        } catch (const IoError& error) {
            return std::string(error.what());
        }
        return std::string();
    };
    EXPECT_EQ(complaint(packed, window, filled), "");
    for (std::size_t length = 0; length < packed.size(); length += 7) {
        EXPECT_NE(complaint(std::span(packed).first(length), window, filled), "") << length;
    }
    // A bit more or less may go unnoticed here, since sums are kept elsewhere; nothing else may happen.
    int refused = 0;
    for (std::size_t bit = 0; bit < 8 * packed.size(); bit += 5) {
        std::vector<std::uint8_t> flipped = packed;
        flipped[bit / 8] ^= static_cast<std::uint8_t>(1U << (bit % 8));
        refused += complaint(flipped, window, filled).empty() ? 0 : 1;
    }
    EXPECT_GT(refused, 5);
    EXPECT_NE(complaint(packed, {0, 0, 41, 30}, filled), "");
    EXPECT_NE(complaint(packed, {0, 0, 20, 30}, filled), "");
    EXPECT_NE(complaint(packed, window, {}), "");
}

} // namespace
} // namespace swingroom
