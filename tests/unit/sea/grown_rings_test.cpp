#include "swingroom/sea/exclusions.hpp"
#include "swingroom/sea/georeference.hpp"

#include "sea/exclusions/grown_rings.hpp"
#include "sea/geometry/simple_ring.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <iostream>
#include <numbers>
#include <random>

namespace swingroom {
namespace {

double twice_area(const Chain& ring) {
    double area = 0;
    for (std::size_t i = 0; i + 1 < ring.size(); ++i) {
        area += ring[i].x * ring[i + 1].y - ring[i + 1].x * ring[i].y;
    }
    return area;
}

bool holds(const Chain& ring, GridPoint p) {
    bool in = false;
    for (std::size_t i = 0; i + 1 < ring.size(); ++i) {
        const GridPoint a = ring[i], b = ring[i + 1];
        if ((a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x)) in = !in;
    }
    return in;
}

double distance(const Chain& ring, GridPoint p) {
    if (holds(ring, p)) return 0;
    double least = std::numeric_limits<double>::infinity();
    for (std::size_t i = 0; i + 1 < ring.size(); ++i) {
        least = std::min(least, distance_to_segment(p, ring[i], ring[i + 1]));
    }
    return least;
}

/// Ragged around a centre.
Chain ragged(std::mt19937& dice, int vertices, double least_m, double most_m) {
    std::uniform_real_distribution<double> radius_m(least_m, most_m);
    Chain ring;
    for (int i = 0; i < vertices; ++i) {
        const double angle = 2 * std::numbers::pi * i / vertices, r = radius_m(dice);
        ring.push_back({r * std::cos(angle), r * std::sin(angle)});
    }
    ring.push_back(ring.front());
    return ring;
}

TEST(ConvexPieces, CoverARingAndNothingElse) {
    std::mt19937 dice(5);
    int cut = 0;
    for (int run = 0; run < 2000; ++run) {
        Chain ring = ragged(dice, 4 + run % 40, 5, 60);
        if (run % 2 == 1) std::reverse(ring.begin(), ring.end());
        const auto pieces = convex_pieces(ring);
        ASSERT_TRUE(pieces) << "run " << run;
        cut += pieces->size() > 1 ? 1 : 0;
        double area = 0;
        for (const Chain& piece : *pieces) {
            EXPECT_TRUE(is_convex(piece)) << "run " << run;
            area += std::abs(twice_area(piece));
        }
        EXPECT_NEAR(area, std::abs(twice_area(ring)), 1e-6);
        std::uniform_real_distribution<double> place(-60, 60);
        for (int i = 0; i < 50; ++i) {
            const GridPoint p{place(dice), place(dice)};
            const auto around = std::count_if(pieces->begin(), pieces->end(),
                                              [&](const Chain& piece) { return holds(piece, p); });
            EXPECT_EQ(around, holds(ring, p) ? 1 : 0) << "run " << run;
        }
    }
    EXPECT_GT(cut, 1500);
}

TEST(ConvexPieces, AreNotMadeOfWhatCrossesItselfOrIsLarge) {
    EXPECT_FALSE(convex_pieces({{0, 0}, {10, 10}, {10, 0}, {0, 10}, {0, 0}}));
    std::mt19937 dice(6);
    EXPECT_FALSE(convex_pieces(ragged(dice, 1000, 5, 60)));
    const auto square = convex_pieces({{0, 0}, {10, 0}, {10, 10}, {0, 10}, {0, 0}});
    ASSERT_TRUE(square);
    EXPECT_EQ(square->size(), 1u);
}

TEST(ShallowBays, AreReflexCornersNearTheLineBesideThem) {
    const Chain bay = {{0, 0}, {10, 0}, {10, 10}, {5, 9}, {0, 10}, {0, 0}};
    EXPECT_TRUE(has_shallow_bays(bay, 1.01));
    EXPECT_FALSE(has_shallow_bays(bay, 0.99));
    EXPECT_TRUE(has_shallow_bays({bay.rbegin(), bay.rend()}, 1.01));
    EXPECT_FALSE(has_shallow_bays({{0, 0}, {10, 0}, {10, 10}, {5, 10.1}, {0, 10}, {0, 0}}, 1)) << "a cape";
}

/// Parts of one hazard, each a ring of its own that is far from the others, and the drawing of them: it holds
/// all that lies within the margin, and reaches no further than is promised.
class CrowdOfRings : public testing::TestWithParam<double> {
protected:
    static constexpr double cell_m = 10, apart_cells = 60;
    static constexpr int cols = 60, rows = 40; // more parts than are drawn together

    static const Grid& grid() {
        static const Grid grid{
            4000, 3000, 480000, 6670000, cell_m, -cell_m, horizontal_crs_wkt("EPSG:32633", "raster")};
        return grid;
    }
    static GridPoint middle(int part) {
        return {50 + part % cols * apart_cells, 50 + part / cols * apart_cells};
    }
    static void expect_close(const std::vector<Chain>& shapes_m) {
        Hazard h;
        h.effects = effect::hull;
        h.margin_m = GetParam();
        h.kind = h.label = "reef";
        for (int part = 0; part < cols * rows; ++part) {
            Chain ring = shapes_m[static_cast<std::size_t>(part) % shapes_m.size()];
            for (GridPoint& p : ring) {
                p = {middle(part).x + p.x / cell_m, middle(part).y + p.y / cell_m};
            }
            h.rings.push_back(std::move(ring));
        }
        const Georeference georeference(grid(), "raster");
        int drawn = 0;
        double widest_m = 0;
        std::mt19937 dice(3);
        each_exclusion({{&h, 1}, grid(), "raster"}, [&](Exclusion&& exclusion) {
            ++drawn;
            ASSERT_FALSE(exclusion.rings.empty());
            Chain outline;
            for (const GridPoint p : exclusion.rings[0]) {
                outline.push_back(georeference.grid_point({p.x, p.y}));
            }
            const int part = static_cast<int>(std::lround((outline[0].y - 50) / apart_cells)) * cols +
                             static_cast<int>(std::lround((outline[0].x - 50) / apart_cells));
            const Chain& ring = h.rings[static_cast<std::size_t>(part)];
            for (std::size_t i = 0; i + 1 < outline.size(); ++i) {
                const double away_m = cell_m * distance(ring, outline[i]);
                ASSERT_GT(away_m, h.margin_m * 0.9996)
                    << part; // metres of the grid are 0.9996 of the ground's here
                widest_m = std::max(widest_m, away_m);
            }
            std::uniform_real_distribution<double> along(0, 1), course(0, 2 * std::numbers::pi);
            for (int i = 0; i < 40; ++i) {
                const std::size_t edge = dice() % (ring.size() - 1);
                const double t = along(dice), at = course(dice), reach = 0.9995 * h.margin_m / cell_m;
                const GridPoint p{ring[edge].x + t * (ring[edge + 1].x - ring[edge].x) + reach * std::cos(at),
                                  ring[edge].y + t * (ring[edge + 1].y - ring[edge].y) +
                                      reach * std::sin(at)};
                ASSERT_TRUE(holds(outline, p)) << part;
            }
        });
        EXPECT_EQ(drawn, cols * rows) << "each for itself";
        std::cout << "margin " << h.margin_m << " m: at most " << widest_m - h.margin_m << " m beyond it, "
                  << exclusion_excess_m(h) << " m are promised\n";
        EXPECT_LT(widest_m, h.margin_m + exclusion_excess_m(h));
    }
};

INSTANTIATE_TEST_SUITE_P(Margins, CrowdOfRings, testing::Values(1.0, 5.0, 50.0, 200.0));

TEST_P(CrowdOfRings, WithDeepBays) {
    expect_close({{{-30, -30}, {30, -30}, {30, -10}, {-10, -10}, {-10, 30}, {-30, 30}, {-30, -30}},
                  {{-30, -20},
                   {30, -20},
                   {30, 20},
                   {20, 20},
                   {20, -10},
                   {-20, -10},
                   {-20, 20},
                   {-30, 20},
                   {-30, -20}}});
}

TEST_P(CrowdOfRings, WithShallowBays) {
    expect_close({{{-30, -30}, {30, -30}, {29.8, 0}, {30, 30}, {0, 29.7}, {-30, 30}, {-30, -30}}});
}

TEST_P(CrowdOfRings, Ragged) {
    std::mt19937 dice(9);
    std::vector<Chain> shapes_m;
    for (int i = 0; i < 50; ++i) {
        shapes_m.push_back(ragged(dice, 5 + i, 20, 35));
    }
    expect_close(shapes_m);
}

} // namespace
} // namespace swingroom
