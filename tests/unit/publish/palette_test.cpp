// The colours of the answers, told apart by eyes of all kinds and from the tints of paper charts: distances
// by CIEDE2000 under simulations of colour blindness by Machado et al. 2009.
#include "swingroom/publish/palette.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <numbers>
#include <vector>

namespace swingroom {
namespace {

using Triple = std::array<double, 3>;

double radians(double degrees) { return degrees * std::numbers::pi / 180; }

/// CIEDE2000 of two colours of CIELAB, with all weights 1; equations as numbered by Sharma, Wu and Dalal.
double ciede2000(const Triple& one, const Triple& other) {
    const auto chroma = [](double a, double b) { return std::hypot(a, b); };
    const double mean_chroma = (chroma(one[1], one[2]) + chroma(other[1], other[2])) / 2;
    const double seventh = std::pow(mean_chroma, 7);
    const double g = 0.5 * (1 - std::sqrt(seventh / (seventh + std::pow(25, 7)))); // (4)
    const double a1 = (1 + g) * one[1], a2 = (1 + g) * other[1];                   // (5)
    const double c1 = chroma(a1, one[2]), c2 = chroma(a2, other[2]);               // (6)
    const auto hue = [](double a, double b) {
        if (a == 0 && b == 0) return 0.0;
        const double h = std::atan2(b, a) * 180 / std::numbers::pi;
        return h < 0 ? h + 360 : h;
    };
    const double h1 = hue(a1, one[2]), h2 = hue(a2, other[2]); // (7)
    const bool grey = c1 * c2 == 0;
    double dh = grey ? 0 : h2 - h1; // (10)
    if (dh > 180) dh -= 360;
    if (dh < -180) dh += 360;
    const double dl = other[0] - one[0], dc = c2 - c1,
                 d_hue = 2 * std::sqrt(c1 * c2) * std::sin(radians(dh / 2)); // (11)
    const double l = (one[0] + other[0]) / 2, c = (c1 + c2) / 2;             // (12), (13)
    double h = h1 + h2;                                                      // (14)
    if (!grey) {
        if (std::abs(h1 - h2) > 180) h += h < 360 ? 360 : -360;
        h /= 2;
    }
    const double t = 1 - 0.17 * std::cos(radians(h - 30)) + 0.24 * std::cos(radians(2 * h)) +
                     0.32 * std::cos(radians(3 * h + 6)) - 0.20 * std::cos(radians(4 * h - 63)); // (15)
    const double theta = 30 * std::exp(-std::pow((h - 275) / 25, 2));                            // (16)
    const double rc = 2 * std::sqrt(std::pow(c, 7) / (std::pow(c, 7) + std::pow(25, 7)));        // (17)
    const double sl = 1 + 0.015 * std::pow(l - 50, 2) / std::sqrt(20 + std::pow(l - 50, 2));     // (18)
    const double sc = 1 + 0.045 * c, sh = 1 + 0.015 * c * t,
                 rt = -std::sin(radians(2 * theta)) * rc; // (19)-(21)
    return std::sqrt(std::pow(dl / sl, 2) + std::pow(dc / sc, 2) + std::pow(d_hue / sh, 2) +
                     rt * (dc / sc) * (d_hue / sh)); // (22)
}

using Matrix = std::array<Triple, 3>;

Triple product(const Matrix& matrix, const Triple& vector) {
    Triple result{};
    for (std::size_t i = 0; i < 3; ++i) {
        for (std::size_t k = 0; k < 3; ++k) {
            result[i] += matrix[i][k] * vector[k];
        }
    }
    return result;
}

/// Of linear RGB, at full severity: normal, protanomaly, deuteranomaly, tritanomaly. Machado, Oliveira and
/// Fernandes, "A Physiologically-based Model for Simulation of Color Vision Deficiency", 2009, table 1.
constexpr std::array<Matrix, 4> sights = {
    {{{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}},
     {{{0.152286, 1.052583, -0.204868}, {0.114503, 0.786281, 0.099216}, {-0.003882, -0.048116, 1.051998}}},
     {{{0.367322, 0.860646, -0.227968}, {0.280085, 0.672501, 0.047413}, {-0.011820, 0.042940, 0.968881}}},
     {{{1.255528, -0.076749, -0.178779}, {-0.078411, 0.930809, 0.147602}, {0.004733, 0.691367, 0.303900}}}}};

/// IEC 61966-2-1 to linear light.
double linear(double share) {
    return share <= 0.04045 ? share / 12.92 : std::pow((share + 0.055) / 1.055, 2.4);
}

/// sRGB as a kind of eye sees it, in CIELAB under D65.
Triple lab_of(const Triple& srgb, const Matrix& sight) {
    Triple light = product(sight, {linear(srgb[0] / 255), linear(srgb[1] / 255), linear(srgb[2] / 255)});
    for (double& part : light) {
        part = std::clamp(part, 0.0, 1.0);
    }
    constexpr Matrix to_xyz = {{{0.4124564, 0.3575761, 0.1804375},
                                {0.2126729, 0.7151522, 0.0721750},
                                {0.0193339, 0.1191920, 0.9503041}}};
    const Triple xyz = product(to_xyz, light);
    const auto f = [](double t) { return t > 216.0 / 24389 ? std::cbrt(t) : (24389.0 / 27 * t + 16) / 116; };
    const double x = f(xyz[0] / 0.95047), y = f(xyz[1]), z = f(xyz[2] / 1.08883);
    return {116 * y - 16, 500 * (x - y), 200 * (y - z)};
}

Triple shares(const Colour& colour) {
    return {static_cast<double>(colour[0]), static_cast<double>(colour[1]), static_cast<double>(colour[2])};
}

Triple over(const Colour& colour, double opacity, const Colour& ground) {
    Triple mixed{};
    for (std::size_t i = 0; i < 3; ++i) {
        mixed[i] = opacity * colour[i] + (1 - opacity) * ground[i];
    }
    return mixed;
}

double least_distance(const std::vector<Triple>& some, const std::vector<Triple>& others,
                      const Matrix& sight) {
    double least = 1e9;
    for (const Triple& one : some) {
        for (const Triple& other : others) {
            if (one != other) least = std::min(least, ciede2000(lab_of(one, sight), lab_of(other, sight)));
        }
    }
    return least;
}

std::vector<Triple> answers(double opacity, const Colour& ground, bool with_conditions = false) {
    std::vector<Triple> colours;
    for (const VerdictLook& one : verdict_looks) {
        if (is_by_sounder(one.verdict) && !with_conditions) continue;
        if (one.verdict != Verdict::unsurveyed) colours.push_back(over(one.colour, opacity, ground));
    }
    return colours;
}

constexpr Colour white = {255, 255, 255}, pale_blue = {200, 225, 240};
/// Approximations of INT 1: land, shallow, less shallow, drying, magenta, white.
const std::vector<Triple> chart_tints = {{248, 228, 176}, {165, 208, 235}, {205, 229, 245},
                                         {170, 200, 150}, {190, 60, 150},  {255, 255, 255}};

// Sharma, Wu and Dalal, "The CIEDE2000 color-difference formula: implementation notes, supplementary test
// data, and mathematical observations", 2005, table 1: pairs that catch the usual slips with hues.
TEST(Ciede2000, IsThePublishedOne) {
    struct Pair {
        Triple one, other;
        double difference;
    };
    for (const auto& [one, other, difference] :
         std::vector<Pair>{{{50, 2.6772, -79.7751}, {50, 0, -82.7485}, 2.0425},
                           {{50, 3.1571, -77.2803}, {50, 0, -82.7485}, 2.8615},
                           {{50, 0, 0}, {50, -1, 2}, 2.3669},
                           {{50, 2.49, -0.001}, {50, -2.49, 0.0009}, 7.1792},
                           {{50, 2.49, -0.001}, {50, -2.49, 0.0011}, 7.2195},
                           {{50, -0.001, 2.49}, {50, 0.0011, -2.49}, 4.7461},
                           {{50, 2.5, 0}, {73, 25, -18}, 27.1492},
                           {{50, 2.5, 0}, {58, 24, 15}, 19.4535},
                           {{60.2574, -34.0099, 36.2677}, {60.4626, -34.1751, 39.4387}, 1.2644},
                           {{22.7233, 20.0904, -46.6940}, {23.0331, 14.9730, -42.5619}, 2.0373},
                           {{2.0776, 0.0795, -1.1350}, {0.9033, -0.0636, -0.5514}, 0.9082}}) {
        EXPECT_NEAR(ciede2000(one, other), difference, 5e-5);
        EXPECT_NEAR(ciede2000(other, one), difference, 5e-5);
    }
}

TEST(Palette, AnswersAreToldApartByEyesOfAllKinds) {
    constexpr std::array<double, 4> least = {28.5, 22, 22, 22};
    const auto opaque = answers(1, white);
    for (std::size_t i = 0; i < sights.size(); ++i) {
        EXPECT_GE(least_distance(opaque, opaque, sights[i]), least[i]) << "sight " << i;
    }
    for (const Colour& ground : {white, pale_blue}) {
        const auto mixed = answers(0.6, ground);
        for (const Matrix& sight : sights) {
            EXPECT_GE(least_distance(mixed, mixed, sight), 11.5);
        }
    }
}

TEST(Palette, AnswersAreNoTintsOfCharts) {
    EXPECT_GE(least_distance(answers(1, white), chart_tints, sights[0]), 18);
    EXPECT_GE(least_distance(answers(0.6, white), chart_tints, sights[0]), 15);
}

TEST(Palette, AnswersWithAConditionAreToldFromAllOthers) {
    constexpr std::array<double, 4> least = {15, 13, 13, 13};
    for (std::size_t i = 0; i < sights.size(); ++i) {
        const auto all = answers(1, white, true);
        EXPECT_GE(least_distance(all, all, sights[i]), least[i]) << "sight " << i;
    }
    EXPECT_GE(least_distance(answers(1, white, true), chart_tints, sights[0]), 15);
}

TEST(Palette, ExclusionsAreNeitherAnswersNorMagenta) {
    std::vector<Triple> exclusions;
    for (const ExclusionLook& one : exclusion_looks) {
        if (!one.forbids.empty()) exclusions.push_back(shares(one.colour));
    }
    for (const Matrix& sight : sights) {
        EXPECT_GE(least_distance(exclusions, exclusions, sight), 11);
        EXPECT_GE(least_distance(exclusions, answers(1, white), sight), 11);
    }
    EXPECT_GE(least_distance(exclusions, {chart_tints[4]}, sights[0]), 20);
}

TEST(Palette, TheRampGetsLighterStepByStepForAllEyes) {
    for (const Matrix& sight : sights) {
        for (std::size_t i = 1; i < ramp.size(); ++i) {
            EXPECT_GT(lab_of(shares(ramp[i]), sight)[0], lab_of(shares(ramp[i - 1]), sight)[0] + 3);
        }
    }
}

// None is the no of the answers: darker than any count, so that grey paper tells it, and far from all of
// them. The grey of what is unsurveyed is in the colour table alone: it is no data, which nobody draws.
TEST(Palette, CountsOfBoatsGetLighterForAllEyesAndNoneIsANo) {
    const Triple no = shares(look(Verdict::no).colour);
    for (const std::size_t boats : {1U, 2U, 3U, 5U, 8U, 30U}) {
        for (const Matrix& sight : sights) {
            double before = lab_of(no, sight)[0];
            for (std::size_t count = 1; count <= boats; ++count) {
                const Triple colour = shares(colour_of_boats(count, boats));
                const double light = lab_of(colour, sight)[0];
                EXPECT_GE(light, before + (boats <= 8 ? 4 : 0.5)) << count << " of " << boats;
                EXPECT_GE(least_distance({colour}, {no}, sight), 25) << count << " of " << boats;
                before = light;
            }
        }
        EXPECT_EQ(colour_of_boats(boats, boats), boats_ramp.back());
        EXPECT_EQ(colour_of_boats(1, boats), boats > 1 ? boats_ramp.front() : boats_ramp.back());
    }
}

std::vector<Triple> map_colours(bool night) {
    std::vector<Triple> colours;
    for (const MapLook& one : map_looks) {
        colours.push_back(shares(night ? one.night : one.day));
    }
    return colours;
}

TEST(Palette, ClassesOfMapsAreToldApartByEyesOfAllKindsByDayAndAtNight) {
    for (std::size_t i = 0; i < map_looks.size(); ++i) {
        EXPECT_EQ(map_looks[i].of, static_cast<MapClass>(i));
    }
    for (const bool night : {false, true}) {
        const auto colours = map_colours(night);
        for (const Matrix& sight : sights) {
            EXPECT_GE(least_distance(colours, colours, sight), night ? 10.5 : 9.8);
        }
    }
}

/// Of grey that looks as light: CIE L*.
double lightness(const Triple& srgb) { return lab_of(srgb, sights[0])[0]; }

TEST(Palette, ClassesOfMapsAreToldApartInGreyByLightnessOrHatch) {
    const auto plain = [](const MapLook& one) {
        return one.hatch == Hatch::none || one.hatch == Hatch::solid;
    };
    for (const bool night : {false, true}) {
        const auto colours = map_colours(night);
        for (std::size_t i = 0; i < map_looks.size(); ++i) {
            for (std::size_t k = 0; k < i; ++k) {
                const bool both_plain = plain(map_looks[i]) && plain(map_looks[k]);
                if (!both_plain && map_looks[i].hatch != map_looks[k].hatch) continue;
                EXPECT_GE(std::abs(lightness(colours[i]) - lightness(colours[k])), 8)
                    << map_class_words[i] << " and " << map_class_words[k] << (night ? " at night" : "");
            }
            // And the hatch itself is to be seen on its colour.
            const Colour& colour = night ? map_looks[i].night : map_looks[i].day;
            if (!plain(map_looks[i])) {
                EXPECT_GE(std::abs(lightness(shares(ink_over(colour, night))) - lightness(colours[i])), 7)
                    << map_class_words[i] << (night ? " at night" : "");
            }
        }
    }
}

// What no way leads to is a yes to nobody, and no land, and unsurveyed as little: nearly black by day, in
// the dark of night a colour that nothing else has.
TEST(Palette, OutOfReachLooksLikeNothingElse) {
    for (const bool night : {false, true}) {
        std::vector<Triple> others = map_colours(night);
        const std::size_t at = static_cast<std::size_t>(MapClass::out_of_reach);
        const std::vector<Triple> own = {others[at]};
        others.erase(others.begin() + static_cast<std::ptrdiff_t>(at));
        for (const Matrix& sight : sights) {
            EXPECT_GE(least_distance(own, others, sight), night ? 12 : 20) << night;
        }
        EXPECT_LE(lightness(own.front()), night ? 25 : 20);
    }
    std::vector<Triple> verdicts;
    for (const VerdictLook& one : verdict_looks) {
        if (one.verdict != Verdict::out_of_reach) verdicts.push_back(shares(one.colour));
    }
    for (const Matrix& sight : sights) {
        EXPECT_GE(least_distance({shares(look(Verdict::out_of_reach).colour)}, verdicts, sight), 18);
    }
}

TEST(Palette, MapsAreDarkAllOverAtNight) {
    for (const MapLook& one : map_looks) {
        EXPECT_LE(lightness(shares(one.night)), 60) << map_class_words[static_cast<std::size_t>(one.of)];
    }
    // What covers most of a map.
    for (const MapClass of : {MapClass::no, MapClass::margin, MapClass::shoal, MapClass::unsurveyed}) {
        EXPECT_LE(lightness(shares(look(of).night)), 20);
    }
    for (const MapInk& ink : map_inks) {
        EXPECT_LE(lightness(shares(ink.night)), 75) << ink.name;
    }
}

TEST(Palette, ClassesOfMapsAreNoTintsOfCharts) {
    std::vector<Triple> ground; // but for what is left white
    for (const MapClass of : {MapClass::margin, MapClass::shoal, MapClass::drying, MapClass::land}) {
        ground.push_back(shares(look(of).day));
    }
    EXPECT_GE(least_distance(ground, chart_tints, sights[0]), 13);
}

TEST(Palette, ColourIsNeverTheOnlySign) {
    for (const VerdictLook& one : verdict_looks) {
        for (const VerdictLook& other : verdict_looks) {
            if (one.verdict < other.verdict) {
                EXPECT_NE(one.hatch, other.hatch);
            }
        }
    }
}

} // namespace
} // namespace swingroom
