#include "swingroom/base/error.hpp"
#include "swingroom/sea/inspection.hpp"

#include "made_raster.hpp"
#include "support/drawing.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <cstring>
#include <functional>
#include <string>
#include <vector>

namespace swingroom {
namespace {

using namespace testing_support;
using testing::HasSubstr;

/// Heights of chart datum over the 4 x 3 cells of `Made`, in the same cells.
Made datum(std::vector<double> heights_m) {
    Made made;
    made.values = std::move(heights_m);
    made.unit = "";
    return made;
}

struct Both {
    Scratch folder;
    BathymetryRequest request;
    Both(const Made& raster, const Made& of_datum) {
        write(raster, folder / "made.tif");
        write(of_datum, folder / "datum.tif");
        request = heights(folder / "made.tif");
        request.chart_datum_m.reset();
        request.chart_datum_file = folder / "datum.tif";
    }
};

TEST(DatumRaster, OfOneHeightIsThatNumber) {
    for (const DepthUncertainty& uncertainty :
         {DepthUncertainty::none(), DepthUncertainty::constant(0.4),
          DepthUncertainty::root_sum_square(0.25, 0.013), DepthUncertainty::linear(0.5, 0.02)}) {
        Both both(Made(), datum(std::vector<double>(12, -0.75)));
        both.request.uncertainty = uncertainty;
        BathymetryRequest by_number = both.request;
        by_number.chart_datum_file.reset();
        by_number.chart_datum_m = -0.75;
        const DepthPlanes by_raster = read_all(*open_bathymetry(both.request)),
                          expected = read_all(*open_bathymetry(by_number));
        for (std::size_t i = 0; i < 12; ++i) {
            EXPECT_EQ(by_raster.shoal_m.data()[i], expected.shoal_m.data()[i]);
            EXPECT_EQ(by_raster.deep_m.data()[i], expected.deep_m.data()[i]);
        }
    }
}

TEST(DatumRaster, OfAnotherVerticalDatumThanTheDepthsIsRefused) {
    const auto complaint = [](const char* of_depths, const char* of_datum) -> std::string {
        Made depths, heights = datum(std::vector<double>(12, -0.75));
        if (*of_depths != 0) depths.crs = of_depths;
        if (*of_datum != 0) heights.crs = of_datum;
        const Both both(depths, heights);
        try {
            (void)open_bathymetry(both.request);
        } catch (const InputError& error) {
            return error.what();
        }
        return "taken";
    };
    const char *const navd88 = "EPSG:32631+5703", *const egm96 = "EPSG:32631+5773";
    EXPECT_THAT(complaint(egm96, navd88), HasSubstr("is on the vertical datum \"NAVD88 height"));
    EXPECT_EQ(complaint(navd88, navd88), "taken");
    EXPECT_EQ(complaint(navd88, ""), "taken");
    EXPECT_EQ(complaint("", navd88), "taken") << "the depths say nothing that it could contradict";
}

TEST(DatumRaster, CountsByTheLeastAndTheGreatestHeightThatACellTouches) {
    // Cells of 15 m from the same corner: the middle ones of the bathymetry's 10 m touch two or four.
    Made coarse = datum({0.1, 0.4, -0.2, 0.3, 0.5, 0.2, 0, 0, 0});
    coarse.cols = coarse.rows = 3;
    coarse.transform = std::array<double, 6>{600'000, 15, 0, 5'900'000, 0, -15};
    const Both both(Made(), coarse);
    const auto source = open_bathymetry(both.request);
    const DepthPlanes depths = read_all(*source);
    const auto band = [&](int col, int row) {
        const auto cm = [](float m) { return std::to_string(std::lround(m * 100)); };
        return cm(depths.shoal_m.at(col, row)) + " " + cm(depths.deep_m.at(col, row));
    };
    EXPECT_EQ(band(0, 0), "110 110") << "depth 1 m";
    EXPECT_EQ(band(1, 0), "210 240") << "depth 2 m under 0.1 and 0.4";
    EXPECT_EQ(band(3, 0), "380 380");
    EXPECT_EQ(band(1, 1), "610 650") << "depth 6 m under 0.1, 0.4, 0.3 and 0.5";
    EXPECT_GE(source->greatest_uncertainty_m(), 0.35) << "half of what one cell may meet";
    EXPECT_THAT(told_all(source->assumptions()),
                testing::Contains(
                    HasSubstr("-0.2 to 0.5 m above the raster's datum, by " + (both.folder / "datum.tif"))));
    EXPECT_EQ(source->files(),
              (std::vector<std::string>{both.folder / "made.tif", both.folder / "datum.tif"}));
}

TEST(DatumRaster, IsRefusedWhereADepthTouchesAGap) {
    Made gap = datum(std::vector<double>(12, 0.5));
    gap.values[5] = -9999;
    gap.nodata = -9999;
    Made raster;
    raster.nodata = -99;
    {
        const Both both(raster, gap);
        EXPECT_THAT(complaint(both.request), HasSubstr("does not say how high chart datum lies at 4.4"));
        EXPECT_THAT(complaint(both.request), HasSubstr("(column 1, row 1 of " + (both.folder / "made.tif")));
        DepthPlanes depths;
        open_bathymetry(both.request)->read({2, 0, 2, 3}, depths);
        EXPECT_EQ(depths.shoal_m.at(3, 2), 12.5F) << "what does not touch it is read";
        const Inspection looked = inspect(both.request);
        EXPECT_TRUE(looked.open_questions.empty()) << "who only looks is not stopped";
    }
    raster.values[5] = -99;
    EXPECT_EQ(complaint(Both(raster, gap).request), "accepted") << "no depth, no need of a datum";
    raster.values[5] = 31;
    EXPECT_EQ(complaint(Both(raster, gap).request), "accepted") << "land that no water reaches";
    raster.values[5] = 30;
    EXPECT_NE(complaint(Both(raster, gap).request), "accepted");
    // An edge is a gap as well.
    Made small = datum(std::vector<double>(12, 0.5));
    (*small.transform)[3] -= 10;
    EXPECT_THAT(complaint(Both(Made(), small).request), HasSubstr("(column 0, row 0 of "));
}

TEST(DatumRaster, IsHeldToWhatADatumCanBeAndItsUnitIsItsOwn) {
    EXPECT_THAT(complaint(Both(Made(), datum(std::vector<double>(12, 201))).request),
                HasSubstr("a height of chart datum of 201 m (can be -200 to 200 m)"));
    Made feet = datum(std::vector<double>(12, 10));
    feet.unit = "ft";
    Made raster;
    raster.unit = "fm";
    const DepthPlanes depths = read_all(*open_bathymetry(Both(raster, feet).request));
    EXPECT_NEAR(depths.shoal_m.at(0, 0), 1.8288 + 3.048, 1e-5) << "a fathom, ten feet";
    feet.unit = "spans";
    EXPECT_THAT(complaint(Both(Made(), feet).request), HasSubstr("states the unit \"spans\""));
}

} // namespace
} // namespace swingroom
