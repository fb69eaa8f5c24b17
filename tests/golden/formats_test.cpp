// Every format that layers can be written in: chosen as said, valid by validators that we did not write, the
// same bytes again, and pictures that never say more than the cells.
#include "swingroom/publish/palette.hpp"

#include "support.hpp"

#include <gdal_priv.h>
#include <gdal_rat.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <ogrsf_frmts.h>

#include <array>
#include <cmath>
#include <cstdlib>
#include <map>
#include <memory>
#include <set>
#include <stdexcept>

namespace swingroom::golden {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;

/// A run on the haven, or on a sea by the same plan.
Outcome overlay(const std::string& out, const std::string& layers,
                const std::vector<std::string>& more = {}) {
    std::vector<std::string> words = {"overlay",  "--plan", "testdata/haven/haven.plan", "--out", out,
                                      "--layers", layers};
    words.insert(words.end(), more.begin(), more.end());
    return swingroom(words);
}

/// Over the sea in sea.tif, into out.
Outcome overlay_of_sea(const Scratch& scratch, const std::string& layers) {
    return swingroom({"overlay",
                      "--bathymetry",
                      scratch / "sea.tif",
                      "--positive",
                      "up",
                      "--chart-datum",
                      "0",
                      "--uncertainty",
                      "0",
                      "--boat",
                      "testdata/haven/heavy_ketch.ini",
                      "--low-water",
                      "0.5",
                      "--high-water",
                      "1",
                      "--wind",
                      "15",
                      "--layers",
                      layers,
                      "--out",
                      scratch / "out"});
}

const std::string every_format = "cog,mbtiles,geojson,gpkg,flatgeobuf,kml,gpx";

// COG: osgeo_utils.samples.validate_cloud_optimized_geotiff, GeoPackage: osgeo_utils.samples.validate_gpkg
// (package python3-gdal); GeoJSON: is_valid (python3-geojson); GPX 1.1 and KML 2.2: xmllint (libxml2-utils)
// with the schemas of Topografix and OGC (pytrainer); MBTiles: the rules of its specification with sqlite3,
// and python3-mapproxy opens it.
TEST(Formats, AreValidByOutsideValidators) {
    const Scratch scratch;
    const Outcome run = overlay(
        scratch / "out", "verdict,depth_low,rode_full,reasons,source,zones,spots,circles,exclusions,project",
        {"--format", every_format});
    ASSERT_EQ(run.exit_code, 0) << run.err;
    const char* const schemas = std::getenv("SWINGROOM_SCHEMAS");
    const std::string report = scratch / "report";
    const std::string command = "/usr/bin/python3 " SWINGROOM_SOURCE "/tests/golden/validate_formats.py " +
                                scratch / "out" + " " + (schemas ? schemas : "") + " > " + report + " 2>&1";
    EXPECT_EQ(std::system(command.c_str()), 0) << bytes_of(report);
    const std::string said = bytes_of(report);
    for (const char* const name :
         {"verdict.tif", "reasons.tif", "verdict.mbtiles", "depth_low.mbtiles", "zones.geojson", "zones.gpkg",
          "zones.fgb", "zones.kml", "spots.gpx", "zones.gpx", "circles.gpx", "exclusions.gpx", "project.qgs",
          "spots.kml", "exclusions.kml", "exclusions.gpkg", "verdict.sld", "zones.qml"}) {
        EXPECT_THAT(said, HasSubstr(std::string(name) + " is valid"));
    }
    if (!schemas) {
        GTEST_SKIP() << "all but GPX and KML against their schemas: scripts/test fetches those and sets "
                        "SWINGROOM_SCHEMAS";
    }
}

// GPSBabel (package gpsbabel) writes what plotters of some decades read: each keeps every name, and the way
// in it, and every outline.
TEST(Formats, OfPlottersComeThroughOldOnesAndBack) {
    if (std::system("gpsbabel -V > /dev/null 2>&1") != 0) GTEST_SKIP() << "gpsbabel is not installed";
    const Scratch scratch;
    const Outcome run = overlay(scratch / "out", "spots,zones,circles,exclusions",
                                {"--format", "gpx", "--name", "hav", "--styles", "no"});
    ASSERT_EQ(run.exit_code, 0) << run.err;
    const std::string report = scratch / "report";
    const std::string command = "/usr/bin/python3 " SWINGROOM_SOURCE "/tests/golden/through_gpsbabel.py " +
                                scratch / "out" + " > " + report + " 2>&1";
    EXPECT_EQ(std::system(command.c_str()), 0) << bytes_of(report);
    const std::string said = bytes_of(report);
    for (const char* const way :
         {"spots.gpx through magellan", "spots.gpx through raymarine", "zones.gpx through lowranceusr",
          "circles.gpx through gdb", "exclusions.gpx through lowranceusr"}) {
        EXPECT_THAT(said, HasSubstr(way));
    }
}

TEST(Formats, AreThoseThatWereAskedFor) {
    const Scratch scratch;
    const Outcome run =
        overlay(scratch / "out", "verdict.tif, verdict.mbtiles, zones.gpkg, spots.GPX", {"--format", "kml"});
    ASSERT_EQ(run.exit_code, 0) << run.err;
    std::set<std::string> names;
    for (const auto& [name, bytes] : contents(scratch / "out")) {
        names.insert(name);
    }
    EXPECT_THAT(names, ElementsAre("manifest.json", "spots.gpx", "spots.qml", "spots.sld", "verdict.mbtiles",
                                   "verdict.sld", "verdict.tif", "verdict.tif.aux.xml", "verdict.tif.qml",
                                   "zones.gpkg", "zones.qml", "zones.sld"));
    EXPECT_EQ(swingroom({"verify", scratch / "out"}).exit_code, 0);
    ASSERT_EQ(overlay(scratch / "plain", "verdict.mbtiles,zones", {"--styles", "no"}).exit_code, 0);
    names.clear();
    for (const auto& [name, bytes] : contents(scratch / "plain")) {
        names.insert(name);
    }
    EXPECT_THAT(names, ElementsAre("manifest.json", "verdict.mbtiles", "zones.geojson"));
}

TEST(Formats, WhatCannotBeIsRefusedBeforeTheWork) {
    const Scratch scratch;
    for (const auto& [layers, format, says] : std::vector<std::array<std::string, 3>>{
             {"spots.mbtiles", "cog",
              "--layers: \"spots.mbtiles\": .mbtiles holds rasters that have colours only"},
             {"zones.tif", "cog", "zones can be .geojson, .gpkg, .fgb, .kml, .gpx"},
             {"reasons.mbtiles", "cog", "reasons can be .tif"},
             {"zones", "mbtile", "--format: \"mbtile\" is no format; did you mean mbtiles?"}}) {
        const Outcome refused = overlay(scratch / "out", layers, {"--format", format});
        EXPECT_EQ(refused.exit_code, 2);
        EXPECT_TRUE(refused.says(says)) << refused.err;
        EXPECT_EQ(refused.lines(), 1u);
    }
    EXPECT_EQ(overlay(scratch / "out", "zones", {"--styles", "maybe"}).exit_code, 2);
    const Outcome cog = swingroom(
        {"exclusions", "--plan", "testdata/haven/haven.plan", "--format", "cog", "--out", scratch / "out"});
    EXPECT_EQ(cog.exit_code, 2);
    EXPECT_TRUE(cog.says("--format: cog holds rasters, no exclusions; give some of geojson")) << cog.err;
    const Outcome name = overlay(scratch / "out", "spots", {"--name", "r-1"});
    EXPECT_EQ(name.exit_code, 2);
    EXPECT_TRUE(name.says("--name: \"r-1\" has other characters than plotters keep")) << name.err;
    EXPECT_TRUE(scratch.names().empty());
}

TEST(Formats, OfExclusionsAreThoseThatWereAskedFor) {
    const Scratch scratch;
    const Outcome run = swingroom({"exclusions", "--plan", "testdata/haven/haven.plan", "--format",
                                   "KML,gpkg", "--out", scratch / "out"});
    ASSERT_EQ(run.exit_code, 0) << run.err;
    std::set<std::string> names;
    for (const auto& [name, bytes] : contents(scratch / "out")) {
        names.insert(name);
    }
    EXPECT_THAT(names, ElementsAre("exclusions.gpkg", "exclusions.kml", "exclusions.qml", "exclusions.sld",
                                   "manifest.json"));
}

// GDAL's databases keep the time and, where they may, journals; its index is made by as many threads as there
// are.
TEST(Formats, HaveTheSameBytesWhateverTheThreadsAndTheEnvironment) {
    const Scratch scratch;
    const std::string layers = "verdict.mbtiles,rode_full.mbtiles,zones,spots,circles,exclusions,project";
    const std::vector<std::string> formats = {"--format", "gpkg,fgb,kml,gpx", "--threads"};
    const auto with_threads = [&](const char* threads) {
        std::vector<std::string> more = formats;
        more.emplace_back(threads);
        return more;
    };
    ASSERT_EQ(overlay(scratch / "one", layers, with_threads("1")).exit_code, 0);
    setenv("OGR_CURRENT_DATE", "2001-02-03T04:05:06Z", 1);
    setenv("OGR_SQLITE_JOURNAL", "WAL", 1);
    const Outcome run = overlay(scratch / "seven", layers, with_threads("7"));
    unsetenv("OGR_CURRENT_DATE");
    unsetenv("OGR_SQLITE_JOURNAL");
    ASSERT_EQ(run.exit_code, 0) << run.err;
    const auto one = contents(scratch / "one"), seven = contents(scratch / "seven");
    ASSERT_EQ(one.size(), seven.size());
    for (const auto& [name, bytes] : one) {
        EXPECT_TRUE(seven.contains(name) && seven.at(name) == bytes) << name << " differs";
    }
}

/// The pixels of a zoom level of tiles, by GDAL's own reader: the verdict that a colour stands for.
struct Picture {
    int cols = 0, rows = 0;
    double west = 0, north = 0, pixel = 0;
    std::vector<int> verdicts;
};

Picture read_tiles(const std::string& file, int zoom) {
    GDALAllRegister();
    const std::string option = "ZOOM_LEVEL=" + std::to_string(zoom);
    const std::array<const char*, 2> options = {option.c_str(), nullptr};
    const GDALDatasetUniquePtr tiles(
        GDALDataset::Open(file.c_str(), GDAL_OF_RASTER, nullptr, options.data()));
    if (!tiles) throw std::runtime_error("cannot open " + file);
    std::array<double, 6> transform{};
    tiles->GetGeoTransform(transform.data());
    Picture picture{
        tiles->GetRasterXSize(), tiles->GetRasterYSize(), transform[0], transform[3], transform[1], {}};
    std::vector<std::array<std::uint8_t, 4>> pixels(static_cast<std::size_t>(picture.cols) *
                                                    static_cast<std::size_t>(picture.rows));
    if (tiles->RasterIO(GF_Read, 0, 0, picture.cols, picture.rows, pixels.data(), picture.cols, picture.rows,
                        GDT_Byte, 4, nullptr, 4, 4 * picture.cols, 1, nullptr) != CE_None) {
        throw std::runtime_error("cannot read " + file);
    }
    // Patterns stand still on the whole world's pixels, so that they go on from tile to tile.
    const double half_world = M_PI * 6378137;
    const auto first_col = std::lround((picture.west + half_world) / picture.pixel),
               first_row = std::lround((half_world - picture.north) / picture.pixel);
    for (std::size_t i = 0; i < pixels.size(); ++i) {
        const auto [red, green, blue, alpha] = pixels[i];
        const auto col = first_col + static_cast<long>(i) % picture.cols,
                   row = first_row + static_cast<long>(i) / picture.cols;
        const auto inked = [col = col, row = row](std::size_t verdict) {
            if (verdict == 1) return (col - row + 16'000'000'000) % 16 < 2;
            if (verdict == 2) return col % 8 < 2 && row % 8 < 2;
            if (verdict == 3) return row % 8 < 2;
            return verdict == 8 && (col % 16 < 2 || row % 16 < 2);
        };
        int verdict = -1; // a colour that means nothing: blended, or without its pattern
        if (alpha == 0) verdict = 0;
        for (std::size_t one = 1; one < verdict_looks.size(); ++one) {
            if (verdict_looks[one].colour == Colour{red, green, blue} && alpha == (inked(one) ? 255 : 153)) {
                verdict = static_cast<int>(one);
            }
        }
        picture.verdicts.push_back(verdict);
    }
    return picture;
}

/// From the worst verdict to the best: what no way leads to is better than a no, and worse than any yes.
int goodness(int verdict) { return verdict == 8 ? 2 : verdict < 2 ? verdict : verdict + 1; }

/// The worst of the cells that a pixel touches, 0 where it reaches outside; corners by GDAL, none of ours.
int least_verdict(const Layer& layer, OGRCoordinateTransformation& to_grid, const Picture& picture, int col,
                  int row) {
    double left = 1e30, right = -1e30, top = 1e30, bottom = -1e30;
    for (const int east : {0, 1}) {
        for (const int south : {0, 1}) {
            double x = picture.west + (col + east) * picture.pixel,
                   y = picture.north - (row + south) * picture.pixel;
            to_grid.Transform(1, &x, &y);
            x = (x - layer.west) / layer.step_x;
            y = (y - layer.north) / layer.step_y;
            left = std::min(left, x);
            right = std::max(right, x);
            top = std::min(top, y);
            bottom = std::max(bottom, y);
        }
    }
    int least = 4;
    for (int r = static_cast<int>(std::floor(top + 1e-6)); r < bottom - 1e-6; ++r) {
        for (int c = static_cast<int>(std::floor(left + 1e-6)); c < right - 1e-6; ++c) {
            const bool inside = c >= 0 && r >= 0 && c < layer.cols && r < layer.rows;
            const int here = inside ? static_cast<int>(layer.at(c, r)) : 0;
            if (goodness(here) < goodness(least)) least = here;
        }
    }
    return least;
}

// GDAL's tiles take the nearest cell or blend: a no vanishes between two pixels. A pixel of ours is the worst
// of all that it touches, a lower zoom the worst of four, and no colour is blended.
TEST(Tiles, AreTheWorstOfAllCellsThatTheirPixelsTouchAtEveryZoom) {
    const Scratch scratch;
    const Outcome run = overlay(scratch / "out", "verdict.tif,verdict.mbtiles");
    ASSERT_EQ(run.exit_code, 0) << run.err;
    const Layer layer = read_layer(scratch / "out/verdict.tif");
    OGRSpatialReference mercator, utm;
    mercator.importFromEPSG(3857);
    utm.importFromEPSG(32626);
    for (OGRSpatialReference* crs : {&mercator, &utm}) {
        crs->SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    }
    const std::unique_ptr<OGRCoordinateTransformation> to_grid(
        OGRCreateCoordinateTransformation(&mercator, &utm));
    // Cells of 2 m at 48 N: zoom 16 is 1.6 m a pixel there, zoom 15 3.2 m.
    const std::string tiles = scratch / "out/verdict.mbtiles";
    const Picture finest = read_tiles(tiles, 16);
    const double from_the_edge = (finest.west + M_PI * 6378137) / finest.pixel;
    EXPECT_NEAR(from_the_edge, std::round(from_the_edge), 1e-3) << "readers count pixels from the bounds";
    std::map<int, int> seen;
    for (int row = 0; row < finest.rows; ++row) {
        for (int col = 0; col < finest.cols; ++col) {
            const int drawn = finest.verdicts[static_cast<std::size_t>(row * finest.cols + col)];
            ASSERT_EQ(drawn, least_verdict(layer, *to_grid, finest, col, row)) << col << ',' << row;
            ++seen[drawn];
        }
    }
    for (const int verdict : {0, 1, 2, 3, 4, 8}) {
        const int least = verdict == 8 ? 50 : 100; // the pool that no way leads to is small
        EXPECT_GT(seen[verdict], least) << verdict;
    }

    Picture finer = finest;
    for (const int zoom : {15, 14}) {
        const Picture coarser = read_tiles(tiles, zoom);
        int yes = 0;
        for (int row = 0; row < coarser.rows; ++row) {
            for (int col = 0; col < coarser.cols; ++col) {
                const int drawn = coarser.verdicts[static_cast<std::size_t>(row * coarser.cols + col)];
                ASSERT_GE(drawn, 0) << "a blended colour at zoom " << zoom;
                if (drawn < 2) continue;
                ++yes;
                const auto first_col =
                               std::lround((coarser.west + col * coarser.pixel - finer.west) / finer.pixel),
                           first_row =
                               std::lround((finer.north - coarser.north + row * coarser.pixel) / finer.pixel);
                for (const auto c : {first_col, first_col + 1}) {
                    for (const auto r : {first_row, first_row + 1}) {
                        ASSERT_LE(goodness(drawn),
                                  goodness(finer.verdicts.at(static_cast<std::size_t>(r * finer.cols + c))));
                    }
                }
            }
        }
        EXPECT_GT(yes, 50);
        finer = coarser;
    }
}

/// Rows of an MBTiles file, by GDAL's driver for SQLite, which is none of what wrote it.
std::vector<std::string> rows_of(const std::string& file, const std::string& sql) {
    GDALAllRegister();
    const std::string copy = file + ".sqlite"; // that driver goes by the ending
    std::filesystem::copy_file(file, copy, std::filesystem::copy_options::overwrite_existing);
    const GDALDatasetUniquePtr database(GDALDataset::Open(copy.c_str(), GDAL_OF_VECTOR));
    if (!database) throw std::runtime_error("cannot open " + copy);
    std::vector<std::string> rows;
    OGRLayer* const result = database->ExecuteSQL(sql.c_str(), nullptr, nullptr);
    for (const OGRFeatureUniquePtr& row : *result) {
        rows.emplace_back(row->GetFieldAsString(0));
    }
    database->ReleaseResultSet(result);
    return rows;
}

TEST(Tiles, AreOnBothSidesOfTheAntimeridianAndSoAreTheOthers) {
    const Scratch scratch;
    Sea sea;
    sea.crs = "EPSG:4326";
    sea.transform = {179.997, 5e-5, 0, -16.997, 0, -5e-5};
    write_sea(scratch / "sea.tif", sea);
    const Outcome run = overlay_of_sea(scratch, "verdict.mbtiles,zones.kml,spots.gpx");
    ASSERT_EQ(run.exit_code, 0) << run.err;
    const std::string tiles = scratch / "out/verdict.mbtiles";
    EXPECT_THAT(rows_of(tiles, "SELECT value FROM metadata WHERE name = 'bounds'").at(0),
                testing::MatchesRegex("-180,-17.00.*,180,-16.99.*"));
    EXPECT_THAT(rows_of(tiles, "SELECT DISTINCT tile_column FROM tiles WHERE zoom_level = 15 ORDER BY 1"),
                ElementsAre("0", "32767"));
    GDALAllRegister();
    const GDALDatasetUniquePtr zones(GDALDataset::Open((scratch / "out/zones.kml").c_str(), GDAL_OF_VECTOR));
    ASSERT_TRUE(zones);
    int drawn = 0;
    for (const OGRFeatureUniquePtr& feature : *zones->GetLayer(0)) {
        const OGRGeometryUniquePtr all(
            OGRGeometryFactory::forceToMultiPolygon(feature->GetGeometryRef()->clone()));
        for (const OGRPolygon* polygon : *all->toMultiPolygon()) {
            OGREnvelope box;
            polygon->getEnvelope(&box);
            EXPECT_LT(box.MaxX - box.MinX, 0.006);
            ++drawn;
        }
    }
    EXPECT_GE(drawn, 2);
    EXPECT_THAT(bytes_of(scratch / "out/spots.gpx"), HasSubstr("<wpt lat=\"-1"));
}

// The same sea, whose raster counts longitudes from 0 to 360, and from -180 to 180.
TEST(Tiles, OfLongitudesBeyond180AreThoseOfTheTwinAndOpenAsWideAsTheyAre) {
    const Scratch scratch;
    std::map<std::string, std::vector<std::string>> rows;
    for (const double west : {190.0, -170.0}) {
        SCOPED_TRACE(west);
        Sea sea;
        sea.crs = "EPSG:4326";
        sea.transform = {west, 5e-5, 0, -16.997, 0, -5e-5};
        write_sea(scratch / "sea.tif", sea);
        const Outcome run = overlay_of_sea(scratch, "verdict.mbtiles");
        ASSERT_EQ(run.exit_code, 0) << run.err;
        const std::string tiles = scratch / "out/verdict.mbtiles";
        EXPECT_THAT(rows_of(tiles, "SELECT value FROM metadata WHERE name = 'bounds'").at(0),
                    testing::MatchesRegex("-170.0.*,-17.00.*,-169.99.*,-16.99.*"));
        const GDALDatasetUniquePtr opened(GDALDataset::Open(tiles.c_str(), GDAL_OF_RASTER));
        ASSERT_TRUE(opened);
        EXPECT_LT(opened->GetRasterXSize(), 1000);
        EXPECT_GT(opened->GetRasterXSize(), 100);
        std::array<double, 6> transform{};
        opened->GetGeoTransform(transform.data());
        EXPECT_NEAR(transform[0], -170 / 180.0 * M_PI * 6378137, 20);
        const auto these =
            rows_of(tiles, "SELECT zoom_level || ',' || tile_column || ',' || tile_row || ',' || "
                           "hex(tile_data) FROM tiles ORDER BY 1");
        EXPECT_GE(these.size(), 1U);
        if (rows.empty()) {
            rows["beyond"] = these;
        } else {
            EXPECT_EQ(rows["beyond"], these);
        }
        std::filesystem::remove_all(scratch / "out");
    }
}

TEST(Tiles, BeyondTheLatitudesOfWebMapsAreRefusedBeforeTheWork) {
    const Scratch scratch;
    Sea sea;
    sea.crs = "EPSG:4326";
    sea.transform = {5, 5e-4, 0, 87, 0, -5e-5};
    write_sea(scratch / "sea.tif", sea);
    const Outcome run = overlay_of_sea(scratch, "verdict.mbtiles");
    EXPECT_EQ(run.exit_code, 2);
    EXPECT_TRUE(run.says("85.05 degrees")) << run.err;
}

// A class raster of GDAL's has 256 colours and a viewer's legend as many lines; its names stand in the
// .aux.xml.
TEST(Styles, HaveALineForEachClassAndNoMore) {
    const Scratch scratch;
    ASSERT_EQ(overlay(scratch / "out", "verdict,depth_low").exit_code, 0);
    const auto count = [&](const std::string& file, const std::string& what) {
        const std::string text = bytes_of(scratch / ("out/" + file));
        int found = 0;
        for (auto at = text.find(what); at != std::string::npos; at = text.find(what, at + 1)) {
            ++found;
        }
        return found;
    };
    EXPECT_EQ(count("verdict.qml", "<paletteEntry "), 9);
    EXPECT_EQ(count("verdict.sld", "<ColorMapEntry "), 9);
    EXPECT_EQ(count("depth_low.qml", "<item "), 8);
    EXPECT_EQ(count("depth_low.sld", "<ColorMapEntry "), 8);
    EXPECT_THAT(bytes_of(scratch / "out/verdict.qml"), HasSubstr("value=\"4\" color=\"#01665e\""));
    GDALAllRegister();
    const GDALDatasetUniquePtr raster(
        GDALDataset::Open((scratch / "out/verdict.tif").c_str(), GDAL_OF_RASTER));
    ASSERT_TRUE(raster);
    GDALRasterBand& band = *raster->GetRasterBand(1);
    const GDALRasterAttributeTable* const table = band.GetDefaultRAT();
    ASSERT_NE(table, nullptr);
    ASSERT_EQ(table->GetRowCount(), 9);
    const int name = table->GetColOfUsage(GFU_Name), red = table->GetColOfUsage(GFU_Red);
    for (int row = 0; row < 9; ++row) {
        EXPECT_EQ(table->GetValueAsInt(row, table->GetColOfUsage(GFU_MinMax)), row);
        EXPECT_STREQ(table->GetValueAsString(row, name), CSLGetField(band.GetCategoryNames(), row));
        EXPECT_EQ(table->GetValueAsInt(row, red), band.GetColorTable()->GetColorEntry(row)->c1);
    }
}

} // namespace
} // namespace swingroom::golden
