// The layer of ways in: lines to the best drop points in every format of features, routes for plotters, and
// what stands in them.

#include "support.hpp"

#include <gdal_priv.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <ogrsf_frmts.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <set>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

namespace swingroom::golden {
namespace {

using testing::AllOf;
using testing::HasSubstr;
using testing::Not;

constexpr std::size_t most_ways = 10;

GDALDatasetUniquePtr opened(const std::string& file) {
    GDALAllRegister();
    GDALDatasetUniquePtr dataset(GDALDataset::Open(file.c_str(), GDAL_OF_VECTOR | GDAL_OF_VERBOSE_ERROR));
    if (!dataset) throw std::runtime_error("cannot open " + file);
    return dataset;
}

Outcome ways_of_haven(const std::string& folder, const std::vector<std::string>& more) {
    std::vector<std::string> words = {"overlay", "--plan", "testdata/haven/haven.plan", "--out", folder};
    words.insert(words.end(), more.begin(), more.end());
    return swingroom(words);
}

TEST(Ways, LeadToTheBestDropPointsInEveryFormat) {
    const Scratch scratch;
    const Outcome run = ways_of_haven(
        scratch / "out", {"--layers", "ways,project", "--format", "cog,geojson,gpkg,flatgeobuf,kml,gpx"});
    ASSERT_EQ(run.exit_code, 0) << run.err;
    const auto spots = opened(scratch / "out/spots.geojson"), ways = opened(scratch / "out/ways.geojson");
    OGRLayer &of_spots = *spots->GetLayer(0), &of_ways = *ways->GetLayer(0);
    const GIntBig features = of_ways.GetFeatureCount();
    ASSERT_GT(features, 0);
    // To the best, and to the best of those that are reached at times only, wherever that one ranks.
    ASSERT_LE(features, static_cast<GIntBig>(most_ways) + 1);
    GIntBig waiting = 0;
    for (const OGRFeatureUniquePtr& way : of_ways) {
        const OGRFeatureUniquePtr spot(of_spots.GetFeature(way->GetFieldAsInteger("rank") - 1));
        ASSERT_TRUE(spot);
        EXPECT_STREQ(way->GetFieldAsString("spot"), spot->GetFieldAsString("name"));
        EXPECT_THAT(way->GetFieldAsString("name"), testing::MatchesRegex("WAY[0-9]+"));
        const OGRGeometry* const geometry = way->GetGeometryRef();
        ASSERT_NE(geometry, nullptr);
        ASSERT_EQ(wkbFlatten(geometry->getGeometryType()), wkbLineString);
        OGRPoint end;
        geometry->toLineString()->EndPoint(&end);
        EXPECT_EQ(end.getX(), spot->GetGeometryRef()->toPoint()->getX()) << "to the drop point";
        EXPECT_EQ(end.getY(), spot->GetGeometryRef()->toPoint()->getY());
        EXPECT_GT(way->GetFieldAsDouble("clear_m"), 0);
        waiting += way->GetFieldAsString("open") == std::string_view("at times");
        EXPECT_THAT(way->GetFieldAsString("legs"), HasSubstr("course "));
    }
    for (const char* const ending : {".gpkg", ".fgb", ".kml"}) {
        const auto other = opened(scratch / ("out/ways" + std::string(ending)));
        GIntBig count = 0;
        for (OGRLayer* const layer : other->GetLayers()) {
            count += layer->GetFeatureCount();
        }
        EXPECT_EQ(count, features) << ending;
    }
    const auto gpx = opened(scratch / "out/ways.gpx");
    EXPECT_EQ(gpx->GetLayerByName("routes")->GetFeatureCount(), features);
    EXPECT_EQ(gpx->GetLayerByName("waypoints")->GetFeatureCount(), waiting)
        << "the sill of each that is open at times alone";
    EXPECT_EQ(gpx->GetLayerByName("tracks")->GetFeatureCount(), 0);
    std::set<std::string> names;
    std::size_t points = 0;
    for (const OGRFeatureUniquePtr& point : *gpx->GetLayerByName("route_points")) {
        names.insert(point->GetFieldAsString("name"));
        EXPECT_LE(std::string(point->GetFieldAsString("name")).size(), 8U);
        ++points;
    }
    EXPECT_EQ(names.size(), points) << "each has a name of its own";
    EXPECT_THAT(bytes_of(scratch / "out/project.qgs"),
                AllOf(HasSubstr("geometry=\"Line\""), HasSubstr("layername=ways")));
    EXPECT_EQ(swingroom({"verify", scratch / "out"}).exit_code, 0);

    const char* const schemas = std::getenv("SWINGROOM_SCHEMAS");
    const std::string report = scratch / "report";
    const std::string command = "/usr/bin/python3 " SWINGROOM_SOURCE "/tests/golden/validate_formats.py " +
                                scratch / "out" + " " + (schemas ? schemas : "") + " > " + report + " 2>&1";
    EXPECT_EQ(std::system(command.c_str()), 0) << bytes_of(report);
    for (const char* const name : {"ways.geojson", "ways.gpkg", "ways.fgb", "ways.kml", "ways.gpx",
                                   "ways.qml", "ways.sld", "project.qgs"}) {
        EXPECT_THAT(bytes_of(report), HasSubstr(std::string(name) + " is valid"));
    }
}

TEST(Ways, HaveThePrefixOfTheRunAndAreTheSameForAnyThreads) {
    const Scratch scratch;
    for (const char* const threads : {"1", "2"}) {
        const Outcome run = ways_of_haven(scratch / threads, {"--layers", "ways", "--format", "gpx,geojson",
                                                              "--name", "hav", "--threads", threads});
        ASSERT_EQ(run.exit_code, 0) << run.err;
    }
    EXPECT_EQ(bytes_of(scratch / "1/ways.gpx"), bytes_of(scratch / "2/ways.gpx"));
    EXPECT_EQ(bytes_of(scratch / "1/ways.geojson"), bytes_of(scratch / "2/ways.geojson"));
    EXPECT_THAT(bytes_of(scratch / "1/ways.gpx"),
                AllOf(HasSubstr("<name>HAVWAY01</name>"), testing::ContainsRegex("<name>HAVSIL[0-9]+</name>"),
                      HasSubstr("<name>HAVTRA01</name>"), HasSubstr("Planning aid, not for navigation")));
}

TEST(Ways, AreLeftOutWhereNobodyLooksForThem) {
    const Scratch scratch;
    const Outcome run = ways_of_haven(scratch / "out", {"--layers", "project", "--no-way-in"});
    ASSERT_EQ(run.exit_code, 0) << run.err;
    EXPECT_FALSE(std::filesystem::exists(scratch / "out/ways.geojson"));
    EXPECT_THAT(bytes_of(scratch / "out/project.qgs"), Not(HasSubstr("layername=ways")));
    EXPECT_THAT(bytes_of(scratch / "out/project.qgs"), Not(HasSubstr("<layername>ways")));
}

/// Open water goes on beyond the edge of a chart where she comes in over it: a way that begins there is as
/// wide as the water is, not as her clear way.
TEST(Ways, AreAsWideAtTheEdgeOfChartsAsTheWaterIs) {
    const Scratch scratch;
    const Outcome run = swingroom({"overlay", "--chart", "testdata/cells/QQ3APPRO.000", "--chart",
                                   "testdata/cells/QQ5HAVEN.000", "--cell", "5", "--boat",
                                   "testdata/haven/heavy_ketch.ini", "--low-water", "0.5", "--high-water",
                                   "2.5", "--wind", "15", "--layers", "ways", "--out", scratch / "out"});
    ASSERT_EQ(run.exit_code, 0) << run.err;
    const auto ways = opened(scratch / "out/ways.geojson");
    ASSERT_GT(ways->GetLayer(0)->GetFeatureCount(), 0);
    double widest_m = 0;
    for (const OGRFeatureUniquePtr& way : *ways->GetLayer(0)) {
        widest_m = std::max(widest_m, way->GetFieldAsDouble("clear_m"));
    }
    EXPECT_GT(widest_m, 80);
}

} // namespace
} // namespace swingroom::golden
