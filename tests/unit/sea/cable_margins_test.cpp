#include "swingroom/room/hazard_field.hpp"
#include "swingroom/sea/dissolved_exclusions.hpp"
#include "swingroom/sea/exclusions.hpp"
#include "swingroom/sea/georeference.hpp"
#include "swingroom/sea/hazard_extent.hpp"
#include "swingroom/sea/hazards.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <geodesic.h>
#include <iostream>
#include <unistd.h>

// A cable of 100 km at 60 degrees north in a file of longitudes and latitudes: what is burnt and what is
// drawn around it, against geodesics by PROJ. Margins: 463 m is the quarter of a mile of the International
// Hydrographic Organization's resolution 4/1967 as amended, 1852 m the mile of Australia's protection zones.

namespace swingroom {
namespace {

constexpr LonLat middle{4, 60};
constexpr double length_m = 100'000;

/// The cable's true course: straight in longitude and latitude.
class Course {
public:
    explicit Course(double azimuth_deg) : from_(at(azimuth_deg + 180)), to_(at(azimuth_deg)) {}
    [[nodiscard]] LonLat from() const { return from_; }
    [[nodiscard]] LonLat to() const { return to_; }
    [[nodiscard]] LonLat at_fraction(double t) const {
        return {std::lerp(from_.lon, to_.lon, t), std::lerp(from_.lat, to_.lat, t)};
    }
    /// Geodesic distance to the nearest point of the course, too great by at most a millimetre: the section
    /// that is searched ends no longer than that, and a distance changes by no more than its foot moves.
    [[nodiscard]] double distance_m(LonLat p) const {
        const double shrink = std::cos(p.lat * std::acos(-1.0) / 180);
        const double dx = (to_.lon - from_.lon) * shrink, dy = to_.lat - from_.lat;
        const double foot =
            ((p.lon - from_.lon) * shrink * dx + (p.lat - from_.lat) * dy) / (dx * dx + dy * dy);
        const auto away = [&](double t) { return geodesic(p, at_fraction(t)).distance_m; };
        double low = std::clamp(foot - 0.005, 0.0, 1.0), high = std::clamp(foot + 0.005, 0.0, 1.0);
        while ((high - low) * length_m * 1.01 > 1e-3) {
            const double third = (high - low) / 3;
            if (away(low + third) < away(high - third)) {
                high -= third;
            } else {
                low += third;
            }
        }
        return std::min(away(low), away(high));
    }

private:
    static LonLat at(double azimuth_deg) {
        geod_geodesic g;
        geod_init(&g, 6378137, 1 / 298.257223563);
        LonLat p;
        geod_direct(&g, middle.lat, middle.lon, azimuth_deg, length_m / 2, &p.lat, &p.lon, nullptr);
        return p;
    }
    LonLat from_, to_;
};

TEST(Course, IsMeasuredAsByAllItsPoints) {
    const Course course(60);
    for (const LonLat p : {LonLat{4.01, 60.02}, LonLat{4.4, 60.1}, LonLat{3, 59.7}, LonLat{5, 60.3}}) {
        double nearest_m = 1e9;
        constexpr int steps = 200'000; // 0.5 m
        for (int i = 0; i <= steps; ++i) {
            nearest_m = std::min(nearest_m, geodesic(p, course.at_fraction(i / double{steps})).distance_m);
        }
        // The nearest point is at most 0.25 m along from one of these: by Pythagoras 0.1 mm at 300 m and
        // more.
        EXPECT_LE(course.distance_m(p), nearest_m + 1e-6);
        EXPECT_GE(course.distance_m(p), nearest_m - 2e-4);
    }
}

struct Trial {
    double azimuth_deg, margin_m;
    int epsg; ///< of the raster; 0: none
};

class CableMargins : public testing::TestWithParam<Trial> {
protected:
    CableMargins() : course_(GetParam().azimuth_deg) {
        file_ =
            std::filesystem::temp_directory_path() / ("cables_" + std::to_string(::getpid()) + ".geojson");
        std::ofstream out(file_);
        out.precision(17);
        out << R"({"type":"FeatureCollection","name":"cables","features":[{"type":"Feature","properties":{},)"
            << R"("geometry":{"type":"LineString","coordinates":[[)" << course_.from().lon << ','
            << course_.from().lat << "],[" << course_.to().lon << ',' << course_.to().lat << "]]}}]}";
        out.close();
        grid_ = GetParam().epsg == 0 ? grid_over_files({file_}) : band();
        metric_ = ground_metric(grid_, "raster");
        HazardRule rule;
        rule.name = "cable";
        rule.layers = {"cables"};
        rule.effects = effect::ground;
        rule.margin_m = GetParam().margin_m;
        hazards_ = read_hazards({file_}, {rule}, grid_, metric_).hazards;
    }
    ~CableMargins() override { std::filesystem::remove(file_); }

    /// A raster of 50 m cells or so over the cable and a little more than its margin.
    [[nodiscard]] Grid band() const {
        constexpr double cell_m = 50;
        const double rim_m = GetParam().margin_m + 10 * cell_m;
        Grid grid;
        grid.crs_wkt = horizontal_crs_wkt("EPSG:" + std::to_string(GetParam().epsg), "raster");
        const bool degrees = GetParam().epsg == 4326;
        grid.step_x = degrees ? 0.0009 : cell_m; // 50 m at 60 degrees
        grid.step_y = degrees ? -0.00045 : -cell_m;
        const Georeference georeference({1, 1, degrees ? middle.lon : 500'000, degrees ? 60 : 6'650'000.0,
                                         grid.step_x, grid.step_y, grid.crs_wkt},
                                        "raster");
        double left = 1e9, right = -1e9, top = 1e9, bottom = -1e9;
        for (int i = 0; i <= 100; ++i) {
            const GridPoint p = georeference.grid_point(course_.at_fraction(i / 100.0));
            left = std::min(left, p.x);
            right = std::max(right, p.x);
            top = std::min(top, p.y);
            bottom = std::max(bottom, p.y);
        }
        const double rim = rim_m / cell_m * 1.05;
        grid.origin_x = (degrees ? middle.lon : 500'000) + (left - rim) * grid.step_x;
        grid.origin_y = (degrees ? 60 : 6'650'000.0) + (top - rim) * grid.step_y;
        grid.cols = static_cast<int>(right - left + 2 * rim);
        grid.rows = static_cast<int>(bottom - top + 2 * rim);
        return grid;
    }

    Course course_;
    std::string file_;
    Grid grid_;
    GroundMetric metric_;
    std::vector<Hazard> hazards_;
};

/// The least and the greatest distance of a polygon's outline from the cable.
struct Reach {
    double least_m = 1e9, greatest_m = 0;
    void add(double distance_m) {
        least_m = std::min(least_m, distance_m);
        greatest_m = std::max(greatest_m, distance_m);
    }
};

class DrawnMargins : public CableMargins {};
class BurntMargins : public CableMargins {};

TEST_P(DrawnMargins, AreNeverTooNarrowAndAtMostHalfAPercentTooWide) {
    const double margin_m = GetParam().margin_m;
    Reach reach;
    int polygons = 0;
    each_dissolved_exclusion({hazards_, grid_, "raster"}, [&](const DissolvedExclusion& zone) {
        ++polygons;
        EXPECT_EQ(zone.rings.size(), 1u);
        for (const auto& ring : zone.rings) {
            for (std::size_t i = 0; i + 1 < ring.size(); ++i) {
                // An edge is straight in degrees. Every 25 m of it: between, it lies millimetres from a
                // circle or from a parallel to the cable.
                const GridPoint a = ring[i], b = ring[i + 1];
                const int steps = static_cast<int>(geodesic({a.x, a.y}, {b.x, b.y}).distance_m / 25) + 1;
                for (int step = 0; step < steps; ++step) {
                    const double t = static_cast<double>(step) / steps;
                    reach.add(course_.distance_m({std::lerp(a.x, b.x, t), std::lerp(a.y, b.y, t)}));
                }
            }
        }
    });
    EXPECT_EQ(polygons, 1);
    std::cout << "drawn " << reach.least_m - margin_m << " to " << reach.greatest_m - margin_m
              << " m beyond the margin, " << (reach.greatest_m / margin_m - 1) * 100 << " %\n";
    EXPECT_GE(reach.least_m - 1e-3, margin_m);
    EXPECT_LE(reach.greatest_m, margin_m * 1.005);
}

TEST_P(BurntMargins, AreNeverTooNarrowAndAtMostACellsDiagonalTooWide) {
    const double margin_m = GetParam().margin_m;
    const Georeference georeference(grid_, "raster");
    const HazardField field(hazards_, grid_.extent(), metric_);
    Plane<Effects> burnt(grid_.extent());
    field.burn(burnt);
    const auto away_m = [&](double x, double y) { return course_.distance_m(georeference.lonlat({x, y})); };
    double widest_m = 0, least_left_out_m = 1e9, touched_m = 0;
    int looked_at = 0, seen = 0;
    for (int row = 0; row < grid_.rows; ++row) {
        for (int col = 1; col < grid_.cols; ++col) {
            // Along the rim of what is burnt: a cell marked and one that is not, beside each other.
            const bool in = burnt.at(col, row) != 0, before = burnt.at(col - 1, row) != 0;
            const bool below = row > 0 && burnt.at(col, row - 1) != 0;
            if ((in == before && in == below) || ++seen % 7 != 0) continue;
            ++looked_at;
            for (const GridCell cell :
                 {GridCell{col, row}, GridCell{col - 1, row}, GridCell{col, std::max(0, row - 1)}}) {
                const double diagonal_m = geodesic(georeference.lonlat({cell.col + 0.0, cell.row + 0.0}),
                                                   georeference.lonlat({cell.col + 1.0, cell.row + 1.0}))
                                              .distance_m;
                double nearest_m = 1e9;
                for (const double x : {0.0, 0.5, 1.0}) {
                    for (const double y : {0.0, 0.5, 1.0}) {
                        nearest_m = std::min(nearest_m, away_m(cell.col + x, cell.row + y));
                    }
                }
                if (burnt.at(cell.col, cell.row) != 0) {
                    const double centre_m = away_m(cell.col + 0.5, cell.row + 0.5);
                    widest_m = std::max(widest_m, (centre_m - margin_m) / diagonal_m);
                    touched_m = std::max(touched_m, nearest_m - margin_m);
                } else {
                    least_left_out_m = std::min(least_left_out_m, nearest_m);
                }
            }
        }
    }
    std::cout << looked_at << " places; marked cells have their centres up to " << widest_m
              << " diagonals beyond the margin, their nearest corners or sides " << touched_m
              << " m; the nearest point left out lies " << least_left_out_m - margin_m << " m beyond it\n";
    EXPECT_GT(looked_at, 300);
    EXPECT_LE(widest_m, 1);
    EXPECT_GT(least_left_out_m, margin_m);
}

TEST_P(BurntMargins, HoldTheWholeCable) {
    const Georeference georeference(grid_, "raster");
    const HazardField field(hazards_, grid_.extent(), metric_);
    Plane<Effects> burnt(grid_.extent());
    field.burn(burnt);
    for (int i = 0; i <= 10'000; ++i) {
        const GridPoint p = georeference.grid_point(course_.at_fraction(i / 10'000.0));
        ASSERT_NE(burnt.at(static_cast<int>(p.x), static_cast<int>(p.y)), 0);
    }
}

std::vector<Trial> trials(const std::vector<int>& rasters) {
    std::vector<Trial> all;
    for (const double azimuth_deg : {90.0, 45.0, 0.0}) {
        for (const double margin_m : {463.0, 1852.0}) {
            for (const int epsg : rasters) {
                all.push_back({azimuth_deg, margin_m, epsg});
            }
        }
    }
    return all;
}

std::string name_of(const testing::TestParamInfo<Trial>& trial) {
    return "Azimuth" + std::to_string(std::lround(trial.param.azimuth_deg)) + "Margin" +
           std::to_string(std::lround(trial.param.margin_m)) +
           (trial.param.epsg == 0 ? "NoRaster" : "Epsg" + std::to_string(trial.param.epsg));
}

INSTANTIATE_TEST_SUITE_P(At60North, DrawnMargins, testing::ValuesIn(trials({4326, 32631, 0})), name_of);
INSTANTIATE_TEST_SUITE_P(At60North, BurntMargins, testing::ValuesIn(trials({4326, 32631})), name_of);

} // namespace
} // namespace swingroom
