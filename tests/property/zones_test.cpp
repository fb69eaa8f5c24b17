// Zones as strict readers of polygons see them: GEOS says whether they are valid and what they cover.

#include "support/drawing.hpp"
#include "support/geos.hpp"
#include "support/zone_drawing.hpp"

#include <gtest/gtest.h>

namespace swingroom::testing_support {
namespace {

constexpr std::uint64_t scenes = 400;

TEST(ZonesInGeos, AreValidOnceShrunkByHoweverLittle) {
    const Geos geos;
    for (std::uint64_t seed = 0; seed < scenes; ++seed) {
        Dice dice(seed);
        const Drawing drawing = random_drawing(dice, dice.whole(1, 24), dice.whole(1, 24));
        SCOPED_TRACE("seed " + std::to_string(seed) + text_of(drawing));
        for (const double by : {1e-9, 0.01, 0.49}) {
            std::vector<Geometry> polygons;
            double area = 0;
            for (const Zone& zone : trace(drawing)) {
                const auto rings = shrunk(zone.rings, by, by / 2);
                polygons.push_back(polygon(geos, rings));
                area += area_of(rings);
                ASSERT_TRUE(valid(geos, polygons.back())) << "shrunk by " << by;
            }
            if (polygons.empty()) continue;
            const Geometry all = united(geos, std::move(polygons));
            double covered = 0;
            ASSERT_EQ(GEOSArea_r(geos.get(), all.get(), &covered), 1);
            EXPECT_NEAR(covered, area, 1e-9 * area) << "zones overlap, or a ring is turned the wrong way";
        }
    }
}

TEST(ZonesInGeos, CoverTheirCellsAndNothingElse) {
    const Geos geos;
    for (std::uint64_t seed = 0; seed < scenes; ++seed) {
        Dice dice(seed);
        const int cols = dice.whole(1, 20), rows = dice.whole(1, 20);
        const Drawing drawing = random_drawing(dice, cols, rows);
        SCOPED_TRACE("seed " + std::to_string(seed) + text_of(drawing));
        for (const Zone& zone : trace(drawing)) {
            std::vector<Geometry> squares;
            for (int row = 0; row < rows; ++row)
                for (int col = 0; col < cols; ++col) {
                    if (!covers_cell(zone.rings, col, row)) continue;
                    const double x = col, y = row;
                    squares.push_back(
                        polygon(geos, {{{x, y}, {x + 1, y}, {x + 1, y + 1}, {x, y + 1}, {x, y}}}));
                }
            ASSERT_EQ(static_cast<std::int64_t>(squares.size()), zone.cells);
            const Geometry cells = united(geos, std::move(squares));
            // Rings that meet themselves in a corner are taken apart at it, which changes no point of them.
            const Geometry raw = polygon(geos, zone.rings);
            const Geometry mended = own(geos, GEOSMakeValid_r(geos.get(), raw.get()));
            ASSERT_EQ(GEOSEquals_r(geos.get(), cells.get(), mended.get()), 1);
        }
    }
}

} // namespace
} // namespace swingroom::testing_support
