#include "swingroom/base/error.hpp"
#include "swingroom/sea/georeference.hpp"
#include "swingroom/sea/hazard_extent.hpp"
#include "swingroom/sea/hazards.hpp"

#include "support/scratch.hpp"

#include <gdal_priv.h>
#include <gtest/gtest.h>
#include <ogrsf_frmts.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <string>
#include <unistd.h>

namespace swingroom {
namespace {

namespace fs = std::filesystem;

class HazardExtent : public testing::Test {
protected:
    std::string geojson(const std::string& geometries, const std::string& crs = "") {
        const std::string file = scratch_ / ("cables_" + std::to_string(++files_) + ".geojson");
        std::ofstream out(file);
        out << R"({"type":"FeatureCollection","name":"cables",)";
        if (!crs.empty()) out << R"("crs":{"type":"name","properties":{"name":")" << crs << R"("}},)";
        out << R"("features":[)";
        out << R"({"type":"Feature","properties":{},"geometry":)" << geometries << "}]}";
        return file;
    }
    static std::string line(const std::string& coordinates) {
        return R"({"type":"LineString","coordinates":[)" + coordinates + "]}";
    }
    testing_support::Scratch scratch_;
    int files_ = 0;
};

void expect_holds(const Grid& grid, LonLat p) {
    const GridPoint at = Georeference(grid, "grid").grid_point(p);
    EXPECT_GT(at.x, 0);
    EXPECT_LT(at.x, grid.cols);
    EXPECT_GT(at.y, 0);
    EXPECT_LT(at.y, grid.rows);
}

TEST_F(HazardExtent, HoldsAllGeometriesInCellsOfLessThanAMetre) {
    const Grid grid = grid_over_files({geojson(line("[4,60],[5,60.5]")), geojson(line("[6,61],[4.5,59]"))});
    for (const LonLat p : {LonLat{4, 60}, LonLat{5, 60.5}, LonLat{6, 61}, LonLat{4.5, 59}}) {
        expect_holds(grid, p);
    }
    EXPECT_NEAR(grid.cols * grid.step_x, 2.002, 1e-9);
    EXPECT_NEAR(-grid.rows * grid.step_y, 2.002, 1e-9);
    const GroundMetric metric = ground_metric(grid, "grid");
    for (int row = 0; row < grid.rows; ++row) {
        ASSERT_LT(metric.at(row).dx_m, 1);
        ASSERT_LT(metric.at(row).dy_m, 101);
    }
}

TEST_F(HazardExtent, StaysTogetherAcrossTheAntimeridian) {
    for (const char* lines :
         {R"({"type":"MultiLineString","coordinates":[[[179,-17],[180,-17]],[[-180,-17],[-179,-17.1]]]})",
          R"({"type":"LineString","coordinates":[[179,-17],[181,-17.1]]})",
          R"({"type":"GeometryCollection","geometries":[{"type":"Point","coordinates":[179,-17]},)"
          R"({"type":"Point","coordinates":[-179,-17.1]}]})"}) {
        const Grid grid = grid_over_files({geojson(lines)});
        EXPECT_NEAR(grid.cols * grid.step_x, 2.002, 1e-6) << lines;
        expect_holds(grid, {179, -17});
        expect_holds(grid, {-179, -17.1});
    }
    // UTM 1 south, to both sides of 180.
    const Grid grid =
        grid_over_files({geojson(line("[150000,8100000],[200000,8120000]"), "urn:ogc:def:crs:EPSG::32701")});
    EXPECT_LT(grid.cols * grid.step_x, 1);
    expect_holds(grid, {179.75, -17.12});
    expect_holds(grid, {-179.85, -17});
}

TEST_F(HazardExtent, TheWidestGapIsLeftOutWhereverItLies) {
    const auto point = [&](double lon) {
        return geojson(R"({"type":"Point","coordinates":[)" + std::to_string(lon) + ",10]}");
    };
    for (const double first : {-170.0, -30.0, 60.0, 175.0}) {
        // From `first` eastwards 0, 40, 100, 130 degrees: the gap is behind.
        std::vector<std::string> files;
        for (const double by : {100.0, 0.0, 130.0, 40.0}) {
            files.push_back(point(std::remainder(first + by, 360)));
        }
        const Grid grid = grid_over_files(files);
        EXPECT_NEAR(grid.cols * grid.step_x, 130.002, 1e-6);
        EXPECT_NEAR(std::remainder(grid.origin_x + 0.001 - first, 360), 0, 1e-6);
    }
}

TEST_F(HazardExtent, OverABoxItIsTheBox) {
    const Grid grid = grid_over({179.5, -18, 180.5, -17}, "--bounds");
    EXPECT_NEAR(grid.origin_x, 179.499, 1e-9);
    EXPECT_NEAR(grid.x_of(grid.cols), 180.501, 1e-9);
    EXPECT_NEAR(grid.y_of(grid.rows), -18.001, 1e-9);
}

TEST_F(HazardExtent, RefusesThePolesAndWhatIsNotThere) {
    EXPECT_THROW(grid_over({0, 80, 10, 90}, "--bounds"), InputError);
    EXPECT_THROW(grid_over_files({scratch_ / "none.gpkg"}), InputError);
    EXPECT_NO_THROW(grid_over_files({geojson(line(""))})); // nothing in it: reading it will say so
}

} // namespace
} // namespace swingroom
