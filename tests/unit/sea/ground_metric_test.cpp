#include "swingroom/base/error.hpp"
#include "swingroom/sea/georeference.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdint>
#include <iostream>
#include <ostream>
#include <random>
#include <string>
#include <vector>

namespace swingroom {
namespace {

struct Kind {
    std::string name;
    Grid grid;
    bool square = false; ///< conformal with square cells: both sides must be equal to the bit
};
void PrintTo(const Kind& kind, std::ostream* out) { *out << kind.name; }

Grid around(const std::string& crs, int cols, int rows, double x, double y, double step_x, double step_y) {
    return {cols, rows, x - cols / 2.0 * step_x, y - rows / 2.0 * step_y, step_x, step_y, crs};
}

std::vector<Kind> kinds() {
    const double d = 1.0 / 10800; // a third of a second of arc
    return {
        {"utm_small", around("EPSG:32631", 300, 300, 600'000, 5'900'000, 10, -10), true},
        {"utm_one_column", around("EPSG:32631", 1, 700, 600'000, 5'900'000, 2, -2), true},
        {"utm_one_cell", around("EPSG:32631", 1, 1, 600'000, 5'900'000, 600, -600), true},
        {"utm_across_a_zone", around("EPSG:32631", 16'000, 9'000, 500'000, 5'900'000, 25, -25), true},
        {"utm_south_up", around("EPSG:32760", 900, 900, 300'000, 4'500'000, 5, 5), true},
        {"utm_unequal_steps", around("EPSG:32631", 900, 500, 350'000, 7'900'000, 4, -17), false},
        {"degrees_at_the_equator", around("EPSG:4326", 1500, 1500, 103.8, 0, d, -d), false},
        {"degrees_at_45", around("EPSG:4326", 1500, 1500, -1.2, 45, d, -d), false},
        {"degrees_at_70", around("EPSG:4326", 1500, 1500, 20, 70, d, -d), false},
        {"degrees_at_60_south", around("EPSG:4326", 1500, 1500, -58, -60, d, d), false},
        {"degrees_ten_by_ten", around("EPSG:4326", 18'000, 18'000, 15, 65, 2 * 3 * d, -2 * 3 * d), false},
        {"degrees_from_0_to_360", around("EPSG:4269", 700, 700, 204.93, 19.7, d, -d), false},
        {"degrees_near_the_pole", around("EPSG:4326", 4000, 1200, 15, 89.5, 3 * d, -3 * d), false},
        {"web_mercator", around("EPSG:3857", 4000, 4000, -7'900'000, 5'300'000, 5, -5), false},
        {"web_mercator_high", around("EPSG:3857", 3000, 3000, 2'000'000, 11'000'000, 20, -20), false},
        {"feet_new_york", around("EPSG:2263", 3000, 2500, 980'000, 200'000, 15, -15), true},
        {"equal_area_far_off", around("EPSG:3035", 2500, 2500, 2'700'000, 1'500'000, 50, -50), false},
        {"equal_area_europe", around("EPSG:3035", 12'000, 12'000, 4'500'000, 3'500'000, 200, -200), false},
        {"polar_stereographic", around("EPSG:3031", 3000, 3000, -2'200'000, 1'300'000, 40, -40), true},
        {"albers_conus", around("EPSG:5070", 2500, 2500, 1'900'000, 2'300'000, 30, -30), false},
        {"swiss_oblique", around("EPSG:2056", 1500, 1500, 2'540'000, 1'150'000, 20, -20), true}};
}

class Metric : public testing::TestWithParam<Kind> {};

/// The promise: for points up to 500 m apart the metric's distance is never above the geodesic, nor further
/// below than the stated loss. The oracle is PROJ's geodesic between PROJ's positions of both points.
TEST_P(Metric, NeverAboveTheGeodesicAndNotFarBelow) {
    const Grid& grid = GetParam().grid;
    const GroundMetric metric = ground_metric(grid, "raster");
    ASSERT_EQ(metric.rows(), grid.rows);
    constexpr double reach_m = 500, relative = 1e-9;
    const GroundMetric within = metric.within(reach_m);
    const double loss = ground_metric_loss(grid, within, "raster", reach_m);
    const Georeference georeference(grid, "raster");

    constexpr unsigned seed = 11;
    std::mt19937_64 random(seed);
    std::uniform_real_distribution<double> unit(0, 1);
    double worst_below = 0;
    int compared = 0;
    for (int trial = 0; trial < 4000; ++trial) {
        GridPoint from{unit(random) * grid.cols, unit(random) * grid.rows};
        if (trial % 5 == 0) from.x = trial % 2 == 0 ? 0 : grid.cols; // edges and corners
        if (trial % 7 == 0) from.y = trial % 2 == 0 ? 0 : grid.rows;
        const CellSize here = metric.at(static_cast<int>(from.y));
        const double length_m = reach_m * unit(random), turn = 2 * 3.14159265358979 * unit(random);
        const GridPoint to{from.x + length_m * std::cos(turn) / here.dx_m,
                           from.y + length_m * std::sin(turn) / here.dy_m};
        if (to.x < 0 || to.x > grid.cols || to.y < 0 || to.y > grid.rows) continue;
        ++compared;
        const double true_m = geodesic(georeference.lonlat(from), georeference.lonlat(to)).distance_m;
        const CellSize size = metric.least(static_cast<int>(std::floor(std::min(from.y, to.y))),
                                           static_cast<int>(std::floor(std::max(from.y, to.y))));
        const double ours_m = std::hypot((to.x - from.x) * size.dx_m, (to.y - from.y) * size.dy_m);
        // A nanometre for the coordinates' own digits.
        ASSERT_LE(ours_m, true_m * (1 + relative) + 1e-8)
            << "seed " << seed << ", trial " << trial << ", from " << from.x << ", " << from.y << " to "
            << to.x << ", " << to.y;
        const CellSize safe = within.at(static_cast<int>(from.y));
        const double timid_m = std::hypot((to.x - from.x) * safe.dx_m, (to.y - from.y) * safe.dy_m);
        ASSERT_GE(timid_m, true_m * (1 - loss - relative) - 1e-8) << "seed " << seed << ", trial " << trial;
        if (true_m > 1) worst_below = std::max(worst_below, 1 - ours_m / true_m);
    }
    EXPECT_GT(compared, grid.cols > 1 ? 1000 : 10);
    RecordProperty("loss", std::to_string(loss));
    RecordProperty("worst_seen", std::to_string(worst_below));
    std::cout << GetParam().name << ": loss bound " << loss << ", worst seen " << worst_below << "\n";
}

TEST_P(Metric, SquareCellsOfConformalGridsStaySquareToTheBit) {
    const GroundMetric metric = ground_metric(GetParam().grid, "raster");
    for (int row = 0; row < metric.rows(); row += 1 + metric.rows() / 50) {
        if (GetParam().square) {
            EXPECT_EQ(metric.at(row).dx_m, metric.at(row).dy_m);
        } else {
            EXPECT_NE(metric.at(row).dx_m, metric.at(row).dy_m);
        }
    }
}

INSTANTIATE_TEST_SUITE_P(Grids, Metric, testing::ValuesIn(kinds()),
                         [](const auto& kind) { return kind.param.name; });

// Length of a degree on WGS 84, as tables of it give (the series 111 132.954 - 559.822 cos 2L + 1.175 cos 4L
// and 111 412.84 cos L - 93.5 cos 3L + 0.118 cos 5L metres, from memory).
TEST(GroundMetric, LengthOfADegree) {
    struct Row {
        double lat, lat_degree_m, lon_degree_m;
    };
    constexpr double step = 1.0 / 36000;
    for (const Row& row :
         {Row{0, 110574.3, 111319.5}, Row{45, 111131.8, 78846.8}, Row{60, 111412.3, 55800.0}}) {
        const Grid grid{10, 10, 5, row.lat + 5 * step, step, -step, "EPSG:4326"};
        const CellSize size = ground_metric(grid, "raster").at(5);
        EXPECT_NEAR(size.dy_m / step, row.lat_degree_m, 0.12) << row.lat;
        EXPECT_NEAR(size.dx_m / step, row.lon_degree_m, 0.12) << row.lat;
    }
}

// Scale factor of a UTM zone: 0.9996 on its central meridian.
TEST(GroundMetric, UtmIsLargerThanItsNumbersOnTheCentralMeridian) {
    const Grid grid{100, 100, 499'500, 5'900'000, 10, -10, "EPSG:32631"};
    EXPECT_NEAR(ground_metric(grid, "raster").at(50).dx_m, 10 / 0.9996, 1e-6);
}

TEST(GroundMetric, TheWholeEarthInDegreesHasRowsThatEndInPoles) {
    const Grid earth{4320, 2160, -180, 90, 1.0 / 12, -1.0 / 12, "EPSG:4326"};
    const GroundMetric metric = ground_metric(earth, "raster");
    EXPECT_GT(metric.at(0).dx_m, 0);
    EXPECT_LT(metric.at(0).dx_m, 1) << "no width at the pole itself";
    EXPECT_GT(metric.at(0).dy_m, 9200);
    EXPECT_NEAR(metric.at(1080).dx_m, 111319.49 / 12, 1);
}

TEST(GroundMetric, ARasterThatLeavesItsProjectionIsRefused) {
    const Grid grid{100, 100, -30'000'000, 30'000'000, 600'000, -600'000, "EPSG:3035"};
    EXPECT_THROW(ground_metric(grid, "raster"), InputError);
}

TEST(GroundMetric, LargeRastersTakeNoTimeToSpeakOf) {
    const Grid grid{32768, 32768, 5, 60, 1.0 / 3600, -1.0 / 3600, "EPSG:4326"};
    const auto start = std::chrono::steady_clock::now();
    const GroundMetric metric = ground_metric(grid, "raster");
    const std::chrono::duration<double> taken = std::chrono::steady_clock::now() - start;
    RecordProperty("milliseconds", std::to_string(taken.count() * 1000));
    EXPECT_EQ(metric.rows(), 32768);
    EXPECT_LT(taken.count(), 3)
        << "tens of milliseconds; ten times the bound that is aimed at, for slow machines";
}

TEST(GroundMetricOfManyRows, TakesNoMemoryForEachAndIsNeverAboveThatOfFewer) {
    // The same ground in rows of a thousandth: sizes of rows that share one are lower bounds of each.
    constexpr int few = 20'000, times = 10'000;
    const Grid coarse{100, few, 0, 60, 1e-3, -1e-3, around("EPSG:4326", 1, 1, 0, 0, 1, -1).crs_wkt};
    const Grid fine{100, few * times, 0, 60, 1e-3, -1e-3 / times, coarse.crs_wkt};
    const GroundMetric metric = ground_metric(fine, "raster"), wanted = ground_metric(coarse, "raster");
    ASSERT_EQ(metric.rows(), fine.rows);
    EXPECT_LE(metric.sizes().size(), std::size_t{1} << 18U);
    for (int row = 0; row < few; row += 97) {
        const CellSize rows = metric.at(row * times + times / 2), row_of_them = wanted.at(row);
        EXPECT_NEAR(rows.dx_m, row_of_them.dx_m, 2e-4 * row_of_them.dx_m);
        EXPECT_NEAR(rows.dy_m * times, row_of_them.dy_m, 2e-4 * row_of_them.dy_m);
        // Exact at the middle of these rows: along a parallel and a meridian.
        const Georeference georeference(fine, "raster");
        const double y = static_cast<double>(row) * times + times / 2.0;
        EXPECT_LE(rows.dx_m, geodesic(georeference.lonlat({50, y}), georeference.lonlat({51, y})).distance_m);
    }
}

} // namespace
} // namespace swingroom
