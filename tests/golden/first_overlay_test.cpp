// The way of somebody who has a raster and nothing else: the first refusal tells all that is missing, and a
// command, or a plan, that is put together from it makes the overlay.

#include "support.hpp"

#include <gdal_priv.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <ogr_spatialref.h>

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdio>
#include <map>
#include <regex>
#include <string>
#include <vector>

namespace swingroom::golden {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::Not;
using Words = std::vector<std::string>;

/// What the user knows of raster, boat and stay, by option.
using Known = std::map<std::string, std::string>;

Known of_the_haven() {
    return {
        {"positive", "up"},     {"depth-unit", "m"},   {"chart-datum", "0"},
        {"uncertainty", "0.2"}, {"crs", "EPSG:32626"}, {"boat", SWINGROOM_TESTDATA "/haven/heavy_ketch.ini"},
        {"low-water", "0.5"},   {"high-water", "2.5"}, {"wind", "15"}};
}

/// "  --wind KN    or in a plan:  wind = KN": the options of a refusal, and as lines of a plan.
struct Refusal {
    Words options, plan_lines;

    explicit Refusal(const std::string& text) {
        static const std::regex line("\n  --([a-z-]+) (\\S+)(?:    or in a plan:  (\\1) = \\2)?(?=\n)");
        for (std::sregex_iterator at(text.begin(), text.end(), line), end; at != end; ++at) {
            options.push_back((*at)[1]);
            if ((*at)[3].matched) plan_lines.push_back((*at)[3]);
        }
    }
    /// The words to add to the command.
    [[nodiscard]] Words words(const Known& known) const {
        Words all;
        for (const std::string& option : options) {
            all.insert(all.end(), {"--" + option, known.at(option)});
        }
        return all;
    }
    /// The lines to write into a plan.
    [[nodiscard]] std::string plan(const Known& known) const {
        std::string all;
        for (const std::string& option : plan_lines) {
            all += option + " = " + known.at(option) + "\n";
        }
        return all;
    }
};

/// A part of the haven, in cells of any size.
struct Part {
    static constexpr int side = 260;
    double step = 2;
    std::vector<double> heights_m;

    explicit Part(double step_m) : step(step_m), heights_m(std::size_t{side} * side) {
        GDALAllRegister();
        const GDALDatasetUniquePtr haven(GDALDataset::Open(SWINGROOM_TESTDATA "/haven/bathymetry.tif"));
        EXPECT_EQ(haven->GetRasterBand(1)->RasterIO(GF_Read, 200, 150, side, side, heights_m.data(), side,
                                                    side, GDT_Float64, 0, 0, nullptr),
                  CE_None);
    }
    static constexpr double west = 347'400, north = 5'316'900, missing = -9999;

    /// @param tags  whether it says its CRS and unit
    void write_tif(const std::string& file, bool tags) const {
        const GDALDatasetUniquePtr raster(GetGDALDriverManager()->GetDriverByName("GTiff")->Create(
            file.c_str(), side, side, 1, GDT_Float64, nullptr));
        std::array<double, 6> place = {west, step, 0, north, 0, -step};
        raster->SetGeoTransform(place.data());
        raster->GetRasterBand(1)->SetNoDataValue(missing);
        if (tags) {
            OGRSpatialReference crs;
            crs.importFromEPSG(32626);
            raster->SetSpatialRef(&crs);
            raster->GetRasterBand(1)->SetUnitType("m");
        }
        std::vector<double> values = heights_m;
        EXPECT_EQ(raster->GetRasterBand(1)->RasterIO(GF_Write, 0, 0, side, side, values.data(), side, side,
                                                     GDT_Float64, 0, 0, nullptr),
                  CE_None);
    }
    void write_xyz(const std::string& file, const char* form) const {
        std::string text;
        for (int row = 0; row < side; ++row) {
            for (int col = 0; col < side; ++col) {
                const double height_m =
                    heights_m[static_cast<std::size_t>(row) * side + static_cast<std::size_t>(col)];
                if (height_m == missing) continue;
                std::array<char, 96> line{};
                std::snprintf(line.data(), line.size(), form, west + (col + 0.5) * step,
                              north - (row + 0.5) * step, height_m);
                text += line.data();
            }
        }
        write_bytes(file, text);
    }
};

const Words verdict_alone = {"--layers", "verdict"};

Outcome overlay(const std::string& raster, const Words& more) {
    Words words = {"overlay", "--bathymetry", raster};
    words.insert(words.end(), verdict_alone.begin(), verdict_alone.end());
    words.insert(words.end(), more.begin(), more.end());
    return swingroom(words);
}

TEST(FirstOverlay, OfARasterWithoutTagsTakesTwoAttempts) {
    const Scratch scratch;
    const Part part(2);
    part.write_tif(scratch / "bare.tif", false);
    part.write_tif(scratch / "tagged.tif", true);
    Known known = of_the_haven();
    known["out"] = scratch / "first";
    const Outcome refused = overlay(scratch / "bare.tif", {});
    EXPECT_EQ(refused.exit_code, 2);
    EXPECT_EQ(refused.out, "");
    const Refusal refusal(refused.err);
    EXPECT_THAT(refusal.options, ElementsAre("crs", "positive", "depth-unit", "chart-datum", "uncertainty",
                                             "boat", "low-water", "high-water", "wind", "out"))
        << refused.err;
    EXPECT_EQ(refusal.plan_lines, refusal.options);
    EXPECT_THAT(refused.err, HasSubstr("metres of a projection"));
    EXPECT_THAT(refused.err, testing::ContainsRegex("of them below\\s+0"));
    std::size_t longest = 0;
    for (std::size_t begin = 0; begin < refused.err.size();) {
        const std::size_t end = refused.err.find('\n', begin);
        const std::string line = refused.err.substr(begin, end - begin);
        if (line.find(scratch / "") == std::string::npos) longest = std::max(longest, line.size());
        begin = end + 1;
    }
    EXPECT_LE(longest, 80U) << refused.err;

    const Outcome made = overlay(scratch / "bare.tif", refusal.words(known));
    EXPECT_EQ(made.exit_code, 0) << made.err;
    EXPECT_EQ(swingroom({"verify", known["out"]}).exit_code, 0);
    // The same as of the raster that says for itself what can be said.
    known["out"] = scratch / "other";
    const Refusal fewer(overlay(scratch / "tagged.tif", {}).err);
    EXPECT_THAT(fewer.options, Not(testing::Contains("crs")));
    EXPECT_EQ(overlay(scratch / "tagged.tif", fewer.words(known)).exit_code, 0);
    EXPECT_EQ(read_layer(scratch / "first/verdict.tif").values,
              read_layer(scratch / "other/verdict.tif").values);
}

TEST(FirstOverlay, OfPointsWithRoundedStepsTakesTwoAttemptsAndIsNoFalseYes) {
    const Scratch scratch;
    const Part part(1.9987); // rounded to centimetres by 0.25 % of a step
    part.write_xyz(scratch / "grid.xyz", "%.2f %.2f %.3f\n");
    part.write_tif(scratch / "exact.tif", true);
    Known known = of_the_haven();
    known["out"] = scratch / "points";
    const Refusal refusal(overlay(scratch / "grid.xyz", {}).err);
    write_bytes(scratch / "first.plan", refusal.plan(known));
    const Outcome made = overlay(scratch / "grid.xyz", {"--plan", scratch / "first.plan"});
    ASSERT_EQ(made.exit_code, 0) << made.err;

    known["out"] = scratch / "exact";
    const Refusal fewer(overlay(scratch / "exact.tif", {}).err);
    ASSERT_EQ(overlay(scratch / "exact.tif", fewer.words(known)).exit_code, 0);
    const Layer points = read_layer(scratch / "points/verdict.tif"),
                exact = read_layer(scratch / "exact/verdict.tif");
    ASSERT_EQ(points.values.size(), exact.values.size());
    std::size_t yes = 0, lost = 0;
    for (std::size_t i = 0; i < exact.values.size(); ++i) {
        ASSERT_LE(points.values[i], exact.values[i]) << i;
        yes += exact.values[i] > 1 ? 1U : 0U;
        lost += exact.values[i] > 1 && points.values[i] == 1 ? 1U : 0U;
    }
    EXPECT_GT(yes, 1000U);
    EXPECT_LT(lost, yes / 20) << "what the rounding costs";
}

TEST(FirstOverlay, ASpotAsksForItsPositionToo) {
    const Outcome refused = swingroom({"spot", "--bathymetry", SWINGROOM_TESTDATA "/haven/bathymetry.tif"});
    EXPECT_EQ(refused.exit_code, 2);
    const Refusal refusal(refused.err);
    EXPECT_THAT(refusal.options, ElementsAre("positive", "chart-datum", "uncertainty", "boat", "low-water",
                                             "high-water", "wind", "longitude", "latitude"))
        << refused.err;
    EXPECT_THAT(refusal.plan_lines, Not(testing::Contains("longitude"))) << "no plan holds a position";
}

TEST(FirstOverlay, OfSeveralRastersEachIsAskedWhatItLeavesOpen) {
    const Scratch scratch;
    const Part part(2);
    part.write_tif(scratch / "bare.tif", false);
    const Words job = {"--bathymetry", SWINGROOM_TESTDATA "/haven/bathymetry.tif",
                       "--boat",       SWINGROOM_TESTDATA "/haven/heavy_ketch.ini",
                       "--low-water",  "0.5",
                       "--high-water", "2.5",
                       "--wind",       "15",
                       "--out",        scratch / "out",
                       "--positive",   "up"};
    const Outcome refused = overlay(scratch / "bare.tif", job);
    EXPECT_EQ(refused.exit_code, 2);
    EXPECT_THAT(refused.err, HasSubstr("\n  --crs CRS --crs stated    or in a plan:  crs = CRS, then crs = "
                                       "stated\n"));
    EXPECT_THAT(refused.err, HasSubstr("\n  --chart-datum M    or in a plan:  chart-datum = M\n"))
        << "once for both";
    EXPECT_THAT(refused.err, Not(HasSubstr("--positive")));
    EXPECT_TRUE(scratch.names() == std::vector<std::string>{"bare.tif"}) << "nothing is begun";
}

TEST(FirstOverlay, OneThingThatIsMissingIsToldInOneLine) {
    const Outcome refused = swingroom({"overlay", "--plan", SWINGROOM_TESTDATA "/haven/haven.plan"});
    EXPECT_EQ(refused.exit_code, 2);
    EXPECT_EQ(refused.lines(), 1U);
    EXPECT_THAT(refused.err, HasSubstr("swingroom: --out: is missing; name the folder to make"));
}

} // namespace
} // namespace swingroom::golden
