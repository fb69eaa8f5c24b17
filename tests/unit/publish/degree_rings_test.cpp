// Rings drawn in longitude and latitude, against geodesics from the middles of their chords to the middles of
// what these stand for.

#include "publish/vector/degree_rings.hpp"
#include "support/drawing.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numbers>
#include <string>
#include <vector>

namespace swingroom {
namespace {

using namespace testing_support;

Grid grid_of(const std::string& crs, double x, double y, double step) {
    return {4000, 4000, x - 2000 * step, y + 2000 * step, step, -step, horizontal_crs_wkt(crs, "scene")};
}

/// Steps in any direction, from parts of a cell to far beyond what is drawn in one piece.
std::vector<GridPoint> random_ring(Dice& dice) {
    std::vector<GridPoint> ring{{dice.between(0, 4000), dice.between(0, 4000)}};
    for (int i = 0; i < 150; ++i) {
        const double length = std::exp2(dice.between(-2, 9)), turn = dice.between(0, 2 * std::numbers::pi);
        ring.push_back({std::clamp(ring.back().x + length * std::cos(turn), 0.0, 4000.0),
                        std::clamp(ring.back().y + length * std::sin(turn), 0.0, 4000.0)});
    }
    ring.push_back(ring.front());
    return ring;
}

TEST(DegreeRings, StrayNoFartherFromTheGridThanTheirBend) {
    Dice dice(7);
    for (const Grid& grid :
         {grid_of("EPSG:32626", 500'000, 5'300'000, 1), grid_of("EPSG:32626", 300'000, 9'200'000, 20),
          grid_of("EPSG:3413", 0, 0, 0.5), grid_of("EPSG:3413", 3'000, -1'000, 2),
          grid_of("EPSG:3413", 0, 0, 50), grid_of("EPSG:3413", 300'000, 900'000, 10),
          grid_of("EPSG:3035", 4'000'000, 4'900'000, 5), grid_of("EPSG:4326", 178.9, 70, 0.0005)}) {
        SCOPED_TRACE(grid.crs_wkt.substr(0, 40) + std::to_string(grid.step_x));
        const Georeference georeference(grid, "scene");
        DegreeRings degrees(georeference, ground_metric(grid, "scene").least());
        for (int round = 0; round < 20; ++round) {
            const std::vector<GridPoint> ring = random_ring(dice), drawn = degrees.of(ring);
            ASSERT_GE(drawn.size(), ring.size());
            for (std::size_t i = 0; i + 1 < drawn.size(); ++i) {
                const LonLat from{drawn[i].x, drawn[i].y}, to{drawn[i + 1].x, drawn[i + 1].y};
                if (geodesic(from, to).distance_m < 2 * greatest_bend_m) continue; // by a pole
                const GridPoint a = georeference.grid_point(from), b = georeference.grid_point(to);
                const LonLat middle = georeference.lonlat({(a.x + b.x) / 2, (a.y + b.y) / 2});
                const LonLat of_chord{from.lon + std::remainder(to.lon - from.lon, 360) / 2,
                                      (from.lat + to.lat) / 2};
                // Positions come back from degrees to a few micrometres.
                ASSERT_LE(geodesic(middle, of_chord).distance_m, greatest_bend_m + 1e-5);
            }
        }
    }
}

} // namespace
} // namespace swingroom
