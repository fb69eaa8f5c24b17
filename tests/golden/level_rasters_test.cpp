// Levels and chart datum as rasters from outside: what a run with them says, and what is refused.

#include "support.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <filesystem>
#include <string>
#include <vector>

namespace swingroom::golden {
namespace {

using testing::HasSubstr;
using Words = std::vector<std::string>;

/// Flat water of 6 m on a datum of its own, 600 m to each side, with levels in cells of 150 m.
class LevelRasters : public testing::Test {
protected:
    void SetUp() override { write_sea(sea); }
    /// A raster over the sea of one value.
    void write_level(const std::string& file, float level_m, const std::string& unit = "") const {
        write_sea(file, {.cols = 6,
                         .rows = 6,
                         .elevation_m = level_m,
                         .transform = {399900, 150, 0, 5300700, 0, -150},
                         .unit = unit});
    }
    [[nodiscard]] Words job(const Words& more) const {
        Words words = {"--bathymetry",  sea, "--positive", "up",
                       "--uncertainty", "0", "--boat",     SWINGROOM_SOURCE "/testdata/haven/heavy_ketch.ini",
                       "--wind",        "10"};
        words.insert(words.end(), more.begin(), more.end());
        return words;
    }
    [[nodiscard]] Outcome overlay(const Words& more) const {
        Words words = job(more);
        words.insert(words.begin(), {"overlay", "--out", out});
        return swingroom(words, std::filesystem::path(sea).parent_path());
    }
    void expect_refused(const Words& more, const std::vector<std::string>& said) const {
        const Outcome run = overlay(more);
        EXPECT_EQ(run.exit_code, 2) << run.err;
        EXPECT_EQ(run.lines(), 1u) << run.err;
        for (const std::string& text : said) {
            EXPECT_THAT(run.err, HasSubstr(text));
        }
        EXPECT_FALSE(std::filesystem::exists(out));
    }

    Scratch scratch;
    const std::string sea = scratch / "sea.tif", out = scratch / "out", low = scratch / "low.tif",
                      high = scratch / "high.tif", datum = scratch / "datum.tif";
};

TEST_F(LevelRasters, AreReadAndToldAndGoIntoTheManifest) {
    write_level(low, 0.5F);
    write_level(high, 2.25F);
    write_level(datum, -0.75F);
    const Outcome run = overlay({"--chart-datum", "datum.tif", "--low-water", "low.tif", "--high-water",
                                 "high.tif", "--layers", "verdict,depth_low,rode,report"});
    ASSERT_EQ(run.exit_code, 0) << run.err;
    const Layer depth = read_layer(out + "/depth_low.tif"), rode = read_layer(out + "/rode_full.tif");
    for (const double depth_m : depth.values) {
        ASSERT_NEAR(depth_m, 6 - 0.75 + 0.5, 1e-6);
    }
    const std::string manifest = bytes_of(out + "/manifest.json"), page = bytes_of(out + "/report.html");
    for (const char* const file : {"\"low.tif\"", "\"high.tif\"", "datum.tif\""}) {
        EXPECT_THAT(manifest, HasSubstr(file));
    }
    EXPECT_THAT(manifest, HasSubstr("lowest water: 0.5 to 0.5 m above chart datum, by low.tif"));
    EXPECT_THAT(manifest, HasSubstr("chart datum: -0.75 to -0.75 m above the raster's datum, by datum.tif"));
    EXPECT_THAT(page, HasSubstr("0.50 to 2.25 m above chart datum"));
    // The same as numbers.
    const Outcome again = overlay({"--chart-datum", "-0.75", "--low-water", "0.5", "--high-water", "2.25",
                                   "--layers", "verdict,depth_low,rode", "--overwrite"});
    ASSERT_EQ(again.exit_code, 0) << again.err;
    EXPECT_EQ(read_layer(out + "/rode_full.tif").values, rode.values);
    EXPECT_EQ(read_layer(out + "/depth_low.tif").values, depth.values);
    const Outcome spot = swingroom([&] {
        Words words = job({"--chart-datum", datum, "--low-water", low, "--high-water", "2.25"});
        words.insert(words.begin(), {"spot", "-28.332643", "47.847909"});
        return words;
    }());
    EXPECT_EQ(spot.exit_code, 0) << spot.err;
    EXPECT_THAT(spot.out, HasSubstr("5.7 m at low water"));
}

// Charts alone get their grid after the boat's tables, and these after the levels.
TEST_F(LevelRasters, DoForChartsAloneAsWell) {
    const auto levels = [&](const std::string& file, float level_m) {
        write_sea(file, {.cols = 30,
                         .rows = 30,
                         .elevation_m = level_m,
                         .transform = {340000, 500, 0, 5324000, 0, -500},
                         .unit = ""});
    };
    levels(low, 0.5F);
    levels(high, 2.5F);
    const auto overlay_of = [&](const std::string& lowest, const std::string& highest) {
        return swingroom({"overlay", "--chart", SWINGROOM_SOURCE "/testdata/cells/QQ5HAVEN.000", "--boat",
                          SWINGROOM_SOURCE "/testdata/haven/heavy_ketch.ini", "--wind", "15", "--low-water",
                          lowest, "--high-water", highest, "--layers", "verdict,radius,sounder_limit",
                          "--overwrite", "--out", out});
    };
    const std::vector<std::string> files = {"/verdict.tif", "/radius_short.tif", "/sounder_limit_full.tif"};
    const Outcome run = overlay_of(low, high);
    ASSERT_EQ(run.exit_code, 0) << run.err;
    std::vector<std::vector<double>> by_raster;
    for (const std::string& file : files) {
        by_raster.push_back(read_layer(out + file).values);
    }
    ASSERT_EQ(overlay_of("0.5", "2.5").exit_code, 0);
    for (std::size_t i = 0; i < files.size(); ++i) {
        const std::vector<double> by_number = read_layer(out + files[i]).values;
        EXPECT_TRUE(std::equal(by_number.begin(), by_number.end(), by_raster[i].begin(), by_raster[i].end(),
                               [](double a, double b) { return a == b || (std::isnan(a) && std::isnan(b)); }))
            << files[i];
    }
}

TEST_F(LevelRasters, ThatAreDoubtfulAreRefusedInOneLine) {
    write_level(low, 0.5F);
    write_level(high, 0.25F);
    const Words on_datum = {"--chart-datum", "0"};
    const auto levels = [&](const std::string& lowest, const std::string& highest) {
        Words words = on_datum;
        words.insert(words.end(), {"--low-water", lowest, "--high-water", highest});
        return words;
    };
    expect_refused(levels("none.tif", "2"), {"none.tif: no such file"});
    expect_refused(levels("low", "2"), {"--low-water: \"low\" is not a number"});
    expect_refused(
        levels("low.tif", "high.tif"),
        {"low.tif: the lowest water, 0.5 m of low.tif, lies above the highest, 0.25 m of high.tif"});
    expect_refused(levels("low.tif", "31"), {"--high-water: \"31\""});
    expect_refused(levels(SWINGROOM_SOURCE "/testdata/haven/rocks.geojson", "2"), {"is a vector file"});
    write_level(low, 31);
    expect_refused(levels("low.tif", "30"), {"low.tif: holds the value 31, a water level of 31 m"});
    write_level(low, 0.5F, "rods");
    expect_refused(levels("low.tif", "2"), {"low.tif: states the unit \"rods\", which is not known"});
    // Half of the sea is beyond its edge.
    write_sea(low, {.cols = 3,
                    .rows = 6,
                    .elevation_m = 0.5F,
                    .transform = {399900, 150, 0, 5300700, 0, -150},
                    .unit = ""});
    expect_refused(levels("low.tif", "2"), {"low.tif: does not say how high the water stands at ",
                                            "(column 70, row 0 of ", "--bounds"});
    write_sea(datum, {.cols = 3,
                      .rows = 6,
                      .elevation_m = 0.5F,
                      .transform = {399900, 150, 0, 5300700, 0, -150},
                      .unit = ""});
    expect_refused({"--chart-datum", "datum.tif", "--low-water", "0", "--high-water", "1"},
                   {"datum.tif: does not say how high chart datum lies at ", "(column 70, row 0 of "});
    write_level(datum, 300);
    expect_refused({"--chart-datum", "datum.tif", "--low-water", "0", "--high-water", "1"},
                   {"datum.tif: holds the value 300, a height of chart datum of 300 m"});
    const Outcome boat = swingroom(
        {"boat", SWINGROOM_SOURCE "/testdata/haven/heavy_ketch.ini", "--wind", "10", "--low-water", low});
    EXPECT_EQ(boat.exit_code, 2);
    EXPECT_THAT(boat.err, HasSubstr("--low-water: is a raster, and this command looks at no place"));
}

} // namespace
} // namespace swingroom::golden
