#include "swingroom/chart/dissolved_exclusions.hpp"
#include "swingroom/chart/georeference.hpp"

#include "support/toothed_ring.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <chrono>
#include <cmath>
#include <iostream>
#include <numbers>

namespace swingroom {
namespace {

using Path = std::vector<GridPoint>;
using testing::ElementsAre;

/// Cells of 10 m.
const Grid& utm() {
    static const Grid grid{4000, 3000, 480000, 6670000, 10, -10, horizontal_crs_wkt("EPSG:32633", "raster")};
    return grid;
}

Hazard hazard(const std::string& kind, double margin_m, const std::string& label, std::vector<Path> paths,
              std::vector<Path> rings = {}, std::uint8_t effects = effect::ground) {
    Hazard h;
    h.kind = kind;
    h.effects = effects;
    h.margin_m = margin_m;
    h.label = label;
    h.paths = std::move(paths);
    h.rings = std::move(rings);
    return h;
}

std::vector<DissolvedExclusion> dissolved(const std::vector<Hazard>& hazards) {
    std::vector<DissolvedExclusion> zones;
    each_dissolved_exclusion(hazards, utm(), "raster",
                             [&](DissolvedExclusion&& zone) { zones.push_back(std::move(zone)); });
    return zones;
}

bool covers(const DissolvedExclusion& zone, GridPoint in_grid) {
    const LonLat p = Georeference(utm(), "raster").lonlat(in_grid);
    bool in = false;
    for (const Path& ring : zone.rings)
        for (std::size_t i = 0; i + 1 < ring.size(); ++i) {
            const GridPoint a = ring[i], b = ring[i + 1];
            if ((a.y > p.lat) != (b.y > p.lat) && p.lon < a.x + (p.lat - a.y) / (b.y - a.y) * (b.x - a.x))
                in = !in;
        }
    return in;
}

TEST(DissolvedExclusions, OfOneClassOverlapIsOneAndWhatIsApartStaysApart) {
    const auto zones = dissolved({hazard("cable", 463, "cables #1", {{{1000, 1000}, {1500, 1000}}}),
                                  hazard("rock", 50, "rocks #1", {{{1200, 1000}}}),
                                  hazard("cable", 463, "cables #2", {{{1200, 500}, {1200, 1500}}}),
                                  hazard("cable", 463, "cables #3", {{{3000, 2000}, {3500, 2000}}}),
                                  hazard("cable", 463, "cables #4", {{{1000, 1090}, {1500, 1090}}})});
    ASSERT_EQ(zones.size(), 3u);
    EXPECT_EQ(zones[0].kind, "cable");
    EXPECT_THAT(zones[0].features, ElementsAre("cables #1", "cables #2", "cables #4"));
    EXPECT_EQ(zones[0].margin_m, 463);
    EXPECT_THAT(zones[1].features, ElementsAre("cables #3"));
    EXPECT_EQ(zones[2].kind, "rock") << "another class stays itself, wherever it lies";
    for (const GridPoint p : {GridPoint{1000, 1000}, {1200, 1500}, {1500, 1090}, {1300, 1045}})
        EXPECT_TRUE(covers(zones[0], p)) << p.x << ' ' << p.y;
    EXPECT_FALSE(covers(zones[0], {1400, 700}));
}

TEST(DissolvedExclusions, ARingOfCablesKeepsItsHole) {
    const auto zones = dissolved({hazard("cable", 100, "cables #1", {{{1000, 1000}, {1500, 1000}}}),
                                  hazard("cable", 100, "cables #2", {{{1500, 1000}, {1500, 1500}}}),
                                  hazard("cable", 100, "cables #3", {{{1500, 1500}, {1000, 1500}}}),
                                  hazard("cable", 100, "cables #4", {{{1000, 1500}, {1000, 1000}}})});
    ASSERT_EQ(zones.size(), 1u);
    EXPECT_EQ(zones[0].rings.size(), 2u);
    EXPECT_EQ(zones[0].features.size(), 4u);
    EXPECT_FALSE(covers(zones[0], {1250, 1250}));
    EXPECT_TRUE(covers(zones[0], {1250, 1005}));
}

TEST(DissolvedExclusions, MarginsMayDifferInAClassEffectsMayNot) {
    const auto zones = dissolved({hazard("wreck", 50, "wrecks #1", {{{1000, 1000}}}),
                                  hazard("wreck", 80, "wrecks #2", {{{1008, 1000}}}),
                                  hazard("wreck", 50, "wrecks #3", {{{1004, 1000}}}, {}, effect::hull),
                                  hazard("sand", 50, "seabed #1", {{{1004, 1000}}}, {}, 0)});
    ASSERT_EQ(zones.size(), 2u);
    EXPECT_EQ(zones[0].margin_m, 80);
    EXPECT_THAT(zones[0].features, ElementsAre("wrecks #1", "wrecks #2"));
    EXPECT_EQ(zones[1].effects, effect::hull);
}

TEST(DissolvedExclusions, ABowTieKeepsBothLobesAndAFeatureIsNamedOnceInEach) {
    // Two bow-ties in one feature, as reading delivers them: two groups of rings under one label.
    const Path bow{{1000, 1000}, {2000, 2000}, {2000, 1000}, {1000, 2000}, {1000, 1000}};
    Path other = bow;
    for (GridPoint& p : other)
        p.y += 500;
    const auto zones =
        dissolved({hazard("area", 5, "areas #7", {}, {bow}), hazard("area", 5, "areas #7", {}, {other})});
    ASSERT_EQ(zones.size(), 1u);
    EXPECT_THAT(zones[0].features, ElementsAre("areas #7"));
    for (const GridPoint p : {GridPoint{1050, 1500}, {1950, 1500}, {1490, 1500}, {1510, 1500}, {1050, 2000}})
        EXPECT_TRUE(covers(zones[0], p)) << p.x << ' ' << p.y;
    EXPECT_FALSE(covers(zones[0], {1500, 1100}));
    EXPECT_FALSE(covers(zones[0], {1500, 2400}));
}

TEST(DissolvedExclusions, ATenTimesLongerToothedRingTakesNoMoreThanTenTimesAsLong) {
    double before_s = 0;
    for (const int vertices : {10'000, 100'000, 1'000'000}) {
        const Hazard h = hazard("reef", 50, "reefs #1", {}, {testing_support::toothed_ring(vertices)});
        const auto begin = std::chrono::steady_clock::now();
        const auto zones = dissolved({h});
        const double took_s = std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
        std::cout << vertices << " vertices: " << took_s << " s\n";
        ASSERT_EQ(zones.size(), 1u);
        ASSERT_EQ(zones[0].rings.size(), 1u);
        EXPECT_TRUE(covers(zones[0], {2000, 1500}));
        // Not simplified by more than the teeth are high: 2 m all round.
        const LonLat middle = Georeference(utm(), "raster").lonlat({2000, 1500});
        const double reach_m = vertices * 0.5 / (2 * std::numbers::pi) + 50;
        for (const GridPoint p : zones[0].rings[0]) {
            const double away_m = geodesic(middle, {p.x, p.y}).distance_m;
            ASSERT_GT(away_m, reach_m);
            ASSERT_LT(away_m, 1.001 * (reach_m + 1) + 4);
        }
        // A buffer's cost would be a hundredfold; fixed costs and a busy machine have room.
        EXPECT_LT(took_s, before_s == 0 ? 30 : 10 * before_s + 10);
        before_s = took_s;
    }
}

} // namespace
} // namespace swingroom
