#include "swingroom/sea/dissolved_exclusions.hpp"
#include "swingroom/sea/exclusions.hpp"
#include "swingroom/sea/georeference.hpp"

#include "support/toothed_ring.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdlib>
#include <ctime>
#include <iostream>
#include <numbers>
#include <string>

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
              std::vector<Path> rings = {}, Effects effects = effect::ground) {
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
    each_dissolved_exclusion({hazards, utm(), "raster"},
                             [&](DissolvedExclusion&& zone) { zones.push_back(std::move(zone)); });
    return zones;
}

bool covers(const DissolvedExclusion& zone, GridPoint in_grid) {
    const LonLat p = Georeference(utm(), "raster").lonlat(in_grid);
    bool in = false;
    for (const Path& ring : zone.rings) {
        for (std::size_t i = 0; i + 1 < ring.size(); ++i) {
            const GridPoint a = ring[i], b = ring[i + 1];
            if ((a.y > p.lat) != (b.y > p.lat) && p.lon < a.x + (p.lat - a.y) / (b.y - a.y) * (b.x - a.x)) {
                in = !in;
            }
        }
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
    for (const GridPoint p : {GridPoint{1000, 1000}, {1200, 1500}, {1500, 1090}, {1300, 1045}}) {
        EXPECT_TRUE(covers(zones[0], p)) << p.x << ' ' << p.y;
    }
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
    for (GridPoint& p : other) {
        p.y += 500;
    }
    const auto zones =
        dissolved({hazard("area", 5, "areas #7", {}, {bow}), hazard("area", 5, "areas #7", {}, {other})});
    ASSERT_EQ(zones.size(), 1u);
    EXPECT_THAT(zones[0].features, ElementsAre("areas #7"));
    for (const GridPoint p :
         {GridPoint{1050, 1500}, {1950, 1500}, {1490, 1500}, {1510, 1500}, {1050, 2000}}) {
        EXPECT_TRUE(covers(zones[0], p)) << p.x << ' ' << p.y;
    }
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

/// Squares of 40 m, 80 m apart, each with a hole.
std::vector<Path> crowd(int parts) {
    std::vector<Path> rings;
    for (int i = 0; i < parts; ++i) {
        const double x = 5 + i % 320 * 12, y = 5 + i / 320 * 9;
        rings.push_back({{x, y}, {x + 4, y}, {x + 4, y + 4}, {x, y + 4}, {x, y}});
        rings.push_back({{x + 1, y + 2}, {x + 3, y + 2}, {x + 3, y + 3}, {x + 1, y + 3}, {x + 1, y + 2}});
    }
    return rings;
}

TEST(DissolvedExclusions, ACrowdOfPartsTakesSecondsAndNoneIsLeftOut) {
    // SWINGROOM_CROWD: how many parts; 100,000 takes ten to twenty seconds.
    const char* const asked = std::getenv("SWINGROOM_CROWD");
    const int parts = asked ? std::stoi(asked) : 20'000;
    for (const double margin_m : {5.0, 60.0}) {
        const Hazard h = hazard("reef", margin_m, "reefs #1", {}, crowd(parts));
        const std::clock_t begin = std::clock();
        const auto zones = dissolved({h});
        const double took_s = static_cast<double>(std::clock() - begin) / CLOCKS_PER_SEC;
        std::cout << parts << " parts, margin " << margin_m << " m: " << took_s << " s of a processor, "
                  << zones.size() << " polygons\n";
        // Joining all at every step took three quarters of a minute and more.
        EXPECT_LT(took_s, asked ? 30 : 12);
        if (margin_m < 10) {
            EXPECT_EQ(zones.size(), static_cast<std::size_t>(parts));
        } else {
            EXPECT_EQ(zones.size(), 1u);
        }
        double widest_m = 0;
        for (std::size_t z = 0; margin_m < 10 && z < zones.size(); z += 97) {
            const Georeference georeference(utm(), "raster");
            const GridPoint vertex = zones[z].rings[0][0],
                            near = georeference.grid_point({vertex.x, vertex.y});
            const int col = static_cast<int>(std::floor((near.x - 1) / 12)),
                      row = static_cast<int>((near.y - 3) / 9);
            const int part = row * 320 + col;
            const double x = 5 + col * 12, y = 5 + row * 9;
            for (const GridPoint p : zones[z].rings[0]) {
                const GridPoint at = georeference.grid_point({p.x, p.y});
                const double dx = std::max({x - at.x, 0.0, at.x - x - 4}),
                             dy = std::max({y - at.y, 0.0, at.y - y - 4});
                widest_m = std::max(widest_m, 10 * std::hypot(dx, dy));
                ASSERT_GT(10 * std::hypot(dx, dy), margin_m * 0.999) << part;
            }
            for (const GridPoint p : {GridPoint{x - 0.49, y - 0.05}, {x + 4.49, y + 4}, {x + 2, y + 4.49}}) {
                ASSERT_TRUE(covers(zones[z], p)) << part;
            }
            ASSERT_FALSE(covers(zones[z], {x - 0.45, y - 0.45})) << "corners are round";
        }
        EXPECT_LT(widest_m, margin_m * 1.001 + exclusion_excess_m(h));
    }
}

} // namespace
} // namespace swingroom
