#include "swingroom/room/zone_shape.hpp"

#include "support/zone_drawing.hpp"

#include <gtest/gtest.h>

namespace swingroom {
namespace {

using namespace testing_support;
using Ring = std::vector<GridPoint>;
using Rings = std::vector<Ring>;

constexpr GridPoint nowhere{-9, -9};

Rings rings_of(const char* drawn) { return trace(draw(drawn)).at(0).rings; }
Rings smoothed(const char* drawn, GridPoint keep = nowhere, const Smoothing& limits = {}) {
    return smoothed_inwards(rings_of(drawn), keep, limits);
}

TEST(ZoneShape, AStaircaseBecomesTheLineThroughItsInnerCorners) {
    EXPECT_EQ(smoothed(R"(
        4444444
        444444.
        44444..
        4444...
        444....
        444....
        444....)"),
              (Rings{{{0, 0}, {7, 0}, {3, 4}, {3, 7}, {0, 7}, {0, 0}}}));
}

TEST(ZoneShape, AFlatStaircaseDoesSoToo) {
    // Steps of five columns: each corner is just less than a cell from the line.
    EXPECT_EQ(smoothed(R"(
        ..................44444
        .............4444444444
        ........444444444444444
        ...44444444444444444444
        44444444444444444444444
        44444444444444444444444)"),
              (Rings{{{23, 0}, {23, 6}, {0, 6}, {0, 4}, {3, 4}, {23, 0}}}));
}

TEST(ZoneShape, AHolesEdgesMoveIntoTheZone) {
    const Rings rings = smoothed(R"(
        44444444
        44444444
        444..444
        44....44
        44....44
        444..444
        44444444
        44444444)");
    ASSERT_EQ(rings.size(), 2u);
    EXPECT_EQ(rings[0], rings_of(R"(
        44444444
        44444444
        444..444
        44....44
        44....44
        444..444
        44444444
        44444444)")[0])
        << "square corners stay";
    EXPECT_EQ(rings[1], (Ring{{3, 2}, {2, 3}, {2, 5}, {3, 6}, {5, 6}, {6, 5}, {6, 3}, {5, 2}, {3, 2}}));
}

TEST(ZoneShape, WhatIsToBeKeptStaysInside) {
    const char* const drawn = R"(
        4444
        444.
        44..
        4...)";
    const Ring away = smoothed(drawn)[0], kept = smoothed(drawn, {2.5, 1.5})[0];
    EXPECT_EQ(std::find(away.begin(), away.end(), GridPoint{3, 2}), away.end());
    EXPECT_NE(std::find(kept.begin(), kept.end(), GridPoint{3, 2}), kept.end())
        << "the middle of a corner's cell is on the line that would cut it";
}

TEST(ZoneShape, ALoneCellAndAFingerKeepTheirShape) {
    EXPECT_EQ(smoothed("4", {0.5, 0.5}), rings_of("4"));
    EXPECT_EQ(smoothed("44444444", {0.5, 0.5}), rings_of("44444444"))
        << "cut askew it would end in a sharp tip";
}

TEST(ZoneShape, NothingIsDroppedWithoutATolerance) {
    const char* const drawn = R"(
        4444
        444.
        44..)";
    EXPECT_EQ(smoothed(drawn, nowhere, {.tolerance = 0}), rings_of(drawn));
}

TEST(ZoneShape, AnEdgeKeepsItsDistanceFromWhatIsNear) {
    // The hole's corner is half a cell from the line that would cut the zone's.
    const char* const drawn = R"(
        44444...
        4444444.
        444.4444
        44444444
        44444444)";
    const auto has = [](const Ring& ring, GridPoint corner) {
        return std::find(ring.begin(), ring.end(), corner) != ring.end();
    };
    EXPECT_FALSE(has(smoothed(drawn, nowhere, {.clearance = 0.1})[0], {7, 1}));
    EXPECT_TRUE(has(smoothed(drawn, nowhere, {.clearance = 4})[0], {7, 1}));
}

TEST(ZoneShape, AZoneTooWideForExactNumbersStaysAsItIs) {
    const double far = 2e6;
    const Rings wide = {{{0, 0}, {far, 0}, {far, 1}, {far - 1, 1}, {far - 1, 2}, {0, 2}, {0, 0}}};
    EXPECT_EQ(smoothed_inwards(wide, nowhere, {}), wide);
}

} // namespace
} // namespace swingroom
