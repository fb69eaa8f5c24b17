#include "sea/geometry/outline.hpp"

#include <gtest/gtest.h>

#include <memory>
#include <random>
#include <string>
#include <vector>

namespace swingroom {
namespace {

using Geometry = std::unique_ptr<OGRGeometry>;

Geometry geometry(const std::string& wkt) {
    OGRGeometry* made = nullptr;
    OGRGeometryFactory::createFromWkt(wkt.c_str(), nullptr, &made);
    return Geometry(made);
}

/// What remains of one area without others; null if edges do not tell.
Geometry without(const std::string& whole, const std::vector<std::string>& parts) {
    Outline outline;
    outline.add(*geometry(whole));
    for (const std::string& part : parts) {
        outline.take_out(*geometry(part));
    }
    return outline.polygons();
}

/// Whether two geometries cover the same, however they are written.
bool same(const OGRGeometry& a, const OGRGeometry& b) {
    const Geometry rest(a.SymDifference(&b));
    return rest && rest->IsEmpty();
}

const char* const big = "POLYGON((0 0,4 0,8 0,8 8,4 8,0 8,0 0))";
const char* const west = "POLYGON((0 0,4 0,4 8,0 8,0 0))";
const char* const east = "POLYGON((4 0,4 8,8 8,8 0,4 0))"; // the other way round

TEST(Outline, OfAllPartsTakenOutIsEmpty) {
    const Geometry rest = without(big, {west, east});
    ASSERT_TRUE(rest);
    EXPECT_TRUE(rest->IsEmpty());
}

TEST(Outline, WhatRemainsIsWhatGeosFinds) {
    const Geometry rest = without(big, {west});
    ASSERT_TRUE(rest);
    EXPECT_TRUE(same(*rest, *geometry(east)));
}

TEST(Outline, HolesAndWhatLiesInThemAreToldApart) {
    const std::string lake = "POLYGON((1 1,3 1,3 3,1 3,1 1))", isle = "POLYGON((1.5 1.5,2 1.5,2 2,1.5 1.5))";
    const Geometry ring = without(big, {lake});
    ASSERT_TRUE(ring);
    EXPECT_DOUBLE_EQ(ring->toMultiPolygon()->get_Area(), 60);
    Outline outline;
    outline.add(*geometry(big));
    outline.take_out(*geometry(lake));
    outline.add(*geometry(isle));
    const auto both = outline.polygons();
    ASSERT_TRUE(both);
    EXPECT_EQ(both->getNumGeometries(), 2);
    EXPECT_DOUBLE_EQ(both->get_Area(), 60 + 0.125);
}

TEST(Outline, WhatEdgesAloneDoNotTellIsNotAnswered) {
    EXPECT_FALSE(without("POLYGON((0 0,8 0,8 8,0 8,0 0))", {west})) << "an edge with a vertex too many";
    EXPECT_FALSE(without(big, {west, west})) << "taken out twice";
    EXPECT_FALSE(without(big, {"POLYGON((20 0,24 0,24 8,20 8,20 0))"})) << "beside it";
    EXPECT_FALSE(without(big, {"POLYGON((3 3,9 3,9 5,3 5,3 3))"})) << "across its edge";
    EXPECT_FALSE(without(big, {"POLYGON((1 1,3 1,3 3,1 3,1 1))", "POLYGON((2 2,5 2,5 5,2 5,2 2))"}))
        << "overlapping each other";
    EXPECT_FALSE(without(big, {"POLYGON((1 1,3 1,3 3,1 3,1 1))", "POLYGON((3 3,5 3,5 5,3 5,3 3))"}))
        << "touching in a vertex";
}

/// Squares of a lattice, each part one or several of them with shared edges, as GEOS joins and cuts them.
TEST(Outline, OfPartsOfALatticeIsWhatGeosFinds) {
    std::mt19937 dice(21);
    constexpr int side = 6;
    const auto square = [](int x, int y) {
        const auto at = [](int col, int row) { return std::to_string(col) + " " + std::to_string(row); };
        return geometry("POLYGON((" + at(x, y) + "," + at(x + 1, y) + "," + at(x + 1, y + 1) + "," +
                        at(x, y + 1) + "," + at(x, y) + "))");
    };
    int told = 0;
    for (int run = 0; run < 400; ++run) {
        Outline outline;
        OGRMultiPolygon added, taken;
        for (int i = 0; i < side * side; ++i) {
            const Geometry one = square(i % side, i / side);
            outline.add(*one);
            added.addGeometry(one.get());
            if (dice() % 8 != 0) continue;
            outline.take_out(*one);
            taken.addGeometry(one.get());
        }
        const auto rest = outline.polygons();
        if (!rest) continue; // some touch in a vertex
        ++told;
        const Geometry all(added.UnionCascaded()), out(taken.IsEmpty() ? nullptr : taken.UnionCascaded());
        const Geometry expected(out ? all->Difference(out.get()) : all->clone());
        ASSERT_TRUE(same(*rest, *expected)) << "run " << run;
    }
    EXPECT_GT(told, 50);
}

} // namespace
} // namespace swingroom
