#include "swingroom/base/rounding.hpp"
#include "swingroom/sea/bathymetry.hpp"

#include "support/scratch.hpp"
#include "unit/sea/made_raster.hpp"

#include <gdal_priv.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <ogr_spatialref.h>

#include <array>
#include <cstddef>
#include <limits>
#include <random>
#include <string>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

using testing::AllOf;
using testing::HasSubstr;

constexpr double nan_value = std::numeric_limits<double>::quiet_NaN();
constexpr double infinity = std::numeric_limits<double>::infinity();

using Folder = testing_support::Scratch;

using testing_support::complaint;
using testing_support::heights;
using testing_support::Made;
using testing_support::missing;
using testing_support::read_all;
using testing_support::shoal_of;
using testing_support::write;

// --- missing and impossible values -------------------------------------------------------------------------

TEST(Bathymetry, MissingValuesAreUnsurveyed) {
    Made made;
    made.nodata = -9999;
    made.values = {-9999, nan_value, infinity, -infinity, -1.7e38, 3.4e38, -7, -8, -9, -10, -11, -12};
    const std::vector<float> shoal = shoal_of(made);
    for (std::size_t i = 0; i < 6; ++i) {
        EXPECT_TRUE(missing(shoal[i])) << i;
    }
    EXPECT_EQ(shoal[6], 7);
}

TEST(Bathymetry, NodataOfAFloatBandIsComparedAsAFloat) {
    Made made;
    made.nodata = -9999.9;
    made.values[3] = -9999.9;
    EXPECT_TRUE(missing(shoal_of(made)[3]));
    made.nodata = nan_value;
    made.values[3] = nan_value;
    EXPECT_TRUE(missing(shoal_of(made)[3]));
    made.type = GDT_Float64;
    made.nodata = -1.7e308;
    made.values[3] = -1.7e308;
    EXPECT_TRUE(missing(shoal_of(made)[3]));
}

TEST(Bathymetry, TheFilesOwnMaskCounts) {
    Made made;
    made.mask = {255, 255, 0, 255, 255, 255, 255, 255, 255, 255, 255, 255};
    for (const GDALDataType type : {GDT_Float32, GDT_Float64}) {
        made.type = type;
        const std::vector<float> shoal = shoal_of(made);
        EXPECT_TRUE(missing(shoal[2]));
        EXPECT_EQ(shoal[3], 4);
    }
}

TEST(Bathymetry, ImpossibleDepthsAreAnError) {
    for (const double value : {-20'000.0, 9500.0, -32768.0, -9999.0, 9999.0, 1e6}) {
        Made made;
        made.values[5] = value;
        EXPECT_THAT(complaint(made), AllOf(HasSubstr("value"), HasSubstr("-a_nodata"))) << value;
        made.nodata = value;
        EXPECT_EQ(complaint(made), "accepted") << value;
    }
    Made feet;
    feet.unit = "ft";
    feet.values[5] = -30'000;
    EXPECT_EQ(complaint(feet), "accepted") << "30 000 ft are 9144 m";
}

/// Forty by twenty cells in tiles of sixteen.
Made in_tiles() {
    Made made;
    made.cols = 40;
    made.rows = 20;
    made.options = {{"COMPRESS", "DEFLATE"}, {"TILED", "YES"}, {"BLOCKXSIZE", "16"}, {"BLOCKYSIZE", "16"}};
    made.nodata = -9999;
    made.values.clear();
    for (int i = 0; i < made.cols * made.rows; ++i) {
        made.values.push_back(i % 7 == 3 ? -9999 : -1 - i);
    }
    return made;
}

TEST(Bathymetry, WindowsAcrossTilesHoldWhatTheFileHoldsThere) {
    Made made = in_tiles();
    const Folder folder;
    const std::string file = folder / "made.tif";
    for (const GDALDataType type : {GDT_Int16, GDT_Float32, GDT_Int32, GDT_Float64}) {
        made.type = type;
        write(made, file);
        const auto source = open_bathymetry(heights(file));
        for (const Window window : {Window{-2, 10, 25, 12}, Window{15, 15, 2, 2}, Window{38, 0, 4, 20}}) {
            DepthPlanes depths;
            source->read(window, depths);
            for (int row = window.row; row < window.row_end(); ++row) {
                for (int col = window.col; col < window.col_end(); ++col) {
                    const int i = row * made.cols + col;
                    const bool inside = source->grid().extent().contains(col, row);
                    if (!inside || i % 7 == 3) {
                        EXPECT_TRUE(missing(depths.shoal_m.at(col, row))) << col << ' ' << row;
                        EXPECT_TRUE(missing(depths.deep_m.at(col, row))) << col << ' ' << row;
                    } else {
                        EXPECT_EQ(depths.shoal_m.at(col, row), static_cast<float>(1 + i));
                        EXPECT_EQ(depths.deep_m.at(col, row), static_cast<float>(1 + i));
                    }
                }
            }
        }
    }
}

TEST(Bathymetry, TheFirstImpossibleDepthByRowIsToldOfInWhicheverTileItIs) {
    Made made = in_tiles();
    made.values[37] = -20'000;
    made.values[40 + 2] = -30'000; // in the first tile
    EXPECT_THAT(complaint(made), HasSubstr("-20000"));
}

// In centimetres or decimetres the usual marks for missing data are depths, and deep ones.
TEST(Bathymetry, MarksForMissingDataThatNobodyDeclaredAreAnError) {
    struct Case {
        GDALDataType type;
        double mark;
    };
    for (const auto& [type, mark] :
         {Case{GDT_Int16, -32768}, Case{GDT_Int16, -32767}, Case{GDT_Int16, 32767},
          Case{GDT_Int32, -2147483648.0}, Case{GDT_Int32, -32768}, Case{GDT_Float32, -32767},
          Case{GDT_Float32, -99999}, Case{GDT_Float64, -999999}, Case{GDT_Float32, -999},
          Case{GDT_Int16, -99}, Case{GDT_Float64, -9999}}) {
        Made made;
        made.type = type;
        made.unit = "mm";
        made.values[5] = mark;
        EXPECT_THAT(complaint(made), AllOf(HasSubstr("holds the value "), HasSubstr("mark for missing data"),
                                           HasSubstr("declare it with gdal_edit.py -a_nodata ")))
            << mark;
        made.nodata = mark;
        EXPECT_TRUE(missing(shoal_of(made)[5])) << mark;
    }
    const auto down = [](auto& r) { r.positive_down = true; };
    for (const auto& [type, mark] : {Case{GDT_UInt16, 65535}, Case{GDT_Byte, 255}, Case{GDT_Float32, 65535},
                                     Case{GDT_Byte, 99}, Case{GDT_UInt32, 4294967295.0}}) {
        Made made;
        made.type = type;
        made.unit = "mm";
        made.values = {1, 2, 3, 4, 5, mark, 7, 8, 9, 10, 11, 12};
        EXPECT_THAT(complaint(made, down), HasSubstr("mark for missing data")) << mark;
    }
}

TEST(Bathymetry, ShortRowsOfNinesAreDepthsWhereAnotherMarkIsDeclaredOrTheyAreLand) {
    Made made;
    made.values[5] = -99;
    made.nodata = -32768;
    EXPECT_EQ(shoal_of(made)[5], 99);
    made.nodata.reset();
    made.values[5] = 99;
    EXPECT_EQ(shoal_of(made)[5], -99);
    made.nodata = -1;
    made.values[5] = -99999;
    made.unit = "mm";
    EXPECT_THAT(complaint(made), HasSubstr("mark for missing data")) << "too long to be met by chance";
}

TEST(Bathymetry, BlocksThatWereNeverWrittenAreAnError) {
    const Folder folder;
    const std::string file = folder / "sparse.tif";
    for (const bool declared : {false, true}) {
        GDALAllRegister();
        CPLStringList options;
        options.SetNameValue("SPARSE_OK", "TRUE");
        options.SetNameValue("TILED", "YES");
        GDALDatasetUniquePtr dataset(GetGDALDriverManager()->GetDriverByName("GTiff")->Create(
            file.c_str(), 600, 600, 1, GDT_Float32, options.List()));
        std::array<double, 6> t{600'000, 10, 0, 5'900'000, 0, -10};
        dataset->SetGeoTransform(t.data());
        OGRSpatialReference crs;
        crs.importFromEPSG(32631);
        dataset->SetSpatialRef(&crs);
        dataset->GetRasterBand(1)->SetUnitType("m");
        if (declared) dataset->GetRasterBand(1)->SetNoDataValue(-9999);
        std::vector<float> tile(256 * 256, -5);
        ASSERT_EQ(dataset->GetRasterBand(1)->RasterIO(GF_Write, 0, 0, 256, 256, tile.data(), 256, 256,
                                                      GDT_Float32, 0, 0, nullptr),
                  CE_None);
        dataset.reset();
        if (!declared) {
            EXPECT_THAT(complaint(heights(file)), HasSubstr("never written"));
            DepthPlanes depths;
            EXPECT_NO_THROW(open_bathymetry(heights(file))->read({0, 0, 256, 256}, depths))
                << "where it is whole";
        } else {
            const DepthPlanes depths = read_all(*open_bathymetry(heights(file)));
            EXPECT_EQ(depths.shoal_m.at(10, 10), 5);
            EXPECT_TRUE(missing(depths.shoal_m.at(500, 500)));
        }
    }
}

// --- uncertainty -------------------------------------------------------------------------------------------

TEST(Bathymetry, UncertaintyMustBeSaidOrInTheFile) {
    EXPECT_THAT(complaint(Made{}, [](auto& r) { r.uncertainty.reset(); }),
                AllOf(HasSubstr("<uncertainty>"), HasSubstr("0")));
    EXPECT_THAT(complaint(Made{}, [](auto& r) { r.uncertainty = DepthUncertainty::band(); }),
                HasSubstr("<uncertainty> band"));
}

TEST(Bathymetry, UncertaintyWidensBothWaysAndRoundsTheSafeWay) {
    std::mt19937_64 random(3);
    std::uniform_real_distribution<double> depth(-5, 60);
    Made made;
    made.cols = 50;
    made.rows = 40;
    made.values.resize(2000);
    for (double& v : made.values) {
        v = -depth(random);
    }
    for (const GDALDataType type : {GDT_Float32, GDT_Float64}) {
        for (const char* text : {"0", "0.3", "0.5,0.013", "C"}) {
            made.type = type;
            const Folder folder;
            const std::string file = folder / "made.tif";
            write(made, file);
            BathymetryRequest request = heights(file);
            request.chart_datum_m = 0.123;
            request.uncertainty = DepthUncertainty::parse(text, "x");
            const auto source = open_bathymetry(request);
            const DepthPlanes depths = read_all(*source);
            for (std::size_t i = 0; i < made.values.size(); ++i) {
                const double held = type == GDT_Float32
                                        ? static_cast<double>(static_cast<float>(made.values[i]))
                                        : made.values[i];
                const double depth_m = 0.123 - held, u_m = request.uncertainty->at(depth_m);
                ASSERT_EQ(depths.shoal_m.data()[i], narrow_down(depth_m - u_m)) << text << " " << i;
                ASSERT_EQ(depths.deep_m.data()[i], narrow_up(depth_m + u_m)) << text << " " << i;
                ASSERT_LE(u_m, source->greatest_uncertainty_m());
            }
        }
    }
}

TEST(Bathymetry, TheUncertaintyBandIsTakenCellByCell) {
    Made made;
    made.second = {0.1, 0, nan_value, -1, 60, infinity, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5};
    const Folder folder;
    const std::string file = folder / "made.tif";
    write(made, file);
    BathymetryRequest request = heights(file);
    request.uncertainty.reset();
    const auto source = open_bathymetry(request);
    const DepthPlanes depths = read_all(*source);
    EXPECT_EQ(depths.shoal_m.at(0, 0), narrow_down(1 - static_cast<double>(0.1F)));
    EXPECT_EQ(depths.deep_m.at(0, 0), narrow_up(1 + static_cast<double>(0.1F)));
    EXPECT_EQ(depths.shoal_m.at(1, 0), 2);
    for (const auto& [c, r] : {std::pair(2, 0), std::pair(3, 0), std::pair(0, 1), std::pair(1, 1)}) {
        EXPECT_TRUE(missing(depths.shoal_m.at(c, r))) << c << ", " << r;
        EXPECT_TRUE(missing(depths.deep_m.at(c, r))) << c << ", " << r;
    }
    EXPECT_GE(source->greatest_uncertainty_m(), 0.5);
    request.uncertainty = DepthUncertainty::constant(2);
    EXPECT_EQ(read_all(*open_bathymetry(request)).shoal_m.at(2, 0), 1) << "what is said goes before the band";
}

TEST(Bathymetry, TheUncertaintyBandHasTheDepthsUnitUnlessItStatesItsOwn) {
    const auto unsaid = [](auto& r) { r.uncertainty.reset(); };
    Made made;
    made.unit = "ft";
    made.second.assign(12, 1);
    EXPECT_EQ(shoal_of(made, unsaid)[9], narrow_down(10 * 0.3048 - 0.3048));
    made.second_unit = "m";
    EXPECT_EQ(shoal_of(made, unsaid)[9], narrow_down(10 * 0.3048 - 1));
    made.second_unit = "cubits";
    EXPECT_THAT(complaint(made, unsaid), AllOf(HasSubstr("cubits"), HasSubstr("<uncertainty>")));
}

} // namespace
} // namespace swingroom
