// Several rasters from outside: which of them a cell is from, and what is refused.

#include "support.hpp"

#include <gdal_priv.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

namespace swingroom::golden {
namespace {

using testing::HasSubstr;
using Words = std::vector<std::string>;

/// A harbour in cells of 5 m and the bay around it in cells of 20 m, half a cell beside each other.
class SeveralRasters : public testing::Test {
protected:
    void SetUp() override {
        write_sea(harbour, {.cols = 60, .rows = 60, .elevation_m = -6});
        write_sea(bay,
                  {.cols = 60, .rows = 60, .elevation_m = -9, .transform = {399800, 20, 0, 5300810, 0, -20}});
    }
    [[nodiscard]] Words job(const Words& more) const {
        Words words = {"--boat",        SWINGROOM_SOURCE "/testdata/haven/heavy_ketch.ini",
                       "--positive",    "up",
                       "--chart-datum", "0",
                       "--low-water",   "0",
                       "--high-water",  "1",
                       "--wind",        "10"};
        words.insert(words.end(), more.begin(), more.end());
        return words;
    }
    [[nodiscard]] Outcome overlay(const Words& more) const {
        Words words = job(more);
        words.insert(words.begin(), {"overlay", "--out", out});
        return swingroom(words);
    }

    Scratch scratch;
    const std::string harbour = scratch / "harbour.tif", bay = scratch / "bay.tif", out = scratch / "out";
};

TEST_F(SeveralRasters, TheFinestCountsTheRestFillAndEachCellTellsWhichItIsFrom) {
    const Outcome run = overlay({"--bathymetry", bay, "--bathymetry", harbour, "--uncertainty", "0.5",
                                 "--uncertainty", "0", "--layers", "source,depth_low,verdict"});
    ASSERT_EQ(run.exit_code, 0) << run.err;
    const Layer source = read_layer(out + "/source.tif"), depth = read_layer(out + "/depth_low.tif");
    EXPECT_EQ(source.step_x, 5);
    EXPECT_EQ(source.west, 399800);
    EXPECT_EQ(source.north, 5300810);
    EXPECT_EQ(source.cols, 240);
    int counts[3] = {};
    for (int row = 0; row < source.rows; ++row) {
        for (int col = 0; col < source.cols; ++col) {
            const double x = source.west + 5 * (col + 0.5), y = source.north - 5 * (row + 0.5);
            const bool in_harbour = x > 400000 && x < 400300 && y < 5300600 && y > 5300300;
            ASSERT_EQ(source.at(col, row), in_harbour ? 1 : 2) << col << ' ' << row;
            ASSERT_EQ(depth.at(col, row), in_harbour ? 6 : 8.5) << col << ' ' << row;
            ++counts[in_harbour ? 1 : 2];
        }
    }
    EXPECT_EQ(counts[1], 3600);
    const std::string names = bytes_of(out + "/source.tif.aux.xml");
    EXPECT_LT(names.find("harbour.tif"), names.find("bay.tif"));
    EXPECT_THAT(bytes_of(out + "/manifest.json"), HasSubstr("bay.tif: uncertainty: 0.5 (as said)"));
    EXPECT_EQ(swingroom({"verify", out}).exit_code, 0);
}

/// A survey that found one rock amid what it has no soundings of, 0.3 m deep, its south-west corner so far
/// from that of the fine raster's cells.
void write_rock(const std::string& file, double cell_m, double east_m, double north_m) {
    constexpr int cells = 9;
    const double west = 400'240 + east_m, north = 5'300'360 + north_m + cells * cell_m;
    write_sea(file, {.cols = cells,
                     .rows = cells,
                     .elevation_m = -9999,
                     .transform = {west, cell_m, 0, north, 0, -cell_m}});
    const GDALDatasetUniquePtr raster(GDALDataset::Open(file.c_str(), GDAL_OF_UPDATE));
    float rock_m = -0.3F;
    ASSERT_EQ(raster->GetRasterBand(1)->RasterIO(GF_Write, cells / 2, cells / 2, 1, 1, &rock_m, 1, 1,
                                                 GDT_Float32, 0, 0),
              CE_None);
    raster->GetRasterBand(1)->SetNoDataValue(-9999);
}

TEST_F(SeveralRasters, ARockThatTheSecondKnowsStaysWhereTheThirdKnowsTheSeaAroundIt) {
    // The finest raster does not reach the rock; the third, coarse one covers all.
    const std::string fine = scratch / "fine.tif", rock = scratch / "rock.tif", wide = scratch / "wide.tif";
    write_sea(fine, {.cols = 20, .rows = 120, .elevation_m = -9});
    write_sea(wide,
              {.cols = 12, .rows = 12, .elevation_m = -9, .transform = {399940, 60, 0, 5300660, 0, -60}});
    for (const double cell_m : {5.5, 6.0, 9.0}) {
        for (int place = 0; place < 15; ++place) {
            const double east_m = place % 5 * 1.1, north_m = place / 5 * 1.7;
            SCOPED_TRACE(std::to_string(cell_m) + " m, " + std::to_string(east_m) + " " +
                         std::to_string(north_m));
            write_rock(rock, cell_m, east_m, north_m);
            const Outcome run =
                overlay({"--bathymetry", fine, "--bathymetry", rock, "--bathymetry", wide, "--uncertainty",
                         "0", "--layers", "verdict,hull_room,depth_low", "--overwrite"});
            ASSERT_EQ(run.exit_code, 0) << run.err;
            const Layer verdict = read_layer(out + "/verdict.tif"), room = read_layer(out + "/hull_room.tif"),
                        depth = read_layer(out + "/depth_low.tif");
            // The rock's own cell, in metres: no cell that touches it is deeper than it, and no cell has more
            // room than there is between the two squares.
            const double west = 400'240 + east_m + 4 * cell_m, east = west + cell_m,
                         south = 5'300'360 + north_m + 4 * cell_m, north = south + cell_m;
            int touching = 0, yes = 0;
            for (int row = 0; row < verdict.rows; ++row) {
                for (int col = 0; col < verdict.cols; ++col) {
                    const double left = verdict.west + 5 * col, top = verdict.north - 5 * row;
                    const double dx = std::max({0.0, west - left - 5, left - east}),
                                 dy = std::max({0.0, top - 5 - north, south - top});
                    yes += verdict.at(col, row) >= 2 ? 1 : 0;
                    if (dx == 0 && dy == 0) {
                        ++touching;
                        ASSERT_LT(verdict.at(col, row), 2) << col << ' ' << row;
                        const bool shares_area =
                            left < east && left + 5 > west && top > south && top - 5 < north;
                        ASSERT_NEAR(depth.at(col, row), shares_area ? 0.25 : depth.at(col, row), 1e-6)
                            << "0.3 m, in steps of 1/16 m";
                    }
                    // On the ground a metre of the plane is at most 1/0.9996 m here (UTM's scale factor).
                    ASSERT_LE(room.at(col, row), std::hypot(dx, dy) / 0.9996 + 1e-3) << col << ' ' << row;
                }
            }
            ASSERT_GE(touching, 4);
            ASSERT_GT(yes, 100); // there is room elsewhere
        }
    }
}

TEST_F(SeveralRasters, APositionTellsWhichRasterItsDepthIsFrom) {
    Words words = job({"--bathymetry", bay, "--bathymetry", harbour, "--uncertainty", "0"});
    words.insert(words.begin(), {"spot", "-28.334691", "47.849632"}); // by PROJ: 400150 5300450
    const Outcome inside = swingroom(words);
    EXPECT_EQ(inside.exit_code, 0) << inside.err;
    EXPECT_THAT(inside.out, HasSubstr("  depth from       " + harbour + "\n"));
    words[1] = "-28.330279"; // 400480
    const Outcome outside = swingroom(words);
    EXPECT_EQ(outside.exit_code, 0) << outside.err;
    EXPECT_THAT(outside.out, HasSubstr("  depth from       " + bay + "\n"));
}

TEST_F(SeveralRasters, GiveTheSameBytesWhateverTheThreadsAndTheBlocks) {
    write_sea(scratch / "degrees.tif", {.cols = 90,
                                        .rows = 70,
                                        .elevation_m = -12,
                                        .crs = "EPSG:4326",
                                        .transform = {-28.345, 0.0004, 0, 47.86, 0, -0.0003}});
    const auto bytes = [&](const Words& more) {
        Words words{"--bathymetry",  bay, "--bathymetry", harbour, "--bathymetry", scratch / "degrees.tif",
                    "--uncertainty", "0", "--overwrite"};
        words.insert(words.end(), more.begin(), more.end());
        const Outcome run = overlay(words);
        EXPECT_EQ(run.exit_code, 0) << run.err;
        return contents(out);
    };
    const auto usual = bytes({"--threads", "1"});
    ASSERT_FALSE(usual.empty());
    EXPECT_TRUE(usual == bytes({"--threads", "3", "--memory", "64"}));
    EXPECT_GT(read_layer(out + "/source.tif").cols, 500);
}

TEST_F(SeveralRasters, WhatIsDoubtfulIsRefusedInOneLine) {
    const auto refused = [&](const Words& more, const std::string& why) {
        const Outcome run = overlay(more);
        EXPECT_EQ(run.exit_code, 2);
        EXPECT_EQ(run.lines(), 1U);
        EXPECT_THAT(run.err, HasSubstr(why));
        EXPECT_FALSE(std::filesystem::exists(out));
    };
    const Words both = {"--bathymetry", harbour, "--bathymetry", bay, "--uncertainty", "0"};
    const auto with = [&](const Words& more) {
        Words words = both;
        words.insert(words.end(), more.begin(), more.end());
        return words;
    };
    refused(with({"--bathymetry", harbour}), harbour + ": is given twice; give each raster once");
    refused(with({"--crs", "stated", "--crs", "stated", "--crs", "stated"}),
            "--crs: is given 3 times, --bathymetry twice; give it once for all rasters");
    const std::string world = scratch / "world.tif";
    write_sea(world, {.cols = 360, .rows = 180, .crs = "EPSG:4326", .transform = {-180, 1, 0, 90, 0, -1}});
    refused(with({"--bathymetry", world}),
            world + ": reaches to where the CRS of " + harbour + " has no place; cut it to the area first");
    const std::string pond = scratch / "pond.tif";
    write_sea(pond, {.crs = "EPSG:4326", .transform = {3, 0.00001, 0, 53, 0, -0.00001}});
    refused({"--bathymetry", world, "--bathymetry", pond, "--uncertainty", "0"},
            world + ": reaches so far from " + pond + ", whose cells the output gets, that 36000000 x ");
}

} // namespace
} // namespace swingroom::golden
