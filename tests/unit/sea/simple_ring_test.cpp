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
#include <vector>

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

/// Whether a vertex lies inside a ring that it does not lie on.
bool lies_in(GridPoint p, const Chain& ring) {
    bool inside = false;
    for (std::size_t i = 0; i + 1 < ring.size(); ++i) {
        const auto [low, high] =
            ring[i].y < ring[i + 1].y ? std::pair(ring[i], ring[i + 1]) : std::pair(ring[i + 1], ring[i]);
        if (low.y <= p.y && p.y < high.y && exact_turn(low, high, p) > 0) inside = !inside;
    }
    return inside;
}

bool meet(const Chain& a, const Chain& b) {
    for (std::size_t i = 0; i + 1 < a.size(); ++i) {
        for (std::size_t j = 0; j + 1 < b.size(); ++j) {
            if (meet(a[i], a[i + 1], b[j], b[j + 1])) return true;
        }
    }
    return false;
}

using Polygons = std::vector<std::vector<Chain>>;

/// Whether a vertex of a ring lies in the inside of a polygon, the ring itself not counted as one of its.
bool lies_in(const Chain& ring, const std::vector<Chain>& polygon) {
    if (&ring == &polygon.front() || !lies_in(ring.front(), polygon.front())) return false;
    return std::none_of(polygon.begin() + 1, polygon.end(),
                        [&](const Chain& hole) { return &hole != &ring && lies_in(ring.front(), hole); });
}

/// Every pair of rings, by the words.
bool are_valid(const Polygons& polygons) {
    std::vector<const Chain*> rings;
    for (const auto& polygon : polygons) {
        for (const Chain& ring : polygon) {
            if (!is_simple(ring)) return false;
            for (const Chain* const other : rings) {
                if (meet(ring, *other)) return false;
            }
            rings.push_back(&ring);
        }
    }
    for (const auto& polygon : polygons) {
        for (const Chain& ring : polygon) {
            for (const auto& around : polygons) {
                const bool is_own_hole = &around == &polygon && &ring != &polygon.front();
                if (lies_in(ring, around) != is_own_hole) return false;
            }
        }
    }
    return true;
}

Chain square(double left, double low, double side) {
    return {{left, low}, {left + side, low}, {left + side, low + side}, {left, low + side}, {left, low}};
}

TEST(ValidPolygons, LieBesideEachOtherOrInHoles) {
    const Chain outer = square(0, 0, 10), hole = square(2, 2, 6), inner = square(4, 4, 2);
    EXPECT_TRUE(proven_valid({}));
    EXPECT_TRUE(proven_valid({{outer}}));
    EXPECT_TRUE(proven_valid({{outer, hole}}));
    EXPECT_TRUE(proven_valid({{outer, hole}, {inner}})) << "an island in a hole";
    EXPECT_TRUE(proven_valid({{inner}, {outer, hole}}));
    EXPECT_TRUE(proven_valid({{outer}, {square(11, 0, 5)}}));
    EXPECT_FALSE(proven_valid({{outer}, {hole}})) << "one within the other";
    EXPECT_FALSE(proven_valid({{hole, outer}})) << "a hole around its polygon";
    EXPECT_FALSE(proven_valid({{outer, hole, inner}})) << "a hole in a hole";
    EXPECT_FALSE(proven_valid({{outer, square(11, 0, 5)}})) << "a hole outside";
    EXPECT_FALSE(proven_valid({{outer}, {square(11, 0, 5), hole}})) << "a hole in another polygon";
    EXPECT_FALSE(proven_valid({{outer, square(8, 8, 6)}})) << "crossing rings";
    EXPECT_FALSE(proven_valid({{outer}, {square(10, 10, 6)}})) << "touching rings are not told";
    EXPECT_FALSE(proven_valid({{outer, {{2, 2}, {3, 2}, {3, 3}}}})) << "an open ring";
}

TEST(ValidPolygons, AreToldFromOthersWhateverTheirShape) {
    std::mt19937 dice(13);
    int valid = 0, others = 0;
    for (int run = 0; run < 60'000; ++run) {
        Polygons polygons;
        for (int ring = 0; ring < 2 + run % 4; ++ring) {
            // Of all sizes, so that they often lie in each other.
            const int side = ring == 0 ? 40 : 2 + static_cast<int>(dice() % 20);
            std::uniform_int_distribution<int> corner(0, 40 - side), place(0, side);
            const int left = corner(dice), low = corner(dice);
            Chain vertices;
            for (int i = 0; i < (ring == 0 ? 4 : 3); ++i) {
                vertices.push_back(
                    {static_cast<double>(left + place(dice)), static_cast<double>(low + place(dice))});
            }
            if (ring == 0) vertices = {{0, 0}, {40, 0}, {40, 40}, {0, 40}};
            if (polygons.empty() || dice() % 3 == 0) polygons.emplace_back();
            polygons[dice() % polygons.size()].push_back(closed(std::move(vertices)));
        }
        std::erase_if(polygons, [](const auto& polygon) { return polygon.empty(); });
        const bool expected = are_valid(polygons);
        ASSERT_EQ(proven_valid(polygons), expected) << "run " << run;
        (expected ? valid : others) += 1;
    }
    EXPECT_GT(valid, 2000);
    EXPECT_GT(others, 2000);
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
