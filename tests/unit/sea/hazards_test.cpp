#include "swingroom/room/hazard_field.hpp"
#include "swingroom/sea/georeference.hpp"
#include "swingroom/sea/hazard_extent.hpp"
#include "swingroom/sea/hazards.hpp"

#include "support/open_data.hpp"
#include "unit/sea/hazard_files.hpp"

#include <cpl_error.h>
#include <gdal_priv.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <ogrsf_frmts.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <limits>
#include <random>
#include <sys/stat.h>

namespace swingroom {
namespace {

namespace fs = std::filesystem;
using testing::ElementsAre;
using testing::HasSubstr;
using testing_support::rule;
using testing_support::utm_grid;
using testing_support::wkt;

class Hazards : public testing_support::HazardFiles {};

TEST_F(Hazards, APointInDegreesLandsInItsUtmCell) {
    // 60 N on the central meridian is N 6651411.190 in UTM zone 33 on WGS 84: 0.9996 times the meridian arc
    // of 6654072.819 m (from memory, J. P. Snyder, Map Projections, 1987, eq. 3-21).
    const Grid grid = utm_grid();
    const auto set = read(write("a.gpkg", "GPKG", 4326, {"POINT (15 60)"}), rule("things", 5), grid);
    ASSERT_EQ(set.hazards.size(), 1u);
    const GridPoint p = set.hazards[0].paths.at(0).at(0);
    EXPECT_NEAR(p.x, 200, 1e-6);
    EXPECT_NEAR(p.y, (6653000 - 6651411.190) / 10, 1e-3);
    EXPECT_EQ(set.hazards[0].kind, "danger");
    EXPECT_EQ(set.hazards[0].label, "things #1");
    EXPECT_EQ(set.hazards[0].effects, effect::ground);
    EXPECT_TRUE(set.warnings.empty());
}

TEST_F(Hazards, LongEdgesFollowTheirOwnCrs) {
    // Straight in degrees along 60 N: in UTM it bows by some 11 m on either side of the raster's middle.
    const Grid grid = utm_grid(4000, 300);
    const auto set =
        read(write("a.gpkg", "GPKG", 4326, {"LINESTRING (14 60, 16 60)"}), rule("things", 20), grid);
    ASSERT_EQ(set.hazards.size(), 1u);
    const Hazard& h = set.hazards[0];
    EXPECT_GT(h.paths[0].size(), 3u);
    EXPECT_LT(h.placement_allowance_m, 2);
    const Georeference georeference(grid, "raster");
    for (double lon = 14.97; lon < 15.6; lon += 0.001) {
        const GridPoint p = georeference.grid_point({lon, 60});
        if (p.x < 0 || p.x > grid.cols) continue;
        double least_m = std::numeric_limits<double>::infinity();
        for (std::size_t i = 0; i + 1 < h.paths[0].size(); ++i) {
            const GridPoint a = h.paths[0][i], b = h.paths[0][i + 1];
            const double t = std::clamp(((p.x - a.x) * (b.x - a.x) + (p.y - a.y) * (b.y - a.y)) /
                                            ((b.x - a.x) * (b.x - a.x) + (b.y - a.y) * (b.y - a.y)),
                                        0.0, 1.0);
            least_m =
                std::min(least_m, 10 * std::hypot(p.x - a.x - t * (b.x - a.x), p.y - a.y - t * (b.y - a.y)));
        }
        EXPECT_LE(least_m, h.placement_allowance_m + 1e-6) << lon;
    }
}

TEST_F(Hazards, CollectionsAreTakenApartAndHeightIgnored) {
    const auto set =
        read(write("a.gpkg", "GPKG", 32633,
                   {"GEOMETRYCOLLECTION Z (POINT Z (498005 6652995 -9), LINESTRING Z (498105 6652995 1, "
                    "498105 6652905 2), MULTIPOLYGON Z (((498205 6652995 0, 498255 6652995 0, 498255 "
                    "6652905 0, 498205 6652995 0))))"}),
             rule("*"), utm_grid());
    ASSERT_EQ(set.hazards.size(), 2u);
    EXPECT_THAT(set.hazards[0].paths, ElementsAre(std::vector<GridPoint>{{0.5, 0.5}},
                                                  std::vector<GridPoint>{{10.5, 0.5}, {10.5, 9.5}}));
    ASSERT_EQ(set.hazards[1].rings.size(), 1u);
    EXPECT_EQ(set.hazards[1].rings[0].front(), set.hazards[1].rings[0].back());
    EXPECT_EQ(set.hazards[1].placement_allowance_m, 0);
}

TEST_F(Hazards, ABrokenPolygonLosesNoArea) {
    const Grid grid = utm_grid();
    // A bow-tie with lobes of 100 x 100 cells / 2 each, and a ring that goes round the same square twice.
    const auto bow = read(
        write("bow.gpkg", "GPKG", 32633,
              {"POLYGON ((498500 6652500, 500500 6651500, 500500 6652500, 498500 6651500, 498500 6652500))"}),
        rule("things"), grid);
    EXPECT_GE(marked(bow, grid), 2 * 100 * 100 / 2);
    EXPECT_LE(marked(bow, grid), 2 * 100 * 100 / 2 + 1000);
    const auto twice = read(
        write("twice.gpkg", "GPKG", 32633,
              {"POLYGON ((499000 6652000, 500000 6652000, 500000 6651000, 499000 6651000, 499000 6652000, "
               "500000 6652000, 500000 6651000, 499000 6651000, 499000 6652000))"}),
        rule("things"), grid);
    EXPECT_GE(marked(twice, grid), 100 * 100);
    // Two parts that overlap: the even-odd rule over both would free what they share.
    const auto overlap =
        read(write("overlap.gpkg", "GPKG", 32633,
                   {"MULTIPOLYGON (((499000 6652000, 500000 6652000, 500000 6651000, 499000 6651000, 499000 "
                    "6652000)), "
                    "((499500 6652000, 500500 6652000, 500500 6651000, 499500 6651000, 499500 6652000)))"}),
             rule("things"), grid);
    EXPECT_GE(marked(overlap, grid), 150 * 100);
}

TEST_F(Hazards, ATangledPolygonIsReadInBoundedTime) {
    // 3,000 vertices, some 1.5 million crossings: a repair of it does not end in minutes.
    std::mt19937_64 dice(4);
    std::string text = "POLYGON ((", first;
    for (int i = 0; i < 3000; ++i) {
        const std::string vertex =
            std::to_string(498000 + dice() % 4000) + " " + std::to_string(6650000 + dice() % 3000);
        if (i == 0) first = vertex;
        text += vertex + ", ";
    }
    const Grid grid = utm_grid();
    const auto set = read(write("a.gpkg", "GPKG", 32633, {text + first + "))"}), rule("things"), grid);
    ASSERT_EQ(set.hazards.size(), 1u);
    EXPECT_GT(marked(set, grid), 0.8 * grid.cols * grid.rows);
}

TEST_F(Hazards, ACircularArcIsCoveredWithItsRise) {
    const Grid grid = utm_grid();
    const auto set =
        read(write("a.gpkg", "GPKG", 32633,
                   {"CURVEPOLYGON (CIRCULARSTRING (499000 6651500, 500000 6652500, 501000 6651500, "
                    "500000 6650500, 499000 6651500))"}),
             rule("things"), grid);
    ASSERT_EQ(set.hazards.size(), 1u);
    EXPECT_GT(set.hazards[0].placement_allowance_m, 0);
    EXPECT_LT(set.hazards[0].placement_allowance_m, 0.1);
    const auto bits = burnt(set, grid);
    for (int r = 0; r < grid.rows; ++r) {
        for (int c = 0; c < grid.cols; ++c) {
            const double x = std::clamp(200.0, c + 0.0, c + 1.0), y = std::clamp(150.0, r + 0.0, r + 1.0);
            if (std::hypot(x - 200, y - 150) <= 100) {
                ASSERT_TRUE(bits.at(c, r)) << c << ' ' << r;
            }
        }
    }
}

TEST_F(Hazards, FeaturesWithoutAUsableGeometryAreErrorsWithTheirFid) {
    EXPECT_THAT(complaint(write("null.gpkg", "GPKG", 4326, {"POINT (15 60)", ""}), rule("things")),
                HasSubstr("input " + path("null.gpkg") + ", layer things, feature #2: has no geometry; "));
    EXPECT_THAT(complaint(write("empty.gpkg", "GPKG", 4326, {"POLYGON EMPTY"}), rule("things")),
                HasSubstr("feature #1: has an empty geometry"));
    EXPECT_THAT(complaint(write("pole.gpkg", "GPKG", 4326, {"POINT (15 91)"}), rule("things")),
                HasSubstr("feature #1: has a vertex that has no place in the raster's CRS"));
    for (const double bad :
         {std::numeric_limits<double>::quiet_NaN(), 1e308, std::numeric_limits<double>::infinity()}) {
        const std::string file = write("bad.gpkg", "GPKG", 32633, {});
        {
            const GDALDatasetUniquePtr data(GDALDataset::Open(file.c_str(), GDAL_OF_UPDATE | GDAL_OF_VECTOR));
            OGRLayer* layer = data->GetLayer(0);
            OGRFeature feature(layer->GetLayerDefn());
            auto* line = new OGRLineString;
            line->addPoint(500000, 6652000);
            line->addPoint(bad, 6652000);
            feature.SetGeometryDirectly(line);
            ASSERT_EQ(layer->CreateFeature(&feature), OGRERR_NONE);
            CPLPushErrorHandler(CPLQuietErrorHandler); // closing writes the extent, which does not fit either
        }
        CPLPopErrorHandler();
        EXPECT_THAT(complaint(file, rule("things")),
                    HasSubstr("feature #1: has a vertex that is not a number"));
        fs::remove(file);
    }
    // A feature that no rule picks is nobody's business.
    EXPECT_EQ(complaint(path("null.gpkg"), rule("things", 0, "kind = 'even'")), "accepted");
}

TEST_F(Hazards, ExpressionsPickFeatures) {
    const std::string file = write("a.geojson", "GeoJSON", 4326, {"POINT (15 60)", "POINT (15.001 60)"});
    EXPECT_EQ(read(file, rule("THINGS", 0, "kind = 'odd'"), utm_grid()).hazards.size(), 1u);
    EXPECT_EQ(read(file, rule("t*s", 0, "kind IN ('odd', 'even')"), utm_grid()).hazards.size(), 2u);
    for (const char* where : {"nature = 'mud'", "kind = ", "kind = 'odd"}) {
        const std::string said = complaint(file, rule("things", 0, where));
        EXPECT_THAT(said,
                    HasSubstr("input " + file + ", layer things: the expression of rule [danger], line 7"));
        EXPECT_EQ(said.find('\n'), std::string::npos);
    }
}

TEST_F(Hazards, AWordForNoNameIsNoName) {
    const std::string file = path("a.geojson");
    std::ofstream out(file);
    out << R"({"type": "FeatureCollection", "name": "things", "features": [)";
    const std::vector<std::string> names = {"<Null>", "(null)", " ", "", "Nullarbor"};
    for (std::size_t i = 0; i < names.size(); ++i) {
        out << (i == 0 ? "" : ",") << R"({"type": "Feature", "properties": {"OBJNAM": ")" << names[i]
            << R"("}, "geometry": {"type": "Point", "coordinates": [15, 60]}})";
    }
    out << "]}";
    out.close();
    const HazardSet set = read(file, rule("things"), utm_grid());
    ASSERT_EQ(set.hazards.size(), names.size());
    for (std::size_t i = 0; i < names.size(); ++i) {
        const std::string called = i + 1 < names.size() ? "" : names[i];
        EXPECT_EQ(set.hazards[i].called, called) << names[i];
        EXPECT_EQ(set.hazards[i].label,
                  "things #" + std::to_string(i) + (called.empty() ? "" : " " + called));
    }
}

TEST_F(Hazards, AnAttributeThatALayerMayLackCountsAsNotGiven) {
    const std::string file = write("a.geojson", "GeoJSON", 4326, {"POINT (15 60)", "POINT (15.001 60)"});
    HazardRule nature = rule("things", 0, "nature IS NULL AND kind = 'odd'");
    nature.may_lack = {"kind", "nature"};
    const HazardSet set = read(file, nature, utm_grid());
    ASSERT_EQ(set.hazards.size(), 1u);
    EXPECT_EQ(set.hazards[0].label, "things #1");
    EXPECT_THAT(told_all(set.warnings),
                ElementsAre(file +
                            ": attributes that rules look at are lacking, and count as not given, in these "
                            "layers: things (nature)"));
    nature.where = "nature = 'mud'";
    EXPECT_EQ(read(file, nature, utm_grid()).hazards.size(), 0u);
    // Without a value it has no type either.
    for (const char* where : {"nature = 1", "nature > 3", "nature IN (1, 2)", "nature LIKE '%,1,%'"}) {
        nature.where = where;
        EXPECT_EQ(read(file, nature, utm_grid()).hazards.size(), 0u) << where;
        nature.where += " OR nature IS NULL";
        EXPECT_EQ(read(file, nature, utm_grid()).hazards.size(), 2u) << where;
    }
    nature.where = "nature = 1 AND kind = 5 AND"; // what does not fit for another reason still does not
    EXPECT_THAT(complaint(file, nature), HasSubstr("does not fit this layer"));
    nature.where = "FID = 1"; // what is no attribute is seen as before
    EXPECT_EQ(read(file, nature, utm_grid()).hazards.size(), 1u);
}

TEST_F(Hazards, WarnsOfLayersThatGiveNothing) {
    const std::string file = write("a.gpkg", "GPKG", 4326, {"POINT (15 61)"});
    EXPECT_THAT(
        told_all(read(file, rule("cables"), utm_grid()).warnings),
        ElementsAre(file +
                    ": no rule speaks of these layers, so they were left out: things; add a rule for them "
                    "with <rules>, one with effects = none where they are no hazard"));
    EXPECT_THAT(
        told_all(read(file, rule("things", 100), utm_grid()).warnings),
        ElementsAre(file +
                    ": all features that a rule matched lie outside the raster, margins included, in these "
                    "layers: things"));
    const std::string empty = write("empty.gpkg", "GPKG", 4326, {});
    for (const char* layers : {"things", "cables"}) {
        EXPECT_THAT(told_all(read(empty, rule(layers), utm_grid()).warnings),
                    ElementsAre(empty + ": these layers are empty: things"));
    }
    // The attribute is "even": a rule of the user's own that picks nothing may be a slip, one that is built
    // in is not.
    HazardRule odd = rule("things", 120e3, "kind = 'odd'");
    EXPECT_THAT(
        told_all(read(file, odd, utm_grid()).warnings),
        ElementsAre(HasSubstr("but no feature matches their expressions: things; mind that no value")));
    odd.built_in = true;
    EXPECT_THAT(read(file, odd, utm_grid()).warnings, testing::IsEmpty());
    // 61 N is 111 km away: a margin of 120 km reaches in.
    EXPECT_EQ(read(file, rule("things", 120e3), utm_grid()).hazards.size(), 1u);
}

TEST_F(Hazards, FilesAreListedWithTheirSiblings) {
    const std::string file = write("a.shp", "ESRI Shapefile", 32633,
                                   {"LINESTRING (498005 6652995, 498105 6652995)"}, wkbLineString);
    const auto set = read(file, rule("a"), utm_grid());
    EXPECT_EQ(set.hazards.size(), 1u);
    EXPECT_THAT(set.files,
                testing::IsSupersetOf({path("a.shp"), path("a.shx"), path("a.dbf"), path("a.prj")}));
}

TEST_F(Hazards, ReadingAGeoPackageWithMetadataLeavesNothingBesideIt) {
    const std::string file = write("zones.gpkg", "GPKG", 4326, {"POINT (15 60)"});
    {
        const GDALDatasetUniquePtr data(GDALDataset::Open(file.c_str(), GDAL_OF_UPDATE | GDAL_OF_VECTOR));
        ASSERT_TRUE(data);
        data->SetMetadataItem("CAUTION", "of the file's own");
    }
    fs::remove(file + ".aux.xml"); // that is the writer's
    EXPECT_EQ(read(file, rule("things"), utm_grid()).hazards.size(), 1U);
    grid_over_files({file});
    EXPECT_THAT(names(), ElementsAre("zones.gpkg"));
}

TEST_F(Hazards, RefusesWhatIsNoVectorFileOfThisDisk) {
    EXPECT_EQ(complaint(path("none.gpkg"), rule("*")),
              "input " + path("none.gpkg") + ": no such file; give the path of an existing file");
    EXPECT_THAT(complaint("https://example.com/a.geojson", rule("*")), HasSubstr("no such file"));
    EXPECT_THAT(complaint(R"({"type":"FeatureCollection","features":[]})", rule("*")),
                HasSubstr("no such file"));
    EXPECT_THAT(complaint("/vsizip/a.zip", rule("*")), HasSubstr("no such file"));
    ASSERT_EQ(mkfifo(path("pipe").c_str(), 0600), 0);
    EXPECT_THAT(complaint(path("pipe"), rule("*")), HasSubstr("is neither file nor folder"));
    std::ofstream(path("x.vrt"))
        << "<OGRVRTDataSource><OGRVRTLayer name='a'><SrcDataSource>a.gpkg</SrcDataSource>"
           "</OGRVRTLayer></OGRVRTDataSource>";
    EXPECT_THAT(complaint(path("x.vrt"), rule("*")),
                HasSubstr("input " + path("x.vrt") +
                          ": is a vector file (OGR_VRT) of a format that is not read here; convert it"));
    std::ofstream(path("nothing.geojson")) << "";
    EXPECT_EQ(complaint(path("nothing.geojson"), rule("*")), "io " + path("nothing.geojson") + ": is empty");
    std::ofstream(path("notes.txt")) << "mind the cable\n";
    EXPECT_THAT(complaint(path("notes.txt"), rule("*")),
                HasSubstr("is in no vector format that is known here"));
    std::ofstream(path("XX5HAVEN.001")) << "an update";
    EXPECT_THAT(complaint(path("XX5HAVEN.001"), rule("*")),
                HasSubstr("is an update of an S-57 cell; give the cell itself (.000)"));
    std::ofstream(path("half.geojson")) << R"({"type":"FeatureCollection","features":[{"type":"Fea)";
    EXPECT_THAT(complaint(path("half.geojson"), rule("*")), HasSubstr("io "));
    GDALDatasetUniquePtr(GetGDALDriverManager()->GetDriverByName("GTiff")->Create(path("sea.tif").c_str(), 4,
                                                                                  4, 1, GDT_Byte, nullptr));
    EXPECT_THAT(
        complaint(path("sea.tif"), rule("*")),
        HasSubstr("input " + path("sea.tif") + ": is a raster (GTiff); give depths with <bathymetry>"));
}

TEST_F(Hazards, RefusesACrsThatCannotBeTied) {
    const std::string none = write("a.shp", "ESRI Shapefile", 0, {"POINT (15 60)"}, wkbPoint);
    EXPECT_THAT(complaint(none, rule("a")), HasSubstr("input " + none + ", layer a: has no CRS"));
    const std::string odd = write("b.shp", "ESRI Shapefile", 4326, {"POINT (15 60)"}, wkbPoint);
    std::ofstream(path("b.prj")) << R"(GEOGCS["odd",DATUM["D_Nobody_Knows",SPHEROID["s",6377000,300]],)"
                                 << R"(PRIMEM["Greenwich",0],UNIT["Degree",0.0174532925199433]])";
    EXPECT_THAT(complaint(odd, rule("b")), HasSubstr("its CRS cannot be tied to the raster's"));
}

TEST_F(Hazards, LongitudesBeyond180AreOnePlace) {
    // The same scene at 10 E and at 180, in grids of each habit; the hazard is cut at 180 as GeoJSON wants
    // it.
    const double step = 0.001;
    const auto scene = [&](double west, const std::vector<std::string>& shapes) {
        const Grid grid{1000, 200, west, 20.1, step, -step, wkt(4326)};
        const auto set = read(write("s" + std::to_string(west) + ".geojson", "GeoJSON", 4326, shapes),
                              rule("*", 500), grid);
        const auto bits = burnt(set, grid);
        return std::vector<std::uint8_t>(bits.data(), bits.data() + bits.size());
    };
    const auto expected = scene(
        9.5,
        {"MULTIPOLYGON (((9.8 20, 10 20, 10 20.05, 9.8 20.05, 9.8 20)), ((10 20, 10.2 20, 10.2 20.05, 10 "
         "20.05, 10 20)))",
         "POINT (10.4 20)"});
    EXPECT_GT(std::count(expected.begin(), expected.end(), effect::ground), 400 * 50);
    const std::vector<std::string> cut = {"MULTIPOLYGON (((179.8 20, 180 20, 180 20.05, 179.8 20.05, 179.8 "
                                          "20)), ((-180 20, -179.8 20, -179.8 20.05, "
                                          "-180 20.05, -180 20)))",
                                          "POINT (-179.6 20)"};
    const auto differing = [&](const std::vector<std::uint8_t>& bits) {
        // Degrees are no binary fractions: cells that are touched at a border alone may differ.
        int count = 0;
        for (std::size_t i = 0; i < bits.size(); ++i) {
            count += bits[i] != expected[i];
        }
        return count;
    };
    EXPECT_LE(differing(scene(179.5, cut)), 600);
    EXPECT_LE(differing(scene(-180.5, cut)), 600);
    const std::vector<std::string> west = {"POLYGON ((-10.2 20, -9.8 20, -9.8 20.05, -10.2 20.05, -10.2 20))",
                                           "POINT (-9.6 20)"};
    EXPECT_LE(differing(scene(349.5, west)), 600); // a grid from 0 to 360
    EXPECT_LE(differing(scene(-10.5, west)), 600);
}

TEST_F(Hazards, AnEdgeThatMayGoEitherWayRoundTheGlobeIsRefused) {
    // Across 180 without a cut, which GeoJSON does not allow (RFC 7946, section 3.1.9) and files have: as the
    // numbers stand it is a hazard everywhere but where it is.
    const Grid grid{1000, 200, 179.5, 20.1, 0.001, -0.001, wkt(4326)};
    const auto said = [&](const std::string& shape, const Grid& over) {
        return complaint(write("a.geojson", "GeoJSON", 4326, {shape}), rule("*", 500), over);
    };
    const std::string line = "LINESTRING (179.8 20, -179.8 20)",
                      area = "POLYGON ((179.8 20, -179.8 20, -179.8 20.05, 179.8 20.05, 179.8 20))";
    const Grid elsewhere{1000, 200, 10, 20.1, 0.001, -0.001, wkt(4326)};
    for (const std::string& shape : {line, area}) {
        for (const Grid& over : {grid, elsewhere}) {
            EXPECT_THAT(said(shape, over),
                        HasSubstr("feature #0: has an edge of more than half a turn around the globe"));
        }
    }
    // Cut, continuous, far to the north, or around the world with a vertex between, they are no riddle.
    EXPECT_EQ(said("MULTILINESTRING ((179.8 20, 180 20), (-180 20, -179.8 20))", grid), "accepted");
    EXPECT_EQ(said("LINESTRING (179.8 20, 180.2 20)", grid), "accepted");
    EXPECT_EQ(said("LINESTRING (179.8 50, -179.8 50)", grid), "accepted");
    EXPECT_EQ(said("LINESTRING (-179.8 20, 0 20, 179.8 20)", grid), "accepted");
    // In metres the globe goes round as well: 20037508.34 m are half a turn of Web Mercator.
    EXPECT_THAT(complaint(write("m.gpkg", "GPKG", 3857, {"LINESTRING (-20010000 2273031, 20010000 2273031)"}),
                          rule("things", 500), grid),
                HasSubstr("half a turn"));
}

TEST_F(Hazards, ADangerBeyondTheRastersEdgeReachesInByItsFullMargin) {
    // At 80 N, cells just beyond the upper edge are narrower than those of the edge row.
    const Grid grid{400, 100, 20, 80, 0.005, -0.002, wkt(4326)};
    const Georeference georeference(grid, "raster");
    for (const double north : {80.02, 80.1, 80.17}) {
        const std::string file = write(std::to_string(north) + ".gpkg", "GPKG", 4326,
                                       {"POINT (21 " + std::to_string(north) + ")"});
        const auto set = read(file, rule("things", 20e3), grid);
        ASSERT_EQ(set.hazards.size(), 1u);
        EXPECT_LT(set.hazards[0].placement_allowance_m, 0.03 * 20e3);
        const auto bits = burnt(set, grid);
        for (int r = 0; r < grid.rows; ++r) {
            for (int c = 0; c < grid.cols; ++c) {
                const GridPoint nearest{std::clamp(200.0, c + 0.0, c + 1.0), r + 0.0};
                if (geodesic(georeference.lonlat(nearest), {21, north}).distance_m <= 20e3) {
                    ASSERT_TRUE(bits.at(c, r)) << north << ": " << c << ' ' << r;
                }
            }
        }
    }
}

TEST_F(Hazards, TheWholeWorldAsOnePolygonCoversAUtmRaster) {
    const Grid grid = utm_grid();
    const auto set =
        read(write("a.gpkg", "GPKG", 4326,
                   {"POLYGON ((-180 -90, 180 -90, 180 90, -180 90, -180 -90), (14.99 60.001, 15.01 60.001, "
                    "15.01 60.005, 14.99 60.005, 14.99 60.001))"}),
             rule("things"), grid);
    const auto bits = burnt(set, grid);
    EXPECT_EQ(bits.at(0, 0), effect::ground);
    EXPECT_EQ(bits.at(399, 299), effect::ground);
    EXPECT_EQ(bits.at(200, 135), 0); // in the hole
}

TEST_F(Hazards, AllRulesThatMatchApply) {
    const std::string file = write("a.gpkg", "GPKG", 4326, {"POINT (15 60)"});
    HazardRule near = rule("th*", 50);
    near.effects = effect::trip_line;
    near.name = "near";
    const Grid grid = utm_grid();
    const auto set = read_hazards({file, file}, {rule("things"), near}, grid, ground_metric(grid, "raster"));
    ASSERT_EQ(set.hazards.size(), 4u);
    EXPECT_EQ(set.hazards[0].effects, effect::ground);
    EXPECT_EQ(set.hazards[1].effects, effect::trip_line);
    EXPECT_EQ(set.hazards[1].paths, set.hazards[0].paths);
    EXPECT_EQ(set.files.size(), 1u);
}

class OpenData : public Hazards {
protected:
    static std::string data() { return testing_support::open_data(); }
};

TEST_F(OpenData, SurveyFeaturesInAGeoPackage) {
    if (data().empty()) GTEST_SKIP() << testing_support::no_open_data;
    const Grid grid{3000, 2150, -73.91, 40.91, 7e-5, -7e-5, wkt(4326)};
    const auto set = read_hazards({data() + "hazard-vectors/H13384_FFF.gpkg"}, default_hazard_rules(), grid,
                                  ground_metric(grid, "raster"));
    const auto count = [&](const char* kind) {
        return std::count_if(set.hazards.begin(), set.hazards.end(),
                             [&](const Hazard& h) { return h.kind == kind; });
    };
    EXPECT_EQ(count("pipeline"), 33);
    EXPECT_EQ(count("mooring"), 46);
    EXPECT_GE(count("wreck"), 167);
    EXPECT_GE(count("rocky seabed"), 100); // 106 areas of NATSUR 9
    EXPECT_THAT(told_all(set.warnings), testing::IsEmpty());
}

TEST_F(OpenData, HarbourCellsOverTheirRaster) {
    if (data().empty()) GTEST_SKIP() << testing_support::no_open_data;
    const Grid grid{1525, 841, 408830, 2720960, 10, -10, wkt(32617)};
    const std::string cells = data() + "key-west-enc/";
    const auto set = read_hazards({cells + "US5FL4DR.000", cells + "US5FL4DQ.000"}, default_hazard_rules(),
                                  grid, ground_metric(grid, "raster"));
    EXPECT_GT(set.hazards.size(), 1000u);
    EXPECT_EQ(set.files.size(), 2u);
    const auto has = [&](const char* kind) {
        return std::any_of(set.hazards.begin(), set.hazards.end(),
                           [&](const Hazard& h) { return h.kind == kind; });
    };
    EXPECT_TRUE(has("cable"));
    EXPECT_TRUE(has("entry prohibited") || has("stopping prohibited") ||
                has("area to be avoided")); // a list of codes in S-57
    const HazardField field(set.hazards, grid.extent(), ground_metric(grid, "raster"));
    Plane<Effects> bits(grid.extent());
    field.burn(bits);
    const auto hull = static_cast<double>(
        std::count_if(bits.data(), bits.data() + bits.size(), [](Effects b) { return b & effect::hull; }));
    EXPECT_GT(hull, 0.3 * static_cast<double>(bits.size()));
    EXPECT_LT(hull, 0.8 * static_cast<double>(bits.size()));
}

} // namespace
} // namespace swingroom
