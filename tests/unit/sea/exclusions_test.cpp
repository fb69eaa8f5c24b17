#include "swingroom/sea/exclusions.hpp"
#include "swingroom/sea/georeference.hpp"

#include "support/toothed_ring.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <ogr_spatialref.h>

#include <chrono>
#include <cmath>
#include <geodesic.h>
#include <iostream>
#include <numbers>
#include <random>

namespace swingroom {
namespace {

using Path = std::vector<GridPoint>;

std::string wkt(int epsg) {
    OGRSpatialReference srs;
    srs.importFromEPSG(epsg);
    char* text = nullptr;
    srs.exportToWkt(&text);
    std::string out(text);
    CPLFree(text);
    return out;
}

Grid utm() { return {4000, 3000, 480000, 6670000, 10, -10, wkt(32633)}; }

Hazard hazard(double margin_m, std::vector<Path> paths, std::vector<Path> rings = {}) {
    Hazard h;
    h.effects = effect::hull | effect::ground;
    h.margin_m = margin_m;
    h.paths = std::move(paths);
    h.rings = std::move(rings);
    h.kind = "danger";
    h.label = "things #1";
    return h;
}

std::vector<Exclusion> drawn(const Hazard& h, const Grid& grid) {
    std::vector<Exclusion> out;
    each_exclusion({{&h, 1}, grid, "raster"}, [&](Exclusion&& e) { out.push_back(std::move(e)); });
    return out;
}

bool covers(const std::vector<Exclusion>& drawing, LonLat p) {
    return std::any_of(drawing.begin(), drawing.end(), [&](const Exclusion& e) {
        bool in = false;
        for (const Path& ring : e.rings) {
            for (std::size_t i = 0; i + 1 < ring.size(); ++i) {
                const GridPoint a = ring[i], b = ring[i + 1];
                if ((a.y > p.lat) != (b.y > p.lat) &&
                    p.lon < a.x + (p.lat - a.y) / (b.y - a.y) * (b.x - a.x)) {
                    in = !in;
                }
            }
        }
        return in;
    });
}

/// The position at a distance and bearing, by PROJ's own geodesic, unwrapped around a longitude.
LonLat at(LonLat from, double distance_m, double azimuth_deg, double around) {
    geod_geodesic g;
    geod_init(&g, 6378137, 1 / 298.257223563);
    LonLat to;
    geod_direct(&g, from.lat, from.lon, azimuth_deg, distance_m, &to.lat, &to.lon, nullptr);
    to.lon -= 360 * std::round((to.lon - around) / 360);
    return to;
}

/// A random place on a hazard's outline, in grid space.
GridPoint on_outline(const Hazard& h, std::mt19937_64& dice) {
    std::vector<const Path*> all;
    for (const auto* chains : {&h.paths, &h.rings}) {
        for (const Path& chain : *chains) {
            all.push_back(&chain);
        }
    }
    const Path& chain = *all[dice() % all.size()];
    if (chain.size() == 1) return chain[0];
    const std::size_t i = dice() % (chain.size() - 1);
    const double t = std::uniform_real_distribution<>(0, 1)(dice);
    return {chain[i].x + t * (chain[i + 1].x - chain[i].x), chain[i].y + t * (chain[i + 1].y - chain[i].y)};
}

/// Every place within margin and placement allowance of the outline is inside the drawing.
void expect_outside_nothing(const Hazard& h, const Grid& grid, const std::vector<Exclusion>& drawing,
                            int samples) {
    const Georeference georeference(grid, "raster");
    std::mt19937_64 dice(1);
    GridPoint centre{grid.cols / 2.0, grid.rows / 2.0};
    georeference.to_lonlat_unwrapped({&centre, 1});
    for (int i = 0; i < samples; ++i) {
        GridPoint p = on_outline(h, dice);
        georeference.to_lonlat_unwrapped({&p, 1});
        const double reach_m = (h.margin_m + h.placement_allowance_m) * (i % 2 ? 1 : 0.999999);
        const LonLat q = at({p.x, p.y}, reach_m, std::uniform_real_distribution<>(0, 360)(dice), centre.x);
        ASSERT_TRUE(covers(drawing, q)) << i << ": " << q.lon << ' ' << q.lat;
    }
}

TEST(Exclusions, ARockIsACircleDrawnOutside) {
    const Hazard h = hazard(50, {{{2000, 1500}}});
    const auto drawing = drawn(h, utm());
    ASSERT_EQ(drawing.size(), 1u);
    EXPECT_EQ(drawing[0].kind, "danger");
    EXPECT_EQ(drawing[0].label, "things #1");
    EXPECT_EQ(drawing[0].effects, h.effects);
    EXPECT_EQ(drawing[0].margin_m, 50);
    ASSERT_EQ(drawing[0].rings.size(), 1u);
    expect_outside_nothing(h, utm(), drawing, 2000);
    const LonLat rock = Georeference(utm(), "raster").lonlat({2000, 1500});
    for (const GridPoint p : drawing[0].rings[0]) {
        EXPECT_LE(geodesic(rock, {p.x, p.y}).distance_m, 50 + exclusion_excess_m(h));
    }
    EXPECT_LT(exclusion_excess_m(h), 2);
    EXPECT_EQ(drawing[0].rings[0].front(), drawing[0].rings[0].back());
}

TEST(Exclusions, NothingOfTheDangerIsLeftOutOnAnyGrid) {
    std::mt19937_64 dice(3);
    const auto real = [&](double from, double to) {
        return std::uniform_real_distribution<>(from, to)(dice);
    };
    const Grid grids[] = {utm(),
                          {1000, 1000, 179.5, 65, 0.001, -0.001, wkt(4326)},
                          {2000, 2000, 1.5e6, 8.5e6, 50, -50, wkt(3857)},
                          {1000, 1000, 10, -10, 0.01, 0.01, wkt(4326)}}; // south-up, 1,100 km
    for (const Grid& grid : grids) {
        for (int round = 0; round < 12; ++round) {
            const auto vertex = [&]() { return GridPoint{real(0, grid.cols), real(0, grid.rows)}; };
            Hazard h = hazard(round % 3 == 0 ? 0 : real(1, 3000), {});
            h.placement_allowance_m = round % 2 ? 0 : real(0, 5);
            if (round % 2) h.paths = {{vertex()}, {vertex(), vertex(), vertex()}};
            if (round % 4 < 2) {
                Path ring; // crosses itself as a rule
                for (int i = 0; i < 6; ++i) {
                    ring.push_back(vertex());
                }
                ring.push_back(ring.front());
                h.rings.push_back(ring);
            }
            if (h.paths.empty() && h.rings.empty()) continue;
            const auto drawing = drawn(h, grid);
            ASSERT_FALSE(drawing.empty());
            expect_outside_nothing(h, grid, drawing, 1500);
        }
    }
}

TEST(Exclusions, InsidesAreKeptEvenWhereRingsCross) {
    const Hazard bow =
        hazard(5, {}, {{{1000, 1000}, {2000, 2000}, {2000, 1000}, {1000, 2000}, {1000, 1000}}});
    const Hazard holed = hazard(5, {},
                                {{{1000, 1000}, {2000, 1000}, {2000, 2000}, {1000, 2000}, {1000, 1000}},
                                 {{1200, 1200}, {1800, 1200}, {1800, 1800}, {1200, 1800}, {1200, 1200}},
                                 {{3000, 1000}, {3500, 1000}, {3500, 2000}, {3000, 1000}}});
    const Georeference georeference(utm(), "raster");
    const auto bow_drawn = drawn(bow, utm()), holed_drawn = drawn(holed, utm());
    EXPECT_TRUE(covers(bow_drawn, georeference.lonlat({1100, 1500})));
    EXPECT_TRUE(covers(bow_drawn, georeference.lonlat({1900, 1500})));
    EXPECT_FALSE(covers(bow_drawn, georeference.lonlat({1500, 1100})));
    EXPECT_TRUE(covers(holed_drawn, georeference.lonlat({1100, 1500})));
    EXPECT_FALSE(covers(holed_drawn, georeference.lonlat({1500, 1500})));
    EXPECT_TRUE(covers(holed_drawn, georeference.lonlat({3400, 1200})));
    EXPECT_EQ(holed_drawn.size(), 2u);
}

TEST(Exclusions, WhatEndangersNothingIsNotDrawn) {
    Hazard h = hazard(5, {{{1, 1}}});
    h.effects = 0;
    EXPECT_TRUE(drawn(h, utm()).empty());
    EXPECT_TRUE(drawn(hazard(5, {{}}), utm()).empty());
}

TEST(Exclusions, TeethAndCrowdsAreDrawnInBoundedTime) {
    const auto timed = [](const char* what, const Hazard& h) {
        const auto begin = std::chrono::steady_clock::now();
        const auto drawing = drawn(h, utm());
        const double seconds =
            std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
        std::cout << what << ": " << seconds << " s, " << drawing.size() << " polygons\n";
        EXPECT_LT(seconds, 60);
        return drawing;
    };
    for (const int vertices : {10'000, 100'000}) {
        const Hazard h = hazard(50, {}, {testing_support::toothed_ring(vertices)});
        const auto drawing = timed("toothed ring", h);
        expect_outside_nothing(h, utm(), drawing, 300);
        EXPECT_TRUE(covers(drawing, Georeference(utm(), "raster").lonlat({2000, 1500})));
    }
    std::mt19937_64 dice(2);
    Path tangle; // some 300,000 crossings
    for (int i = 0; i < 1500; ++i) {
        tangle.push_back({std::uniform_real_distribution<>(500, 3500)(dice),
                          std::uniform_real_distribution<>(500, 2500)(dice)});
    }
    const Hazard line = hazard(20, {tangle});
    expect_outside_nothing(line, utm(), timed("tangled line", line), 300);
    tangle.push_back(tangle.front());
    const Hazard area = hazard(20, {}, {tangle});
    expect_outside_nothing(area, utm(), timed("tangled ring", area), 300);
    Hazard points = hazard(200, {});
    Hazard rings = hazard(200, {});
    for (int i = 0; i < 3000; ++i) {
        const double x = 10 + i % 60 * 3, y = 10 + i / 60 * 3;
        points.paths.push_back({{x, y}});
        rings.rings.push_back({{x, y}, {x + 2, y}, {x + 2, y + 2}, {x, y}});
    }
    expect_outside_nothing(points, utm(), timed("3,000 points", points), 200);
    expect_outside_nothing(rings, utm(), timed("3,000 rings", rings), 200);
}

} // namespace
} // namespace swingroom
