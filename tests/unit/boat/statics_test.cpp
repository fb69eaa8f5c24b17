#include "swingroom/boat/gear.hpp"
#include "swingroom/boat/statics.hpp"

#include <boost/math/quadrature/gauss_kronrod.hpp>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <random>
#include <sstream>
#include <string>
#include <vector>

namespace swingroom {
namespace {

constexpr double radians = 0.017453292519943295;

struct Case {
    std::string id;
    double pull_n, span_m;
    std::vector<RodePart> parts;
    double reach_m, grounded_m, angle_deg, tension_n, vertical_bow_n, vertical_anchor_n, on_seabed_n;
};

/// rode_statics_cases.csv: computed once by two independent methods (closed form from the bow; rigid links of
/// one millimetre from the anchor) that agree to 5e-9 or better.
std::vector<Case> cases() {
    std::ifstream in(SWINGROOM_SOURCE "/tests/unit/boat/rode_statics_cases.csv");
    std::vector<Case> all;
    std::string line;
    std::getline(in, line);
    while (std::getline(in, line)) {
        std::vector<std::string> text;
        std::istringstream fields(line);
        for (std::string field; std::getline(fields, field, ',');) {
            text.push_back(field);
        }
        const auto number = [&](std::size_t i) { return text.at(i).empty() ? 0.0 : std::stod(text.at(i)); };
        Rode rode;
        rode.chain_m = number(4);
        rode.chain_kg_per_m = number(5);
        rode.rope_m = number(6);
        rode.rope_kg_per_m = number(7);
        std::optional<HungSinker> sinker;
        if (!text.at(8).empty()) sinker = HungSinker{in_water_n(number(8), number(9)), number(10)};
        all.push_back({text.at(0), number(2), number(3),
                       rode_parts(rode, rode.aboard_m(), sinker, Stretch::none), number(11), number(12),
                       number(13), number(14), number(15), number(16), number(17)});
    }
    return all;
}

TEST(RodeState, TwentyNineCasesComputedByTwoOtherMethods) {
    const auto all = cases();
    ASSERT_EQ(all.size(), 29U);
    for (const Case& c : all) {
        SCOPED_TRACE(c.id);
        const RodeState state = rode_state(c.pull_n, c.span_m, c.parts);
        // 5e-9 is how well the two methods agree at the worst case, A1.
        EXPECT_NEAR(state.reach_m, c.reach_m, 5e-9 * c.reach_m);
        EXPECT_NEAR(state.grounded_m, c.grounded_m, 2e-7);
        EXPECT_NEAR(state.angle_deg, c.angle_deg, 2e-8);
        EXPECT_NEAR(state.tension_n, c.tension_n, 1e-9 * c.tension_n + 1e-8);
        EXPECT_NEAR(state.vertical_bow_n, c.vertical_bow_n, 1e-8 * c.vertical_bow_n + 1e-7);
        // B8 to B10: the file's figure is for the anchor, below the sinker.
        EXPECT_NEAR(state.vertical_anchor_n, c.vertical_anchor_n, 1e-7 * c.vertical_anchor_n + 1e-6);
        EXPECT_NEAR(state.sinker_on_seabed_n, c.on_seabed_n, 1e-6);
    }
}

// Chain 2.2 kg/m, 30 m of it, span 6.2 m, 15 kg of steel 10 m from the bow: the cases B2 to B6.
constexpr double chain_n_per_m = 18.757560478, sinker_n = 127.892457803;

std::vector<RodePart> chain_with_sinker() {
    return {RodePart::line(10, chain_n_per_m), RodePart::point(sinker_n), RodePart::line(20, chain_n_per_m)};
}

TEST(RodeState, CriticalPullsOfASinkerTenMetresDownThirtyOfChain) {
    const std::vector<RodePart> chain = {RodePart::line(30, chain_n_per_m)};
    // The 10 m above the sinker are just all lifted: w(10^2 - h^2)/(2h).
    const double bent_n = 93.122212;
    EXPECT_NEAR(chain_n_per_m * (100 - 6.2 * 6.2) / (2 * 6.2), bent_n, 1e-6);
    EXPECT_NEAR(rode_state(bent_n, 6.2, chain_with_sinker()).sinker_on_seabed_n, sinker_n, 1e-3);
    EXPECT_LT(rode_state(bent_n + 0.01, 6.2, chain_with_sinker()).sinker_on_seabed_n, sinker_n - 1e-4);
    // The sinker just lifts.
    const RodeState lifting = rode_state(270.710362, 6.2, chain_with_sinker());
    EXPECT_NEAR(lifting.reach_m, 27.752473, 1e-6);
    EXPECT_NEAR(lifting.tension_n, 415.697244, 1e-5);
    EXPECT_NEAR(lifting.sinker_on_seabed_n, 0, 1e-5);
    // The last link lifts, with the sinker and without.
    EXPECT_NEAR(greatest_pull_n(6.2, 0, chain_with_sinker()), 1487.877490, 1e-5);
    EXPECT_NEAR(greatest_pull_n(6.2, 0, chain), 1303.287404, 1e-5);
    const RodeState last = rode_state(1487.877490, 6.2, chain_with_sinker());
    EXPECT_NEAR(last.reach_m, 29.071983, 1e-6);
    EXPECT_NEAR(last.tension_n, 1640.345818, 1e-5);
    EXPECT_NEAR(last.angle_deg, 0, 1e-6);
}

// MIT OpenCourseWare 2.019, lecture 13 (28 March 2011): T = 1510 kN, w = 828 N/m, h = 25 m, published least
// length of chain 300.93 m. The pull follows from T = H + wh.
TEST(RodeState, LeastChainOfMitLecture13) {
    const double pull_n = 1510e3 - 828 * 25;
    const std::vector<RodePart> chain = {RodePart::line(300.929518, 828)};
    EXPECT_NEAR(greatest_span_m(pull_n, 0, chain), 25, 1e-6);
    const RodeState state = rode_state(pull_n, 25, chain);
    EXPECT_NEAR(state.tension_n, 1510e3, 1);
    EXPECT_NEAR(state.reach_m, 299.543002, 1e-5);
    EXPECT_NEAR(state.vertical_bow_n, 249169.641, 1);
    EXPECT_NEAR(state.angle_deg, 0, 1e-3);
    // As published, to its five digits.
    EXPECT_NEAR(300.93, length_m(chain), 0.005);
}

// MoorPy, tests/test_catenary.py, case 2 (NREL, BSD-3): x 400, z 200, L 500, w 800 N/m, no friction,
// published H 96643.42815934 N, V 237751.75535996 N, on the seabed 202.81030580 m.
TEST(RodeState, MoorPyCatenaryCase2) {
    const std::vector<RodePart> chain = {RodePart::line(500, 800, 7.51e12)};
    const RodeState state = rode_state(96643.42815934, 200, chain);
    EXPECT_NEAR(state.reach_m, 400, 400 * 1e-7);
    EXPECT_NEAR(state.vertical_bow_n, 237751.75535996, 237751.75535996 * 1e-7);
    EXPECT_NEAR(state.grounded_m, 202.81030580, 202.81030580 * 1e-7);
}

// MoorPy, the same file, test_catenary_symmetricU: half of a U of x 50, z 20, L 65, w 100.
TEST(RodeState, MoorPySymmetricUsHalf) {
    const std::vector<RodePart> chain = {RodePart::line(65, 100, 1e12)};
    const RodeState state = rode_state(263.195237, 20, chain);
    EXPECT_NEAR(state.reach_m, 50, 1e-5);
    EXPECT_NEAR(state.vertical_bow_n, 2247.839173, 1e-3);
    EXPECT_NEAR(state.grounded_m, 42.521608, 1e-5);
}

TEST(RodeState, NoPullLeavesTheRodeHangingAndAHardPullMakesItStraight) {
    const std::vector<RodePart> chain = {RodePart::line(30, chain_n_per_m)};
    EXPECT_DOUBLE_EQ(rode_state(0, 6.2, chain).reach_m, 30 - 6.2);
    EXPECT_NEAR(rode_state(0, 6.2, chain).tension_n, 6.2 * chain_n_per_m, 1e-9);
    EXPECT_NEAR(rode_state(1e-6, 6.2, chain).reach_m, 30 - 6.2, 2e-6);
    // The excess over L - h is h - s + x exactly, a(ln(2h/a) - 1) nearly (A1).
    EXPECT_NEAR(rode_state(0.01, 6.2, chain).reach_m - (30 - 6.2), 0.0048272, 1e-7);
    EXPECT_NEAR(rode_state(1e9, 6.2, chain).reach_m, std::sqrt(30 * 30 - 6.2 * 6.2), 1e-9);
    // Pages of seamanship: rode 30, span 6.2, boat 14 m from the roller aft: 43.352342 m.
    EXPECT_NEAR(rode_state(1e9, 6.2, chain).reach_m + 14, 43.352342, 1e-6);
    EXPECT_DOUBLE_EQ(rode_state(0, 6.2, chain_with_sinker()).sinker_on_seabed_n, sinker_n);
}

// 30 m of 14 mm nylon at 600 N have 43 micrometres more length than a straight line: (wL)^2 L/(24 H^2).
TEST(RodeState, KeepsTheLastDigitsOfANearlyWeightlessRope) {
    const double weight_n_per_m = 0.117722812;
    const double sag_m = std::pow(weight_n_per_m * 30, 2) * 30 / (24 * 600.0 * 600.0);
    EXPECT_NEAR(sag_m, 43e-6, 1e-6);
    const double span_m = 0.2; // lifted in full, and nearly level
    const double straight_m = std::sqrt(30 * 30 - span_m * span_m);
    const RodeState state = rode_state(600, span_m, std::vector{RodePart::line(30, weight_n_per_m)});
    EXPECT_NEAR((straight_m - state.reach_m) / sag_m, 1, 0.02);
    // No weight at all, and next to none, are the same.
    const RodeState none = rode_state(600, 6, std::vector{RodePart::line(30, 0)});
    const RodeState hardly = rode_state(600, 6, std::vector{RodePart::line(30, 1e-12)});
    EXPECT_NEAR(none.reach_m, std::sqrt(900.0 - 36), 1e-12);
    EXPECT_NEAR(hardly.reach_m, none.reach_m, 1e-11);
    EXPECT_NEAR(none.angle_deg, std::asin(0.2) / radians, 1e-9);
}

// 14 mm braided nylon: 1.9 % at 2188 N, 0.58 m on 30 m; 5.6 % at 6393 N, 1.7 m.
TEST(RodeState, RopeStretches) {
    const double stiffness_n = nylon_stiffness_n(14, RopeMake::braided);
    for (const auto& [pull_n, longer_m] : {std::pair(2188.0, 0.58), {6393.0, 1.7}}) {
        const std::vector<RodePart> slack = {RodePart::line(30, 0.12)},
                                    real = {RodePart::line(30, 0.12, stiffness_n)};
        const double gain_m = rode_state(pull_n, 6, real).reach_m - rode_state(pull_n, 6, slack).reach_m;
        EXPECT_NEAR(gain_m, longer_m, 0.06) << pull_n;
    }
}

// ---------------------------------------------------------------- random rodes

struct RandomRode {
    double pull_n, span_m;
    std::vector<RodePart> parts;
    std::size_t sinker = 0; ///< which part; 0: none
    [[nodiscard]] std::string describe() const {
        std::ostringstream text;
        text << "H " << pull_n << " h " << span_m;
        for (const RodePart& p : parts) {
            text << " (" << p.length_m << " m " << p.weight_n << " N EA " << p.stiffness_n << ")";
        }
        return text.str();
    }
};

/// Any rode of a boat and beyond: up to four lines, chain to weightless, with or without stretch, with or
/// without a sinker anywhere, 5 to 400 m, 1 to 100 m of span, 0.1 N to 100 kN.
RandomRode random_rode(std::mt19937_64& random, bool stretch) {
    const auto uniform = [&](double a, double b) {
        return std::uniform_real_distribution<double>(a, b)(random);
    };
    RandomRode rode;
    rode.pull_n = std::pow(10, uniform(-1, 5));
    rode.span_m = std::pow(10, uniform(0, 2));
    const double length = std::max(5.0, std::min(400.0, rode.span_m * (1 + std::pow(10, uniform(-2, 1.5)))));
    if (length <= rode.span_m) rode.span_m = 0.9 * length;
    const int lines = 1 + static_cast<int>(uniform(0, 4));
    double left_m = length;
    for (int i = 0; i < lines; ++i) {
        const double part_m = i + 1 == lines ? left_m : left_m * uniform(0.05, 0.95);
        left_m -= part_m;
        const double kind = uniform(0, 4);
        const double weight = kind < 1 ? std::pow(10, uniform(-9, 0)) : uniform(5, 60);
        rode.parts.push_back(stretch && kind < 1 ? RodePart::line(part_m, weight, uniform(3e4, 1e6))
                                                 : RodePart::line(part_m, weight));
    }
    if (uniform(0, 2) < 1) {
        const auto at = static_cast<std::ptrdiff_t>(uniform(0, lines + 1));
        rode.parts.insert(rode.parts.begin() + at, RodePart::point(uniform(10, 1000)));
        rode.sinker = static_cast<std::size_t>(at);
    }
    return rode;
}

/// The equation of a hanging chain, dx/ds = H/T (1 + T/EA), dz/ds = V/T (1 + T/EA), dV/ds = w, integrated
/// numerically from the roller down: no closed form in it.
struct Integrated {
    double x_m = 0, z_m = 0, grounded_m = 0;
};
Integrated integrate(const RandomRode& rode, double vertical_bow_n) {
    using Quadrature = boost::math::quadrature::gauss_kronrod<double, 31>;
    const double h_n = rode.pull_n;
    Integrated sum;
    double v_n = vertical_bow_n;
    for (const RodePart& part : rode.parts) {
        if (part.length_m == 0) {
            v_n = std::max(0.0, v_n - part.weight_n);
            continue;
        }
        const double w = part.weight_n / part.length_m;
        const double lifted_m = w > 0 ? std::min(part.length_m, v_n / w) : (v_n > 0 ? part.length_m : 0);
        const double low_n = std::max(0.0, v_n - w * lifted_m);
        const auto t = [&](double s) { return std::hypot(h_n, low_n + w * s); };
        const auto dx = [&](double s) { return h_n / t(s) + h_n / part.stiffness_n; };
        const auto dz = [&](double s) { return (low_n + w * s) * (1 / t(s) + 1 / part.stiffness_n); };
        if (lifted_m > 0) {
            sum.x_m += Quadrature::integrate(dx, 0.0, lifted_m, 15, 1e-10);
            sum.z_m += Quadrature::integrate(dz, 0.0, lifted_m, 15, 1e-10);
        }
        sum.x_m += (part.length_m - lifted_m) * (1 + h_n / part.stiffness_n);
        sum.grounded_m += part.length_m - lifted_m;
        v_n = low_n;
    }
    return sum;
}

TEST(RodeState, AgreesWithDirectIntegrationOnTenThousandRandomRodes) {
    std::mt19937_64 random(20260101);
    double worst = 0;
    for (int i = 0; i < 10000; ++i) {
        const RandomRode rode = random_rode(random, i % 2 == 0);
        const RodeState state = rode_state(rode.pull_n, rode.span_m, rode.parts);
        const Integrated fine = integrate(rode, state.vertical_bow_n);
        const double error =
            std::max({std::abs(fine.x_m / state.reach_m - 1), std::abs(fine.z_m / rode.span_m - 1),
                      std::abs(fine.grounded_m - state.grounded_m) / length_m(rode.parts)});
        ASSERT_LT(error, 1e-6) << i << ": " << rode.describe();
        ASSERT_NEAR(state.tension_n, std::hypot(rode.pull_n, state.vertical_bow_n), 1e-9 * state.tension_n);
        worst = std::max(worst, error);
    }
    RecordProperty("worst", std::to_string(worst * 1e9) + "e-9");
}

TEST(RodeState, ReachGrowsWithPullFallsWithSpanAndStaysBetweenItsLimits) {
    std::mt19937_64 random(2);
    for (int i = 0; i < 3000; ++i) {
        const RandomRode rode = random_rode(random, false);
        SCOPED_TRACE(rode.describe());
        const double all_m = length_m(rode.parts);
        const double reach_m = rode_state(rode.pull_n, rode.span_m, rode.parts).reach_m;
        const double rounding_tolerance = 1e-9 * all_m;
        ASSERT_GE(rode_state(rode.pull_n * 1.05, rode.span_m, rode.parts).reach_m,
                  reach_m - rounding_tolerance);
        const double deeper_m = rode.span_m + 0.05 * (all_m - rode.span_m);
        ASSERT_LE(rode_state(rode.pull_n, deeper_m, rode.parts).reach_m, reach_m + rounding_tolerance);
        ASSERT_GE(reach_m, all_m - rode.span_m - rounding_tolerance);
        ASSERT_LE(reach_m, std::sqrt(all_m * all_m - rode.span_m * rode.span_m) + rounding_tolerance);
    }
}

TEST(RodeState, AHeavierSinkerNeverAddsReachOrUplift) {
    std::mt19937_64 random(3);
    int tried = 0;
    while (tried < 3000) {
        RandomRode rode = random_rode(random, false);
        std::size_t at = 0;
        while (at < rode.parts.size() && rode.parts[at].length_m > 0) {
            ++at;
        }
        if (at == rode.parts.size()) continue;
        ++tried;
        SCOPED_TRACE(rode.describe());
        const RodeState light = rode_state(rode.pull_n, rode.span_m, rode.parts);
        rode.parts[at].weight_n *= 1.3;
        const RodeState heavy = rode_state(rode.pull_n, rode.span_m, rode.parts);
        ASSERT_LE(heavy.reach_m, light.reach_m + 1e-9 * length_m(rode.parts));
        ASSERT_LE(heavy.vertical_anchor_n, light.vertical_anchor_n + 1e-7 * light.tension_n);
    }
}

TEST(GreatestSpanAndPull, AreTheSameStatementTurnedRound) {
    std::mt19937_64 random(4);
    std::uniform_real_distribution<double> angles(0, 12);
    for (int i = 0; i < 3000; ++i) {
        RandomRode rode = random_rode(random, false);
        SCOPED_TRACE(rode.describe());
        const double angle_deg = i % 3 == 0 ? 0 : angles(random);
        const double span_m = greatest_span_m(rode.pull_n, angle_deg, rode.parts);
        if (span_m < 0.5 || span_m > 0.999 * length_m(rode.parts)) continue;
        // At that span the angle is just the allowed one; beyond it, more.
        EXPECT_NEAR(rode_state(rode.pull_n, span_m, rode.parts).angle_deg, angle_deg, 1e-4);
        EXPECT_LE(rode_state(rode.pull_n, span_m * 0.99, rode.parts).angle_deg, angle_deg + 1e-6);
        const double back_n = greatest_pull_n(span_m, angle_deg, rode.parts);
        EXPECT_LE(greatest_span_m(back_n * 1.001, angle_deg, rode.parts), span_m + 1e-9);
        EXPECT_GE(greatest_span_m(back_n * 0.999, angle_deg, rode.parts), span_m - 1e-9);
    }
}

// A hard pull stretches a rope so far that she lies flatter than in a lesser one: at what the harder pull
// alone would allow, the lesser ones are too steep.
TEST(GreatestSpan, OfARopeThatStretchesServesEveryLesserPullToo) {
    std::mt19937_64 random(11);
    std::uniform_real_distribution<double> angles(0, 12), shares(0, 1);
    int flatter = 0, tried = 0;
    for (int i = 0; i < 1000; ++i) {
        const RandomRode rode = random_rode(random, true);
        SCOPED_TRACE(rode.describe());
        const double angle_deg = i % 3 == 0 ? 0 : angles(random);
        const double span_m = greatest_span_m(rode.pull_n, angle_deg, rode.parts);
        if (span_m < 0.5 || span_m > 0.99 * length_m(rode.parts)) continue;
        ++tried;
        const auto state = [&](double share, double at_m) {
            return rode_state(share * rode.pull_n, at_m, rode.parts);
        };
        double steepest_deg = 0, slightly_more_deg = 0;
        for (double share = 1; share > 0.003; share *= 0.99) {
            steepest_deg = std::max(steepest_deg, state(share, span_m).angle_deg);
            slightly_more_deg = std::max(slightly_more_deg, state(share, span_m * 1.005).angle_deg);
        }
        ASSERT_LE(steepest_deg, angle_deg + 1e-6);
        EXPECT_GT(slightly_more_deg, angle_deg) << "half a percent of the span is not given away";
        flatter += state(1, span_m * 1.005).angle_deg < angle_deg - 1e-3;
        const double more_n = rode.pull_n * (1 + shares(random));
        ASSERT_LE(greatest_span_m(more_n, angle_deg, rode.parts), span_m) << "falls with the pull";
        EXPECT_GE(greatest_pull_n(span_m * (1 - 1e-9), angle_deg, rode.parts), rode.pull_n * (1 - 1e-9));
    }
    EXPECT_GT(tried, 250);
    EXPECT_GT(flatter, 10) << "else nothing is tried here";
}

// 8 degrees alone hold in any wind at a scope of 1/sin 8 = 7.185.
TEST(GreatestPull, IsWithoutEndWhereTheStraightRodeIsFlatEnough) {
    const std::vector<RodePart> chain = {RodePart::line(71.86, chain_n_per_m)};
    EXPECT_TRUE(std::isinf(greatest_pull_n(10, 8, chain)));
    EXPECT_FALSE(std::isinf(greatest_pull_n(10.01, 8, chain)));
    EXPECT_EQ(greatest_pull_n(72, 8, chain), 0);
}

TEST(RodeShape, RunsFromTheRollerToTheAnchorAndNeverGrowsLonger) {
    for (const Case& c : cases()) {
        SCOPED_TRACE(c.id);
        const auto shape = rode_shape(c.pull_n, c.span_m, c.parts, 50);
        EXPECT_NEAR(shape.front().x_m, c.reach_m, 1e-6);
        EXPECT_NEAR(shape.front().z_m, c.span_m, 1e-9);
        EXPECT_NEAR(shape.back().x_m, 0, 1e-12);
        double drawn_m = 0;
        for (std::size_t i = 1; i < shape.size(); ++i) {
            drawn_m += std::hypot(shape[i].x_m - shape[i - 1].x_m, shape[i].z_m - shape[i - 1].z_m);
            EXPECT_LE(shape[i].z_m, shape[i - 1].z_m + 1e-9);
        }
        EXPECT_NEAR(drawn_m, length_m(c.parts), 0.02 * length_m(c.parts));
        EXPECT_LE(drawn_m, length_m(c.parts) + 1e-6);
    }
}

} // namespace
} // namespace swingroom
