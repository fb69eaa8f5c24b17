#include "sea/geometry/simple_ring.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <ctime>
#include <iostream>
#include <numbers>
#include <random>
#include <utility>

namespace swingroom {
namespace {

/// Exact for whole numbers.
std::int64_t exact_turn(GridPoint a, GridPoint b, GridPoint c) {
    const auto whole = [](double v) { return static_cast<std::int64_t>(v); };
    return (whole(b.x) - whole(a.x)) * (whole(c.y) - whole(a.y)) -
           (whole(b.y) - whole(a.y)) * (whole(c.x) - whole(a.x));
}

bool on_segment(GridPoint p, GridPoint a, GridPoint b) {
    return exact_turn(a, b, p) == 0 && std::min(a.x, b.x) <= p.x && p.x <= std::max(a.x, b.x) &&
           std::min(a.y, b.y) <= p.y && p.y <= std::max(a.y, b.y);
}

bool meet(GridPoint a, GridPoint b, GridPoint c, GridPoint d) {
    const auto sign = [](std::int64_t v) { return v > 0 ? 1 : v < 0 ? -1 : 0; };
    if (sign(exact_turn(a, b, c)) * sign(exact_turn(a, b, d)) < 0 &&
        sign(exact_turn(c, d, a)) * sign(exact_turn(c, d, b)) < 0) {
        return true;
    }
    return on_segment(a, c, d) || on_segment(b, c, d) || on_segment(c, a, b) || on_segment(d, a, b);
}

/// Every pair of edges, by the words.
bool is_simple(const Chain& ring) {
    const std::size_t n = ring.size() - 1;
    for (std::size_t i = 0; i < n; ++i) {
        for (std::size_t j = i + 1; j < n; ++j) {
            const GridPoint a = ring[i], b = ring[i + 1], c = ring[j], d = ring[j + 1];
            const bool follows = j == i + 1, precedes = i == 0 && j == n - 1;
            if (follows && precedes) return false; // two edges
            if (follows && (on_segment(d, a, b) || on_segment(a, c, d))) return false;
            if (precedes && (on_segment(c, a, b) || on_segment(b, c, d))) return false;
            if (!follows && !precedes && meet(a, b, c, d)) return false;
        }
    }
    return true;
}

Chain closed(Chain ring) {
    ring.push_back(ring.front());
    return ring;
}

TEST(SimpleRing, IsToldFromOneThatMeetsItselfWhateverItsShape) {
    std::mt19937 dice(11);
    int simple = 0, others = 0;
    for (int run = 0; run < 60'000; ++run) {
        // Few places to choose from, so that vertices coincide, lie on edges and edges on each other.
        const int vertices = 3 + run % 7;
        std::uniform_int_distribution<int> place(0, 2 + run % 12);
        Chain ring;
        for (int i = 0; i < vertices; ++i) {
            ring.push_back({static_cast<double>(place(dice)), static_cast<double>(place(dice))});
        }
        ring = closed(std::move(ring));
        const bool expected = is_simple(ring);
        ASSERT_EQ(proven_simple(ring), expected) << "run " << run;
        (expected ? simple : others) += 1;
    }
    EXPECT_GT(simple, 5000);
    EXPECT_GT(others, 5000);
}

TEST(SimpleRing, OfManyVerticesIsToldAsWell) {
    std::mt19937 dice(12);
    int simple = 0, others = 0;
    for (int run = 0; run < 400; ++run) {
        // Around a centre, so that most do not cross; sometimes one vertex is moved far away.
        const int vertices = 20 + static_cast<int>(dice() % 200);
        Chain ring;
        for (int i = 0; i < vertices; ++i) {
            const double angle = 2 * std::numbers::pi * i / vertices,
                         r = 2000 + static_cast<double>(dice() % 8000);
            ring.push_back({std::round(r * std::cos(angle)), std::round(r * std::sin(angle))});
        }
        if (run % 2 == 1) std::swap(ring[dice() % ring.size()], ring[dice() % ring.size()]);
        if (run % 4 == 3) std::reverse(ring.begin(), ring.end());
        ring = closed(std::move(ring));
        const bool expected = is_simple(ring);
        ASSERT_EQ(proven_simple(ring), expected) << "run " << run;
        (expected ? simple : others) += 1;
    }
    EXPECT_GT(simple, 100);
    EXPECT_GT(others, 100);
}

TEST(SimpleRing, IsNoneThatIsOpenOrHasFewerThanThreeEdges) {
    EXPECT_FALSE(proven_simple({}));
    EXPECT_FALSE(proven_simple({{0, 0}, {1, 0}, {0, 0}}));
    EXPECT_FALSE(proven_simple({{0, 0}, {1, 0}, {1, 1}, {0, 1}}));
    EXPECT_TRUE(proven_simple({{0, 0}, {1, 0}, {1, 1}, {0, 0}}));
}

TEST(SimpleRing, WhatRoundingLeavesOpenIsNotProven) {
    // The third vertex lies on the long edge to within less than numbers tell: on which side is not known.
    const double third = 1.0 / 3;
    EXPECT_FALSE(proven_simple({{0, 0}, {3, 1}, {3, 2}, {1, third}, {0, 1}, {0, 0}}));
}

TEST(SimpleRing, TenTimesAsManyLongTeethTakeAboutTenTimesAsLong) {
    // Boxes of teeth that are a fifth of the radius deep overlap those of thousands of others.
    double before_s = 0;
    for (const int teeth : {10'000, 100'000}) {
        Chain ring;
        for (int i = 0; i < 2 * teeth; ++i) {
            const double angle = std::numbers::pi * i / teeth, r = i % 2 == 0 ? 1.0 : 0.8;
            ring.push_back({r * std::cos(angle), r * std::sin(angle)});
        }
        ring = closed(std::move(ring));
        const std::clock_t begin = std::clock();
        EXPECT_TRUE(proven_simple(ring));
        const double took_s = static_cast<double>(std::clock() - begin) / CLOCKS_PER_SEC;
        std::cout << teeth << " teeth: " << took_s << " s\n";
        if (before_s > 0) {
            EXPECT_LT(took_s, 30 * before_s + 0.5);
        }
        before_s = took_s;
    }
}

} // namespace
} // namespace swingroom
