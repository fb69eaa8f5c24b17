#include "publish/vector/fewer_corners.hpp"

#include <gtest/gtest.h>
#include <ogr_geometry.h>

#include <cmath>
#include <memory>
#include <random>

namespace swingroom {
namespace {

/// By GEOS through OGR, which is none of what is tested: it looks at all corners and edges.
std::unique_ptr<OGRPolygon> polygon(const LatticeRing& ring) {
    auto outline = std::make_unique<OGRLinearRing>();
    for (const LatticePoint& point : ring) {
        outline->addPoint(static_cast<double>(point.x), static_cast<double>(point.y));
    }
    auto made = std::make_unique<OGRPolygon>();
    made->addRingDirectly(outline.release());
    return made;
}

/// A star-like coast around a point, every corner somewhere else.
LatticeRing coast(int corners, double least, double most, unsigned seed) {
    std::mt19937 dice(seed);
    std::uniform_real_distribution<double> reach(least, most);
    LatticeRing ring;
    for (int i = 0; i < corners; ++i) {
        const double angle = 2 * M_PI * i / corners, r = reach(dice);
        ring.push_back({-49'000'000 + std::llround(r * std::cos(angle)),
                        480'000'000 + std::llround(r * std::sin(angle))});
    }
    ring.push_back(ring.front());
    return ring;
}

TEST(FewerCorners, LieOnTheSideThatIsSafe) {
    for (const int corners : {501, 4000}) {
        for (unsigned seed = 1; seed <= 2; ++seed) {
            const LatticeRing ring = coast(corners, 40'000, 60'000, seed);
            const LatticeRing inner = with_fewer_corners(ring, 500, Shrinks::inside),
                              outer = with_fewer_corners(ring, 500, Shrinks::outside);
            for (const LatticeRing* const fewer : {&inner, &outer}) {
                ASSERT_GE(fewer->size(), 4U);
                EXPECT_LE(fewer->size(), 500U);
                EXPECT_EQ(fewer->front(), fewer->back());
                EXPECT_TRUE(polygon(*fewer)->IsValid());
            }
            const auto whole = polygon(ring), small = polygon(inner), large = polygon(outer);
            EXPECT_TRUE(whole->Contains(small.get())) << corners;
            EXPECT_TRUE(large->Contains(whole.get())) << corners;
            EXPECT_GT(small->get_Area(), 0.3 * whole->get_Area());
            EXPECT_LT(large->get_Area(), 2 * whole->get_Area());
        }
    }
}

// A hull has no bays that could be filled: it gets sides that touch it.
TEST(FewerCorners, OfAConvexRingAreSidesAroundIt) {
    const LatticeRing ring = coast(4000, 500'000, 500'000, 1);
    const LatticeRing outer = with_fewer_corners(ring, 500, Shrinks::outside);
    EXPECT_LE(outer.size(), 500U);
    const auto whole = polygon(ring), large = polygon(outer);
    EXPECT_TRUE(large->Contains(whole.get()));
    EXPECT_LT(large->get_Area(), 1.01 * whole->get_Area());
}

TEST(FewerCorners, OfAShortRingAreItsOwn) {
    const LatticeRing ring = coast(100, 1000, 2000, 1);
    EXPECT_EQ(with_fewer_corners(ring, 500, Shrinks::inside), ring);
    EXPECT_EQ(with_fewer_corners(ring, 500, Shrinks::outside), ring);
}

TEST(FewerCorners, OfARingThatCrossesItselfAreNoneOrTheHull) {
    LatticeRing ring = coast(1000, 1000, 1000, 1);
    std::swap(ring[100], ring[600]);
    EXPECT_TRUE(with_fewer_corners(ring, 500, Shrinks::inside).empty());
    const auto large = polygon(with_fewer_corners(ring, 500, Shrinks::outside));
    for (const LatticePoint& point : ring) {
        const OGRPoint at(static_cast<double>(point.x), static_cast<double>(point.y));
        EXPECT_TRUE(large->Contains(&at));
    }
}

} // namespace
} // namespace swingroom
