#include "swingroom/overlay/nearby_hazards.hpp"

#include "support/overlay_scene.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <random>

namespace swingroom {
namespace {

using namespace testing_support;
constexpr double mile_m = 1852;

Hazard area(std::vector<GridPoint> ring, std::string label) {
    Hazard h = hazard(effect::hull, 20, {}, "bank", std::move(label));
    h.paths.clear();
    h.rings = {std::move(ring)};
    return h;
}

Grid degrees_grid() {
    return {3000, 3000, 20, 71, 0.0002, -0.00007, horizontal_crs_wkt("EPSG:4326", "scene")};
}

/// The nearest of very many points of an outline: too far by at most half their spacing, and by next to
/// nothing where the outline does not end.
double brute_force_m(const Hazard& h, const Georeference& georeference, LonLat from) {
    double least_m = std::numeric_limits<double>::infinity();
    for (const auto* chains : {&h.paths, &h.rings}) {
        for (const auto& chain : *chains) {
            for (std::size_t i = 0; i < chain.size(); ++i) {
                const GridPoint a = chain[i], b = chain[std::min(i + 1, chain.size() - 1)];
                const double length_m = geodesic(georeference.lonlat(a), georeference.lonlat(b)).distance_m;
                const int steps = static_cast<int>(length_m / 0.2) + 1;
                for (int step = 0; step <= steps; ++step) {
                    const double t = static_cast<double>(step) / steps;
                    const LonLat p = georeference.lonlat({std::lerp(a.x, b.x, t), std::lerp(a.y, b.y, t)});
                    least_m = std::min(least_m, geodesic(from, p).distance_m);
                }
            }
        }
    }
    return least_m;
}

TEST(NearbyHazards, AreRightToTheCentimetreOnPlanesAndDegrees) {
    std::mt19937_64 dice(5);
    const auto real = [&](double from, double to) {
        return std::uniform_real_distribution<>(from, to)(dice);
    };
    for (const Grid& grid : {utm_grid(2000, 2000, 2), utm_grid(2000, 2000, 2, true), degrees_grid()}) {
        const Georeference georeference(grid, "scene");
        for (int round = 0; round < 6; ++round) {
            std::vector<Hazard> hazards;
            for (int n = 0; n < 4; ++n) {
                const auto vertex = [&] { return GridPoint{real(0, grid.cols), real(0, grid.rows)}; };
                hazards.push_back(hazard(effect::ground, 5, {vertex(), vertex(), vertex()}, "cable",
                                         "cables #" + std::to_string(n)));
                hazards.push_back(hazard(effect::hull, 5, {vertex()}, "rock", "rocks #" + std::to_string(n)));
            }
            const LonLat from = georeference.lonlat({real(500, 1500), real(500, 1500)});
            const auto nearby =
                nearby_hazards(hazards, std::nullopt, georeference, from, mile_m, hazards.size());
            std::size_t listed = 0;
            for (const Hazard& h : hazards) {
                const double truth_m = brute_force_m(h, georeference, from);
                const auto found = std::find_if(nearby.begin(), nearby.end(),
                                                [&](const NearbyHazard& n) { return n.label == h.label; });
                if (found == nearby.end()) {
                    EXPECT_GT(truth_m, mile_m);
                    continue;
                }
                ++listed;
                EXPECT_LE(found->distance_m, truth_m + 1e-3);
                EXPECT_NEAR(found->distance_m, truth_m, 0.01) << h.label;
                if (h.paths[0].size() == 1) {
                    EXPECT_NEAR(found->bearing_deg,
                                geodesic(from, georeference.lonlat(h.paths[0][0])).azimuth_deg, 1e-9);
                }
            }
            EXPECT_EQ(listed, nearby.size());
            for (std::size_t i = 0; i + 1 < nearby.size(); ++i) {
                EXPECT_LE(nearby[i].distance_m, nearby[i + 1].distance_m);
            }
            const auto two = nearby_hazards(hazards, std::nullopt, georeference, from, mile_m, 2);
            ASSERT_EQ(two.size(), std::min<std::size_t>(2, nearby.size()));
            for (std::size_t i = 0; i < two.size(); ++i) {
                EXPECT_EQ(two[i].label, nearby[i].label);
            }
        }
    }
}

TEST(NearbyHazards, InsideOfAnAreaIsNoDistanceAndItsHoleIsOutside) {
    const Grid grid = utm_grid(200, 200, 2);
    const Georeference georeference(grid, "scene");
    Hazard ring = area(box(50, 50, 100, 100), "banks #1");
    ring.rings.push_back(box(90, 90, 20, 20));
    const auto seen = [&](double x, double y) {
        return nearby_hazards({&ring, 1}, std::nullopt, georeference, georeference.lonlat({x, y}), mile_m, 5)
            .at(0);
    };
    EXPECT_EQ(seen(60, 60).distance_m, 0);
    EXPECT_NEAR(seen(100, 98).distance_m, 16, 0.02); // 8 cells to the north side of the hole
    EXPECT_NEAR(std::remainder(seen(100, 98).bearing_deg, 360), 0, 0.1);
    EXPECT_NEAR(seen(40, 100).distance_m, 20, 0.02);
    EXPECT_NEAR(seen(40, 100).bearing_deg, 90, 0.1);
}

TEST(NearbyHazards, WhatLiesAllAroundTakesNobodysPlace) {
    const Grid grid = utm_grid(400, 400, 2);
    const Georeference georeference(grid, "scene");
    std::vector<Hazard> hazards;
    for (int n = 0; n < 7; ++n) {
        hazards.push_back(area(box(10 + n, 10, 380, 380), "RESARE #" + std::to_string(n)));
    }
    hazards.push_back(hazard(effect::hull, 30, {{200, 210}}, "wreck", "WRECKS #1"));
    hazards.push_back(hazard(effect::hull, 30, {{200, 203}}, "rock", "UWTROC #1"));
    hazards.back().information = "Rocks";
    hazards.push_back(hazard(effect::hull, 30, {{200, 250}}, "rock", "UWTROC #2"));
    const auto nearby =
        nearby_hazards(hazards, std::nullopt, georeference, georeference.lonlat({200, 200}), mile_m, 2);
    ASSERT_EQ(nearby.size(), 9u);
    for (std::size_t n = 0; n < 7; ++n) {
        EXPECT_EQ(nearby[n].label, "RESARE #" + std::to_string(n));
        EXPECT_EQ(nearby[n].distance_m, 0);
    }
    EXPECT_EQ(nearby[7].label, "UWTROC #1");
    EXPECT_EQ(nearby[7].information, "Rocks");
    EXPECT_EQ(nearby[8].label, "WRECKS #1");
}

TEST(SeabedNotes, AreTheNearestWhateverDangersLieNearer) {
    const Grid grid = utm_grid(400, 400, 2);
    const Georeference georeference(grid, "scene");
    std::vector<Hazard> hazards = {
        hazard(effect::hull, 10, {{200, 205}}, "wreck", "WRECKS #1"),
        hazard(effect::poor_ground, 250, {{200, 100}}, "note of poor ground", "SBDARE #1"),
        hazard(effect::note, 0, {{200, 100}}, "seabed note", "SBDARE #1"),
        hazard(effect::note, 0, {{250, 200}}, "seabed note", "SBDARE #2"),
        hazard(effect::note, 0, {{200, 380}}, "seabed note", "SBDARE #3"),
        hazard(effect::poor_ground, 250, {{200, 210}}, "no note", "SBDARE #4")};
    hazards[2].nature = "rock";
    hazards[3].nature = "soft mud";
    hazards[4].nature = "sand";
    const auto seen = [&](double x, double y, double within_m, std::size_t most) {
        return nearest_notes(hazards, georeference, georeference.lonlat({x, y}), within_m, most);
    };
    const auto notes = seen(200, 200, mile_m, 2);
    ASSERT_EQ(notes.size(), 2u);
    EXPECT_EQ(notes[0].label, "SBDARE #2");
    EXPECT_EQ(notes[0].nature, "soft mud");
    EXPECT_NEAR(notes[0].distance_m, 100, 0.1);
    EXPECT_NEAR(notes[0].bearing_deg, 90, 0.1);
    EXPECT_EQ(notes[1].nature, "rock");
    EXPECT_NEAR(notes[1].distance_m, 200, 0.2);
    EXPECT_EQ(seen(200, 200, 150, 5).size(), 1u);
    EXPECT_TRUE(seen(200, 200, 50, 5).empty());
    EXPECT_EQ(seen(200, 100, mile_m, 1).at(0).distance_m, 0);
    // and among the dangers none of them is listed
    const auto dangers =
        nearby_hazards(hazards, std::nullopt, georeference, georeference.lonlat({200, 200}), mile_m, 5);
    ASSERT_EQ(dangers.size(), 1u);
    EXPECT_EQ(dangers[0].label, "WRECKS #1");
}

TEST(NearbyHazards, AFeatureUnderSeveralRulesIsListedOnceWithAllOfThem) {
    const Grid grid = utm_grid(400, 400, 2);
    const Georeference georeference(grid, "scene");
    std::vector<Hazard> hazards = {
        hazard(effect::ground, 10, {{100, 100}}, "block", "moorings #1"),
        hazard(effect::trip_line, 60, {{100, 100}}, "near a block", "moorings #1"),
        hazard(0, 0, {{200, 190}}, "sand", "seabed #1"),
        hazard(effect::survey, 0, {{200, 195}}, "quality", "M_QUAL #1"),
        hazard(effect::ground, 10, {{200, 100}}, "block", "moorings #1"), // another file's
        hazard(effect::hull, 30, {{320, 320}}, "wreck"),
        hazard(effect::hull, 30, {{320, 330}}, "wreck")};
    const auto nearby =
        nearby_hazards(hazards, std::nullopt, georeference, georeference.lonlat({200, 200}), mile_m, 5);
    ASSERT_EQ(nearby.size(), 4u);
    EXPECT_EQ(nearby[0].label, "moorings #1");
    ASSERT_EQ(nearby[0].kinds.size(), 1u);
    EXPECT_NEAR(nearby[0].distance_m, 200, 0.2);
    ASSERT_EQ(nearby[1].kinds.size(), 2u);
    EXPECT_NEAR(nearby[1].distance_m, 200 * std::sqrt(2), 0.3);
    EXPECT_EQ(nearby[1].kinds[0].name, "block");
    EXPECT_EQ(nearby[1].kinds[0].margin_m, 10);
    EXPECT_EQ(nearby[1].kinds[1].name, "near a block");
    EXPECT_EQ(nearby[1].kinds[1].margin_m, 60);
    EXPECT_EQ(nearby[2].label, ""); // without a label each is one of its own
    EXPECT_TRUE(
        nearby_hazards(hazards, std::nullopt, georeference, georeference.lonlat({200, 200}), 150, 5).empty());
    EXPECT_TRUE(
        nearby_hazards(hazards, std::nullopt, georeference, georeference.lonlat({200, 200}), mile_m, 0)
            .empty());
}

TEST(NearbyHazards, AnAreaThatGoesOnInTheNextChartIsListedOnce) {
    const Grid grid = utm_grid(1000, 1000, 2);
    const Georeference georeference(grid, "scene");
    std::vector<Hazard> hazards = {
        area({{100, 100}, {300, 100}, {300, 300}, {100, 300}}, "RESARE #1 Reserve"),
        area({{300, 100}, {500, 100}, {500, 300}, {300, 300}}, "RESARE #7 Reserve"),
        area({{300, 310}, {500, 310}, {500, 400}, {300, 400}}, "RESARE #8")};
    const auto listed = [&] {
        std::vector<std::string> labels;
        for (const NearbyHazard& hazard : nearby_hazards(hazards, std::nullopt, georeference,
                                                         georeference.lonlat({290, 200}), mile_m, 5)) {
            labels.push_back(hazard.label);
        }
        return labels;
    };
    EXPECT_EQ(listed().size(), 3U) << "nothing tells that they are one";
    hazards[0].called = hazards[1].called = "Reserve";
    EXPECT_EQ(listed(), (std::vector<std::string>{"RESARE #1 Reserve", "RESARE #8"}));
    hazards[1].information = "other terms";
    EXPECT_EQ(listed().size(), 3U);
}

TEST(NearbyHazards, AnotherAreaOfTheSameNameIsListedToo) {
    const Grid grid = utm_grid(1000, 1000, 2);
    const Georeference georeference(grid, "scene");
    const auto listed = [&](std::vector<GridPoint> other) {
        std::vector<Hazard> hazards = {area(box(100, 100, 200, 200), "CTNARE #1 military area"),
                                       area(std::move(other), "CTNARE #2 military area")};
        hazards[0].called = hazards[1].called = "military area";
        return nearby_hazards(hazards, std::nullopt, georeference, georeference.lonlat({290, 200}), mile_m, 5)
            .size();
    };
    EXPECT_EQ(listed(box(344.5, 100, 200, 200)), 2U) << "89 m apart";
    EXPECT_EQ(listed(box(303, 100, 200, 200)), 2U) << "6 m apart";
    EXPECT_EQ(listed(box(310, 310, 200, 200)), 2U) << "beyond a corner";
    EXPECT_EQ(listed(box(300, 150, 200, 20)), 1U) << "goes on along a part of the edge";
    EXPECT_EQ(listed(box(300.2, 50, 200, 400)), 1U) << "a hair's breadth apart";
    EXPECT_EQ(listed(box(280, 80, 200, 50)), 1U) << "overlaps";
    // A corner cut out of the first: boxes meet, areas do not.
    EXPECT_EQ(listed({{320, 320}, {320, 60}, {60, 60}, {60, 40}, {340, 40}, {340, 320}, {320, 320}}), 2U);
}

} // namespace
} // namespace swingroom
