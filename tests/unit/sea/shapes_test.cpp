#include "sea/geometry/shapes.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <numbers>
#include <random>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

Shapes shapes_of_ring(const Chain& vertices) {
    OGRLinearRing ring;
    for (const GridPoint p : vertices) {
        ring.addPoint(p.x, p.y);
    }
    ring.closeRings();
    OGRPolygon polygon;
    polygon.addRing(&ring);
    CPLPushErrorHandler(CPLQuietErrorHandler); // GEOS speaks of every broken polygon
    Shapes shapes = shapes_of(polygon);
    CPLPopErrorHandler();
    return shapes;
}

/// How often a ring goes round a point.
int winding(const Chain& ring, GridPoint p) {
    int turns = 0;
    for (std::size_t i = 0; i < ring.size(); ++i) {
        const GridPoint a = ring[i], b = ring[(i + 1) % ring.size()];
        const double side = (b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x);
        if (a.y <= p.y && b.y > p.y && side > 0) ++turns;
        if (a.y > p.y && b.y <= p.y && side < 0) --turns;
    }
    return turns;
}

/// Inside and outside alternate within a group; a point is covered if it is inside any.
bool covered(const Shapes& shapes, GridPoint p) {
    return std::any_of(shapes.ring_groups.begin(), shapes.ring_groups.end(), [&](const auto& group) {
        int odd = 0;
        for (const Chain& ring : group) {
            odd ^= winding(ring, p) & 1;
        }
        return odd == 1;
    });
}

/// A circle of radius 1 traced several times by a hand that shakes.
Chain shaky_circle(int rounds, int vertices_in_a_round, double shake) {
    std::mt19937_64 dice(7);
    std::uniform_real_distribution<double> radius(1 - shake, 1 + shake);
    Chain ring;
    for (int i = 0; i < rounds * vertices_in_a_round; ++i) {
        const double angle = 2 * std::numbers::pi * i / vertices_in_a_round, r = radius(dice);
        ring.push_back({r * std::cos(angle), r * std::sin(angle)});
    }
    return ring;
}

TEST(Shapes, WhatIsTracedTwiceIsInsideHoweverOftenTheLinesCross) {
    for (const auto& [rounds, vertices] : {std::pair(2, 60), std::pair(2, 600), std::pair(2, 2000),
                                           std::pair(2, 20'000), std::pair(4, 1500), std::pair(16, 1500)}) {
        const Chain ring = shaky_circle(rounds, vertices, 0.02);
        const Shapes shapes = shapes_of_ring(ring);
        for (double y = -0.97; y < 1; y += 0.097) {
            for (double x = -0.97; x < 1; x += 0.097) {
                if (winding(ring, {x, y}) != 0) {
                    ASSERT_TRUE(covered(shapes, {x, y})) << rounds << ' ' << vertices << ' ' << x << ' ' << y;
                }
            }
        }
        EXPECT_FALSE(covered(shapes, {0.8, 0.8})) << "and no more than its hull";
    }
}

TEST(Shapes, ATracedCrescentTakesLittleMoreThanItself) {
    // A horseshoe traced twice: the cut in halves falls between the rounds, so that its mouth stays open.
    std::mt19937_64 dice(3);
    std::uniform_real_distribution<double> shake(-0.01, 0.01);
    Chain ring;
    for (int round = 0; round < 2; ++round) {
        for (int i = 0; i <= 500; ++i) {
            const double angle = 0.3 + (2 * std::numbers::pi - 0.6) * i / 500, r = 1 + shake(dice);
            ring.push_back({r * std::cos(angle), r * std::sin(angle)});
        }
        for (int i = 500; i >= 0; --i) {
            const double angle = 0.3 + (2 * std::numbers::pi - 0.6) * i / 500, r = 0.8 + shake(dice);
            ring.push_back({r * std::cos(angle), r * std::sin(angle)});
        }
    }
    const Shapes shapes = shapes_of_ring(ring);
    EXPECT_TRUE(covered(shapes, {-0.9, 0}));
    EXPECT_TRUE(covered(shapes, {0, 0.9}));
    EXPECT_FALSE(covered(shapes, {0, 0}));
    EXPECT_FALSE(covered(shapes, {0.9, 0}));
}

TEST(Shapes, TanglesLoseNothingInBoundedTime) {
    for (const int vertices : {50, 200, 1000, 5000}) {
        std::mt19937_64 dice(4);
        std::uniform_real_distribution<double> anywhere(0, 1);
        Chain ring;
        for (int i = 0; i < vertices; ++i) {
            ring.push_back({anywhere(dice), anywhere(dice)});
        }
        const auto start = std::chrono::steady_clock::now();
        const Shapes shapes = shapes_of_ring(ring);
        EXPECT_LT(std::chrono::steady_clock::now() - start, std::chrono::seconds(20)) << vertices;
        int enclosed = 0;
        for (int i = 0; i < 500; ++i) {
            const GridPoint p{anywhere(dice), anywhere(dice)};
            if (winding(ring, p) == 0) continue;
            ++enclosed;
            ASSERT_TRUE(covered(shapes, p)) << vertices << ' ' << p.x << ' ' << p.y;
        }
        EXPECT_GT(enclosed, 200);
    }
}

} // namespace
} // namespace swingroom
