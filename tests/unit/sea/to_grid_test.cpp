#include "swingroom/base/error.hpp"
#include "swingroom/room/hazard_field.hpp"
#include "swingroom/sea/georeference.hpp"
#include "swingroom/sea/hazards.hpp"

#include "sea/geometry/shapes.hpp"
#include "sea/ground/to_grid.hpp"

#include <cpl_conv.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <string>
#include <unistd.h>
#include <vector>

namespace swingroom {
namespace {

using testing::HasSubstr;

OGRSpatialReference crs(const std::string& name) {
    OGRSpatialReference srs;
    EXPECT_EQ(srs.SetFromUserInput(name.c_str()), OGRERR_NONE) << name;
    return horizontal(srs);
}

std::string wkt(const std::string& name) {
    char* text = nullptr;
    const char* const options[] = {"FORMAT=WKT2_2019", nullptr};
    crs(name).exportToWkt(&text, options);
    std::string out(text);
    CPLFree(text);
    return out;
}

Grid grid(const std::string& name, double x, double y, double step) {
    return {200, 200, x, y, step, -step, wkt(name)};
}

/// A reader of layers in one CRS for a raster in another.
struct Scene {
    Grid raster;
    GroundMetric metric;
    ToGrid to_grid;

    Scene(const std::string& layer, const Grid& raster_)
        : raster(raster_), metric(ground_metric(raster, "raster")),
          to_grid(crs(layer), crs(raster.crs_wkt), raster, metric, 100, "layer") {}
};

constexpr double half_turn_m = 20037508.342789244; // pi times the semi-major axis of WGS 84

/// 5 m cells on either side of 180 degrees.
Grid across_180() { return grid("EPSG:3857", 20037008, 500, 5); }

TEST(ToGrid, AWebMercatorRasterGoesOnAcross180) {
    const Georeference georeference(across_180(), "raster");
    Scene scene("EPSG:4326", across_180());
    for (const double lon : {179.9985, -179.9985, 180.0015}) {
        const GridPoint want = georeference.grid_point({lon, 0.001});
        // Layers in degrees are given in all turns that meet the box.
        int found = 0;
        for (const double turn : {-720, -360, 0, 360, 720}) {
            const GridPoint p{lon + turn, 0.001};
            if (!scene.to_grid.box().holds({p.x, p.y, p.x, p.y})) continue;
            ++found;
            const GridPoint got = scene.to_grid.mapped({p}).front();
            EXPECT_NEAR(got.x, want.x, 1e-6) << lon;
            EXPECT_NEAR(got.y, want.y, 1e-6) << lon;
        }
        EXPECT_EQ(found, 1) << lon;
    }
    EXPECT_EQ(scene.to_grid.take_placement_error_m(), 0);
}

TEST(ToGrid, LayersInMetresComeInAnyTurn) {
    for (const char* layer : {"EPSG:3857", "EPSG:3395"}) {
        Scene scene(layer, across_180());
        for (const double x : {half_turn_m + 167, -half_turn_m + 167, 3 * half_turn_m + 167}) {
            const double column = (half_turn_m + 167 - 20037008) / 5;
            const Chain line = scene.to_grid.mapped({{x, -100}, {x + 50, -200}});
            EXPECT_NEAR(line.front().x, column, 1e-3) << layer << ' ' << x;
            EXPECT_NEAR(line.back().x, column + 10, 1e-3) << layer << ' ' << x;
        }
        // All around the globe: once at each end of the layer's plane, and both lie in the raster.
        EXPECT_THROW(scene.to_grid.mapped({{-half_turn_m, -100}, {half_turn_m, -100}}), UnusableGeometry);
    }
    Scene away("EPSG:3857", grid("EPSG:3857", 1e6, 500, 5));
    EXPECT_NEAR(away.to_grid.mapped({{-half_turn_m, -100}, {half_turn_m, -100}}).front().x,
                (-half_turn_m - 1e6) / 5, 1e-3)
        << "where it meets the raster once it stays as it is";
}

TEST(ToGrid, ADegreeRasterAcross180TakesLayersInMetres) {
    Scene scene("EPSG:3857", grid("EPSG:4326", 179.995, 0.005, 5e-5));
    const double metres_per_degree = half_turn_m / 180;
    for (const double lon : {180.001, -179.999, 179.999}) {
        const double column = ((lon < 0 ? lon + 360 : lon) - 179.995) / 5e-5;
        EXPECT_NEAR(scene.to_grid.mapped({{lon * metres_per_degree, 0}}).front().x, column, 1e-6) << lon;
    }
    Scene pole("EPSG:4326", grid("EPSG:4326", 179, 90, 0.01));
    const Bounds beyond{181 - 360 + 360.0, 89.5, 181, 89.5};
    EXPECT_TRUE(pole.to_grid.box().holds(beyond));
    EXPECT_TRUE(std::isfinite(pole.to_grid.box().left)) << "all turns are tried";
    Scene plane("EPSG:3857", grid("EPSG:3413", -1000, 1000, 10));
    const GridPoint placed = plane.to_grid.mapped({{0, 8e7}}).front(); // some 45 m from the pole
    EXPECT_NEAR(std::hypot(placed.x - 100, placed.y - 100), 4.5, 0.5) << "around a pole";
}

TEST(ToGrid, AUtmRasterAcross180TakesLayersInMetres) {
    // UTM zone 1 beyond its western edge: 180 is some 333 km west of the central meridian.
    const Grid raster = grid("EPSG:32601", 165'000, 500, 10);
    const Georeference georeference(raster, "raster");
    Scene scene("EPSG:3857", raster);
    const double metres_per_degree = half_turn_m / 180;
    for (const double lon : {179.995, -179.995, -180.005, 180.005}) {
        const GridPoint want = georeference.grid_point({lon, 0.001});
        const GridPoint got =
            scene.to_grid.mapped({{lon * metres_per_degree, 0.001 * metres_per_degree}}).front();
        EXPECT_NEAR(got.x, want.x, 0.01) << lon;
    }
    Scene inland("EPSG:3857", grid("EPSG:32633", 500'000, 500, 10));
    const double end = half_turn_m;
    const Chain world =
        inland.to_grid.mapped({{-end, -900}, {end, -900}, {end, 900}, {-end, 900}, {-end, -900}});
    Bounds bounds = bounds_of(world);
    EXPECT_LT(bounds.left, 0);
    EXPECT_GT(bounds.right, 200) << "all of the raster lies in the world";
}

TEST(ToGrid, TheAccuracyOfADatumShiftIsSlack) {
    const auto accuracy_m = [](const std::string& layer, const Grid& raster) {
        Scene scene(layer, raster);
        const double known_m = scene.to_grid.accuracy_m();
        EXPECT_EQ(scene.to_grid.take_placement_error_m(), known_m);
        EXPECT_EQ(scene.to_grid.take_placement_error_m(), known_m) << "of each feature";
        return known_m;
    };
    const Grid north_sea = grid("EPSG:4326", 3, 55, 1e-4);
    // One datum, whatever the projection: nothing is lost.
    for (const char* same : {"EPSG:4326", "OGC:CRS84", "EPSG:32631", "EPSG:3857"}) {
        EXPECT_EQ(accuracy_m(same, north_sea), 0) << same;
    }
    EXPECT_EQ(accuracy_m("EPSG:4258", grid("EPSG:25831", 5e5, 6.1e6, 10)), 0);
    // EPSG dataset as shipped with PROJ: ETRS89 to WGS 84 (1), 1 m; NAD83 to WGS 84, 2 to 8 m; the three
    // parameters of ED50, OSGB36 and NAD27 1 to 21 m.
    EXPECT_EQ(accuracy_m("EPSG:4258", north_sea), 1);
    EXPECT_GE(accuracy_m("EPSG:4230", north_sea), 1);
    EXPECT_GE(accuracy_m("EPSG:4277", grid("EPSG:4326", -1, 50.5, 1e-4)), 1);
    EXPECT_GE(accuracy_m("EPSG:4267", grid("EPSG:4326", -80, 30, 1e-4)), 1);
    EXPECT_GE(accuracy_m("EPSG:4269", grid("EPSG:4326", -80, 30, 1e-4)), 2);
    EXPECT_EQ(accuracy_m("EPSG:4326", grid("EPSG:9057", 3, 55, 1e-4)), 2) << "the ensemble's own";
}

TEST(ToGrid, AShiftThatAFileBringsItselfDoesNotCount) {
    // Nobody knows how good such numbers are; the datum's own operation counts, or there is none.
    Scene scene("+proj=longlat +datum=WGS84 +towgs84=100,0,0 +no_defs", grid("EPSG:4326", 3, 55, 1e-4));
    EXPECT_NEAR(scene.to_grid.mapped({{3.01, 54.99}}).front().x, 100, 1e-6);
    try {
        Scene unknown("+proj=longlat +ellps=intl +towgs84=-87,-98,-121 +no_defs",
                      grid("EPSG:4326", 3, 55, 1e-4));
        FAIL() << "accepted";
    } catch (const InputError& error) {
        EXPECT_THAT(error.what(), HasSubstr("cannot be tied to the raster's"));
    }
}

TEST(ToGrid, ARockBeyond180EndangersItsCellInAWebMercatorRaster) {
    const std::string file =
        (std::filesystem::temp_directory_path() / ("swingroom-180-" + std::to_string(getpid()) + ".geojson"))
            .string();
    std::ofstream(file) << R"({"type":"FeatureCollection","features":[{"type":"Feature","properties":{},)"
                        << R"("geometry":{"type":"Point","coordinates":[-179.9985,0.001]}}]})";
    HazardRule rule;
    rule.name = "rock";
    rule.layers = {"*"};
    rule.effects = effect::hull;
    const Grid raster = across_180();
    const GroundMetric metric = ground_metric(raster, "raster");
    HazardSet set = read_hazards({file}, {rule}, raster, metric);
    std::filesystem::remove(file);
    EXPECT_TRUE(set.warnings.empty());
    const HazardField field(std::move(set.hazards), raster.extent(), metric);
    Plane<Effects> bits(raster.extent());
    field.burn(bits);
    const GridPoint p = Georeference(raster, "raster").grid_point({-179.9985, 0.001});
    EXPECT_EQ(bits.at(static_cast<int>(p.x), static_cast<int>(p.y)), effect::hull);
}

} // namespace
} // namespace swingroom
