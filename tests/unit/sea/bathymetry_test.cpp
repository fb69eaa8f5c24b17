#include "swingroom/base/error.hpp"
#include "swingroom/base/rounding.hpp"
#include "swingroom/sea/bathymetry.hpp"

#include "support/open_data.hpp"
#include "support/scratch.hpp"
#include "support/setting_words.hpp"
#include "support/told_facts.hpp"

#include <gdal_priv.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <ogr_spatialref.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <functional>
#include <limits>
#include <memory>
#include <optional>
#include <random>
#include <string>
#include <sys/stat.h>
#include <thread>
#include <unistd.h>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

using testing::AllOf;
using testing::Contains;
using testing::HasSubstr;
using testing::Not;
using testing::StartsWith;

constexpr double nan_value = std::numeric_limits<double>::quiet_NaN();
constexpr double infinity = std::numeric_limits<double>::infinity();

using Folder = testing_support::Scratch;

/// A small GeoTIFF to be made; what a test is about is changed, the rest is sound.
struct Made {
    int cols = 4, rows = 3;
    std::vector<double> values = {-1, -2, -3, -4, -5, -6, -7, -8, -9, -10, -11, -12};
    GDALDataType type = GDT_Float32;
    std::string crs = "EPSG:32631";
    std::optional<std::array<double, 6>> transform = std::array<double, 6>{600'000, 10, 0, 5'900'000, 0, -10};
    std::optional<double> nodata{}, scale{}, offset{};
    std::string unit = "m";
    std::vector<double> second{}; ///< values of a second band, if any
    std::string second_name = "Uncertainty", second_unit{};
    std::vector<std::pair<std::string, std::string>> band_items{}, file_items{}, options{};
    std::vector<std::uint8_t> mask{};
};

void write(const Made& made, const std::string& file) {
    GDALAllRegister();
    CPLStringList options;
    for (const auto& [key, value] : made.options)
        options.SetNameValue(key.c_str(), value.c_str());
    CPLSetThreadLocalConfigOption("GDAL_TIFF_INTERNAL_MASK", "YES");
    const GDALDatasetUniquePtr dataset(GetGDALDriverManager()->GetDriverByName("GTiff")->Create(
        file.c_str(), made.cols, made.rows, made.second.empty() ? 1 : 2, made.type, options.List()));
    ASSERT_TRUE(dataset);
    if (made.transform) {
        std::array<double, 6> t = *made.transform;
        ASSERT_EQ(dataset->SetGeoTransform(t.data()), CE_None);
    }
    if (!made.crs.empty()) {
        OGRSpatialReference crs;
        ASSERT_EQ(crs.SetFromUserInput(made.crs.c_str()), OGRERR_NONE) << made.crs;
        ASSERT_EQ(dataset->SetSpatialRef(&crs), CE_None);
    }
    for (const auto& [key, value] : made.file_items)
        dataset->SetMetadataItem(key.c_str(), value.c_str());
    const auto fill = [&](int index, std::vector<double> values, const std::string& unit) {
        GDALRasterBand& band = *dataset->GetRasterBand(index);
        if (!unit.empty()) band.SetUnitType(unit.c_str());
        ASSERT_EQ(band.RasterIO(GF_Write, 0, 0, made.cols, made.rows, values.data(), made.cols, made.rows,
                                GDT_Float64, 0, 0, nullptr),
                  CE_None);
    };
    GDALRasterBand& band = *dataset->GetRasterBand(1);
    if (made.nodata) band.SetNoDataValue(*made.nodata);
    if (made.scale) band.SetScale(*made.scale);
    if (made.offset) band.SetOffset(*made.offset);
    for (const auto& [key, value] : made.band_items)
        band.SetMetadataItem(key.c_str(), value.c_str());
    if (!made.second.empty()) dataset->GetRasterBand(2)->SetDescription(made.second_name.c_str());
    if (!made.mask.empty()) {
        ASSERT_EQ(dataset->CreateMaskBand(GMF_PER_DATASET), CE_None);
        std::vector<std::uint8_t> mask = made.mask;
        ASSERT_EQ(band.GetMaskBand()->RasterIO(GF_Write, 0, 0, made.cols, made.rows, mask.data(), made.cols,
                                               made.rows, GDT_Byte, 0, 0, nullptr),
                  CE_None);
    }
    fill(1, made.values, made.unit);
    if (!made.second.empty()) fill(2, made.second, made.second_unit);
}

/// A request that says everything: heights, on chart datum, no uncertainty.
BathymetryRequest heights(const std::string& file) {
    BathymetryRequest request;
    request.file = file;
    request.positive_down = false;
    request.chart_datum_m = 0;
    request.uncertainty = DepthUncertainty::none();
    return request;
}

DepthPlanes read_all(const DepthSource& source) {
    DepthPlanes depths;
    source.read(source.grid().extent(), depths);
    return depths;
}

/// Shoal depths of the whole of a raster that is made for it.
std::vector<float> shoal_of(const Made& made, const std::function<void(BathymetryRequest&)>& change = {}) {
    const Folder folder;
    const std::string file = folder / "made.tif";
    write(made, file);
    BathymetryRequest request = heights(file);
    if (change) change(request);
    const DepthPlanes depths = read_all(*open_bathymetry(request));
    return {depths.shoal_m.data(), depths.shoal_m.data() + depths.shoal_m.size()};
}

/// What opening and reading a file says against it; "accepted" if nothing, "io: ..." for a failing file.
std::string complaint(const BathymetryRequest& request) {
    try {
        read_all(*open_bathymetry(request));
    } catch (const InputError& error) {
        return error.message().text(marked);
    } catch (const IoError& error) {
        return "io: " + error.message().text(marked);
    }
    return "accepted";
}

std::string complaint(const Made& made, const std::function<void(BathymetryRequest&)>& change = {}) {
    const Folder folder;
    const std::string file = folder / "made.tif";
    write(made, file);
    BathymetryRequest request = heights(file);
    if (change) change(request);
    std::string text = complaint(request);
    EXPECT_EQ(text.find('\n'), std::string::npos) << "one line: " << text;
    if (text != "accepted") {
        EXPECT_TRUE(text.find("made.tif") != std::string::npos || text.front() == '<') << text;
    }
    return text;
}

std::vector<std::string> assumptions_of(const Made& made,
                                        const std::function<void(BathymetryRequest&)>& change) {
    const Folder folder;
    const std::string file = folder / "made.tif";
    write(made, file);
    BathymetryRequest request = heights(file);
    change(request);
    return told_all(open_bathymetry(request)->assumptions());
}

bool missing(float v) { return std::isnan(v); }

// --- signs, units, datum -------------------------------------------------------------------------------

TEST(Bathymetry, HeightsBecomeDepths) {
    EXPECT_THAT(shoal_of({}), testing::ElementsAre(1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12));
}

TEST(Bathymetry, DepthsStayDepths) {
    Made made;
    made.values = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, -2};
    EXPECT_EQ(shoal_of(made, [](auto& r) { r.positive_down = true; }).back(), -2) << "a drying height";
}

TEST(Bathymetry, ChartDatumBelowTheRastersDatumTakesWaterAway) {
    // The raster on mean sea level, chart datum 1.5 m below it: -1.5. Where mean sea level has 5 m, charts
    // say 3.5.
    EXPECT_EQ(shoal_of({}, [](auto& r) { r.chart_datum_m = -1.5; })[4], 3.5F);
    EXPECT_EQ(shoal_of({},
                       [](auto& r) {
                           r.positive_down = true;
                           r.chart_datum_m = -1.5;
                       })[4],
              -6.5F);
}

TEST(Bathymetry, TheSignMustBeSaidAndTheRangeIsShown) {
    EXPECT_THAT(
        complaint(Made{}, [](auto& r) { r.positive_down.reset(); }),
        AllOf(HasSubstr("from -12 to -1"), HasSubstr("<positive> up if"), HasSubstr("<positive> down if")));
}

TEST(Bathymetry, TheSignOfTheCfConventionsIsTaken) {
    const auto unsaid = [](auto& r) { r.positive_down.reset(); };
    Made made;
    made.band_items = {{"positive", "down"}};
    EXPECT_EQ(shoal_of(made, unsaid)[1], -2);
    made.band_items = {{"standard_name", "sea_floor_depth_below_geoid"}};
    EXPECT_EQ(shoal_of(made, unsaid)[1], -2);
    made.band_items = {{"standard_name", "surface_altitude"}};
    EXPECT_EQ(shoal_of(made, unsaid)[1], 2);
    made.band_items = {{"positive", "up"}, {"standard_name", "depth"}};
    EXPECT_THAT(complaint(made, unsaid), HasSubstr("contradicts itself"));
    made.band_items = {{"positive", "down"}};
    EXPECT_THAT(complaint(made), AllOf(HasSubstr("positive down"), HasSubstr("<positive> up contradicts")));
}

TEST(Bathymetry, UnitsOfTheFileAndOfTheUser) {
    Made made;
    made.unit = "ft";
    EXPECT_EQ(shoal_of(made)[9], narrow_down(3.048));
    made.unit = "US survey foot";
    EXPECT_EQ(shoal_of(made)[9], narrow_down(10 * (1200.0 / 3937)));
    made.unit = "fathom";
    EXPECT_EQ(shoal_of(made)[9], narrow_down(10 * 1.8288));
    made.unit = "";
    EXPECT_EQ(shoal_of(made, [](auto& r) { r.depth_unit = "fm"; })[0], narrow_down(1.8288));
    EXPECT_THAT(complaint(made),
                HasSubstr("made.tif: does not say its unit; give <depth unit> m, dm, cm, ft, us-ft or fm"));
    EXPECT_THAT(assumptions_of(made, [](auto& r) { r.depth_unit = "m"; }), Contains("unit: m (as said)"));
    made.file_items = {{"units", "m LAT"}};
    EXPECT_EQ(shoal_of(made)[0], 1) << "stated beside the band";
    made.file_items.clear();
    made.unit = "ft";
    EXPECT_THAT(complaint(made, [](auto& r) { r.depth_unit = "m"; }),
                HasSubstr("<depth unit> m contradicts"));
    EXPECT_EQ(complaint(made, [](auto& r) { r.depth_unit = "ft"; }), "accepted");
    made.unit = "cubits";
    EXPECT_THAT(complaint(made), AllOf(HasSubstr("cubits"), HasSubstr("<depth unit>")));
    EXPECT_THAT(complaint(Made{}, [](auto& r) { r.depth_unit = "yd"; }), HasSubstr("not a unit"));
}

TEST(Bathymetry, ChartDatumMustBeKnown) {
    const auto unsaid = [](auto& r) { r.chart_datum_m.reset(); };
    EXPECT_THAT(complaint(Made{}, unsaid), HasSubstr("<chart datum>"));
    Made made;
    made.unit = "";
    made.file_items = {{"units", "m LAT"}};
    EXPECT_EQ(shoal_of(made, unsaid)[2], 3);
    made.file_items = {{"units", "m MSL"}};
    EXPECT_THAT(complaint(made, unsaid), HasSubstr("<chart datum>"));
    made.file_items = {{"units", "m flat"}}; // "lat" as a part of a word is no datum
    EXPECT_THAT(complaint(made, unsaid), HasSubstr("<chart datum>"));
    EXPECT_THAT(complaint(Made{}, [](auto& r) { r.chart_datum_m = 1e4; }), HasSubstr("<chart datum>"));
}

TEST(Bathymetry, AVerticalCrsMayNameChartDatum) {
    const auto unsaid = [](auto& r) { r.chart_datum_m.reset(); };
    Made made;
    made.crs =
        "EPSG:26919+5866"; // mean lower low water, "depth", axis down: the axis says nothing of the values
    EXPECT_EQ(shoal_of(made, unsaid)[2], 3);
    made.crs = "EPSG:26919+5703";
    EXPECT_THAT(complaint(made, unsaid), AllOf(HasSubstr("NAVD88"), HasSubstr("<chart datum>")));
}

TEST(Bathymetry, ScaleAndOffsetOfTheBand) {
    Made made;
    made.type = GDT_Int16;
    made.scale = 0.1;
    made.offset = -2;
    EXPECT_EQ(shoal_of(made)[9], narrow_down(3.0)) << "-10 * 0.1 - 2";
    made.scale = 0;
    EXPECT_THAT(complaint(made), HasSubstr("scale"));
}

TEST(Bathymetry, ScaleAndOffsetAreToldWithTheFileThatTheyAreFrom) {
    const Folder folder;
    const std::string file = folder / "made.tif";
    Made made;
    made.scale = 0.1;
    made.offset = -2;
    write(made, file);
    EXPECT_THAT(told_all(open_bathymetry(heights(file))->assumptions()),
                Contains("scale: 0.1, offset -2 (file)"));
    made.scale = made.offset = std::nullopt;
    write(made, file);
    EXPECT_THAT(told_all(open_bathymetry(heights(file))->assumptions()), Not(Contains(StartsWith("scale"))));
    std::ofstream(file + ".aux.xml")
        << R"(<PAMDataset><PAMRasterBand band="1"><Offset>0</Offset><Scale>10</Scale></PAMRasterBand></PAMDataset>)";
    const auto source = open_bathymetry(heights(file));
    EXPECT_THAT(told_all(source->assumptions()), Contains("scale: 10, offset 0 (" + file + ".aux.xml)"));
    EXPECT_EQ(read_all(*source).shoal_m.at(0, 0), 10) << "and it is applied";
    EXPECT_THAT(source->files(), Contains(file + ".aux.xml"));
}

TEST(Bathymetry, ScaleOfTheUncertaintyIsTold) {
    const Folder folder;
    const std::string file = folder / "made.tif";
    Made made;
    made.second = std::vector<double>(12, 5);
    write(made, file);
    std::ofstream(file + ".aux.xml")
        << R"(<PAMDataset><PAMRasterBand band="2"><Scale>0.1</Scale></PAMRasterBand></PAMDataset>)";
    BathymetryRequest request = heights(file);
    request.uncertainty = std::nullopt;
    const auto source = open_bathymetry(request);
    EXPECT_THAT(told_all(source->assumptions()),
                Contains("scale of the uncertainty: 0.1, offset 0 (" + file + ".aux.xml)"));
    EXPECT_EQ(read_all(*source).shoal_m.at(0, 0), 0.5F);
}

// --- missing and impossible values ---------------------------------------------------------------------

TEST(Bathymetry, MissingValuesAreUnsurveyed) {
    Made made;
    made.nodata = -9999;
    made.values = {-9999, nan_value, infinity, -infinity, -1.7e38, 3.4e38, -7, -8, -9, -10, -11, -12};
    const std::vector<float> shoal = shoal_of(made);
    for (std::size_t i = 0; i < 6; ++i)
        EXPECT_TRUE(missing(shoal[i])) << i;
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

// --- what is asked -------------------------------------------------------------------------------------

/// The setting that opening a file asks for; nothing if it asks for none.
std::optional<Setting> asked(const Made& made, const std::function<void(BathymetryRequest&)>& change) {
    const Folder folder;
    const std::string file = folder / "made.tif";
    write(made, file);
    BathymetryRequest request = heights(file);
    change(request);
    try {
        (void)open_bathymetry(request);
    } catch (const UnsaidError& unsaid) {
        EXPECT_EQ(unsaid.where().text(), file);
        return unsaid.question();
    } catch (const InputError&) {
    }
    return std::nullopt;
}

TEST(Bathymetry, WhatIsNotSaidIsAQuestionAndWhatIsSaidWronglyIsNone) {
    Made unplaced, unmeasured, strange;
    unplaced.crs = "";
    unmeasured.unit = "";
    strange.unit = "cubits";
    const auto all_said = [](auto&) {};
    EXPECT_EQ(asked(unplaced, all_said), Setting::crs);
    EXPECT_EQ(asked(Made{}, [](auto& r) { r.positive_down.reset(); }), Setting::positive);
    EXPECT_EQ(asked(unmeasured, all_said), Setting::depth_unit);
    EXPECT_EQ(asked(strange, all_said), Setting::depth_unit);
    EXPECT_EQ(asked(Made{}, [](auto& r) { r.chart_datum_m.reset(); }), Setting::chart_datum);
    EXPECT_EQ(asked(Made{}, [](auto& r) { r.uncertainty.reset(); }), Setting::uncertainty);
    EXPECT_EQ(asked(Made{}, all_said), std::nullopt);
    EXPECT_EQ(asked(Made{}, [](auto& r) { r.chart_datum_m = 1e4; }), std::nullopt);
    EXPECT_EQ(asked(Made{}, [](auto& r) { r.depth_unit = "ft"; }), std::nullopt);
    EXPECT_EQ(asked(unplaced, [](auto& r) { r.crs = "EPSG:999999"; }), std::nullopt);
}

// --- uncertainty ---------------------------------------------------------------------------------------

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
    for (double& v : made.values)
        v = -depth(random);
    for (const GDALDataType type : {GDT_Float32, GDT_Float64})
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

// --- where it lies -------------------------------------------------------------------------------------

TEST(Bathymetry, BadGeotransformsAreRefused) {
    using T = std::array<double, 6>;
    struct Case {
        const char* why;
        T transform;
        const char* crs = "EPSG:32631";
    };
    for (const Case& bad : {Case{"rotated", T{600'000, 10, 1, 5'900'000, 1, -10}},
                            Case{"rotated", T{600'000, 10, 2, 5'900'000, 0, -10}},
                            Case{"rotated", T{600'000, 0, 10, 5'900'000, -10, 0}},
                            Case{"mirrored", T{600'000, -10, 0, 5'900'000, 0, -10}},
                            Case{"not finite", T{600'000, infinity, 0, 5'900'000, 0, -10}},
                            Case{"not finite", T{nan_value, 10, 0, 5'900'000, 0, -10}},
                            Case{"too small", T{1e15, 10, 0, 1e15, 0, -10}},
                            Case{"latitude 95", T{5, 0.1, 0, 95, 0, -0.1}, "EPSG:4326"},
                            Case{"latitude -90.1", T{5, 0.1, 0, -89.8, 0, -0.1}, "EPSG:4326"},
                            Case{"wider than 360", T{5, 91, 0, 50, 0, -0.1}, "EPSG:4326"}}) {
        Made made;
        made.transform = bad.transform;
        made.crs = bad.crs;
        EXPECT_THAT(complaint(made), HasSubstr(bad.why));
    }
    Made none;
    none.transform.reset();
    EXPECT_THAT(complaint(none), HasSubstr("no geotransform"));
}

TEST(Bathymetry, SouthUpRastersKeepTheirOrder) {
    Made made;
    made.transform = {600'000, 10, 0, 5'900'000, 0, 10};
    const Folder folder;
    write(made, folder / "made.tif");
    const auto source = open_bathymetry(heights(folder / "made.tif"));
    EXPECT_EQ(source->grid().step_y, 10);
    EXPECT_EQ(read_all(*source).shoal_m.at(0, 0), 1);
}

TEST(Bathymetry, TheCrsComesFromTheFileOrIsSaid) {
    Made none;
    none.crs = "";
    EXPECT_THAT(complaint(none), HasSubstr("<CRS>"));
    EXPECT_EQ(complaint(none, [](auto& r) { r.crs = "EPSG:32631"; }), "accepted");
    EXPECT_THAT(complaint(none, [](auto& r) { r.crs = "EPSG:999999"; }), HasSubstr("no CRS that PROJ knows"));
    EXPECT_THAT(complaint(none, [](auto& r) { r.crs = "EPSG:4978"; }),
                HasSubstr("neither geographic nor projected"));
    EXPECT_THAT(complaint(Made{}, [](auto& r) { r.crs = "EPSG:32632"; }), HasSubstr("contradicts"));
    EXPECT_EQ(complaint(Made{}, [](auto& r) { r.crs = "EPSG:32631"; }), "accepted");
}

TEST(Bathymetry, TheCrsIsKeptAsItsHorizontalPart) {
    Made made;
    made.crs = "EPSG:26919+5866";
    const Folder folder;
    write(made, folder / "made.tif");
    const auto source = open_bathymetry(heights(folder / "made.tif"));
    OGRSpatialReference crs;
    ASSERT_EQ(crs.importFromWkt(source->grid().crs_wkt.c_str()), OGRERR_NONE);
    EXPECT_TRUE(crs.IsProjected());
    EXPECT_FALSE(crs.IsCompound());
    EXPECT_STREQ(crs.GetAuthorityCode(nullptr), "26919");
}

// --- windows, threads ----------------------------------------------------------------------------------

TEST(Bathymetry, WindowsMayReachOutsideTheRaster) {
    const Folder folder;
    write(Made{}, folder / "made.tif");
    const auto source = open_bathymetry(heights(folder / "made.tif"));
    DepthPlanes depths;
    source->read({-2, -1, 8, 5}, depths);
    EXPECT_EQ(depths.shoal_m.window(), (Window{-2, -1, 8, 5}));
    for (int r = -1; r < 4; ++r)
        for (int c = -2; c < 6; ++c) {
            if (!source->grid().extent().contains(c, r)) {
                EXPECT_TRUE(missing(depths.shoal_m.at(c, r)) && missing(depths.deep_m.at(c, r)));
            } else {
                EXPECT_EQ(depths.deep_m.at(c, r), 4 * r + c + 1);
            }
        }
    source->read({100, 100, 3, 3}, depths);
    EXPECT_TRUE(missing(depths.shoal_m.at(101, 101)));
    source->read({2, 1, 2, 1}, depths);
    EXPECT_EQ(depths.shoal_m.at(3, 1), 8) << "planes are made anew for each window";
}

TEST(Bathymetry, SeveralThreadsReadTheSame) {
    Made made;
    made.cols = made.rows = 300;
    made.values.resize(90'000);
    for (std::size_t i = 0; i < made.values.size(); ++i)
        made.values[i] = -static_cast<double>(i % 977) / 16;
    made.options = {{"TILED", "YES"}, {"BLOCKXSIZE", "32"}, {"BLOCKYSIZE", "32"}, {"COMPRESS", "DEFLATE"}};
    const Folder folder;
    write(made, folder / "made.tif");
    const auto source = open_bathymetry(heights(folder / "made.tif"));
    std::array<int, 4> wrong{};
    {
        std::vector<std::jthread> threads;
        for (std::size_t t = 0; t < wrong.size(); ++t)
            threads.emplace_back([&, t] {
                DepthPlanes depths;
                for (const Window& core :
                     cut_into_blocks(source->grid().extent(), 40 + static_cast<int>(t))) {
                    const Window w = grown(core, 9);
                    source->read(w, depths);
                    for (int r = w.row; r < w.row_end(); ++r)
                        for (int c = w.col; c < w.col_end(); ++c) {
                            const bool inside = source->grid().extent().contains(c, r);
                            const float want = static_cast<float>((r * 300 + c) % 977) / 16;
                            const float got = depths.shoal_m.at(c, r);
                            wrong[t] += inside ? got != want : !missing(got);
                        }
                }
            });
    }
    EXPECT_THAT(wrong, testing::Each(0));
}

// --- broken and strange files --------------------------------------------------------------------------

TEST(Bathymetry, NamesThatAreNoFiles) {
    const Folder folder;
    EXPECT_EQ(complaint(heights(folder / "none.tif")),
              folder / "none.tif" + ": no such file; give the path of an existing file");
    EXPECT_THAT(complaint(heights(folder / "")), HasSubstr("is not a file"));
    const std::string pipe = folder / "pipe";
    ASSERT_EQ(mkfifo(pipe.c_str(), 0600), 0);
    EXPECT_THAT(complaint(heights(pipe)), HasSubstr("is not a file")) << "and does not wait for a writer";
    EXPECT_THAT(complaint(heights("/dev/zero")), HasSubstr("is not a file"));
    for (const char* name : {"/vsimem/x.tif", "/vsicurl/http://localhost/x.tif", "http://localhost/x.tif",
                             "GTIFF_DIR:1:x.tif", "{\"type\":\"x\"}", "<VRTDataset/>", ""})
        EXPECT_THAT(complaint(heights(name)), HasSubstr("; give the path of an existing file")) << name;
}

TEST(Bathymetry, AVectorFileIsTheUsersMistake) {
    const Folder folder;
    const std::string json = folder / "cables.geojson", packed = folder / "cables.gpkg";
    std::ofstream(json) << R"({"type": "FeatureCollection", "features": [{"type": "Feature", "properties": {},
        "geometry": {"type": "Point", "coordinates": [15, 60]}}]})";
    EXPECT_THAT(complaint(heights(json)),
                AllOf(HasSubstr("cables.geojson: is a vector file (GeoJSON); give hazards with <hazards>")));
    GDALAllRegister();
    GDALDatasetUniquePtr(GetGDALDriverManager()->GetDriverByName("GPKG")->Create(packed.c_str(), 0, 0, 0,
                                                                                 GDT_Unknown, nullptr))
        ->CreateLayer("cables", nullptr, wkbPoint);
    EXPECT_THAT(complaint(heights(packed)), HasSubstr("cables.gpkg: is a vector file (GPKG)"));
}

TEST(Bathymetry, FilesThatAreNoRasters) {
    const Folder folder;
    const std::string file = folder / "made.tif";
    for (const std::string& content :
         {std::string("x"), std::string("some text\nin lines\n"), std::string(4096, '\0')}) {
        std::ofstream(file, std::ios::binary) << content;
        EXPECT_EQ(complaint(heights(file)), file +
                                                ": is in no raster format that is known here; give depths as "
                                                "a raster, such as GeoTIFF or BAG")
            << content.size();
    }
    std::ofstream(file, std::ios::trunc).close();
    EXPECT_EQ(complaint(heights(file)), "io: " + file + ": is empty");
}

TEST(Bathymetry, TruncatedFilesFailByNameAndSilently) {
    Made made;
    made.cols = made.rows = 300;
    made.values.resize(90'000);
    std::mt19937 random(5);
    for (double& v : made.values)
        v = -static_cast<double>(random() % 30'000) / 1000;
    made.options = {{"COMPRESS", "DEFLATE"}, {"TILED", "YES"}};
    const Folder folder;
    const std::string file = folder / "made.tif";
    for (const double part : {0.05, 0.5, 0.9, 0.99}) {
        write(made, file);
        std::filesystem::resize_file(
            file, static_cast<std::uintmax_t>(part * static_cast<double>(std::filesystem::file_size(file))));
        testing::internal::CaptureStderr();
        EXPECT_THAT(complaint(heights(file)), AllOf(HasSubstr("io: "), HasSubstr("made.tif"))) << part;
        EXPECT_EQ(testing::internal::GetCapturedStderr(), "");
        std::filesystem::remove(file);
    }
}

TEST(Bathymetry, PicturesAreRefused) {
    Made made;
    made.type = GDT_Byte;
    made.values = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12};
    EXPECT_EQ(complaint(made, [](auto& r) { r.positive_down = true; }), "accepted");
    made.second = made.values;
    made.second_name = "";
    EXPECT_THAT(complaint(made, [](auto& r) { r.positive_down = true; }),
                HasSubstr("has 2 bands, and which one holds the depths is not said; write that one"));
    made.second.clear();
    made.type = GDT_CFloat32;
    EXPECT_THAT(complaint(made), HasSubstr("complex numbers"));
}

TEST(Bathymetry, ABlockAsLargeAsAHugeRasterIsRefusedByItsSize) {
    const Folder folder;
    const std::string file = folder / "made.tif";
    GDALAllRegister();
    CPLStringList options;
    options.SetNameValue("SPARSE_OK", "TRUE");
    options.SetNameValue("BLOCKYSIZE", "14000");
    options.SetNameValue("COMPRESS", "DEFLATE");
    GDALDatasetUniquePtr dataset(GetGDALDriverManager()->GetDriverByName("GTiff")->Create(
        file.c_str(), 14'000, 14'000, 1, GDT_Float32, options.List()));
    ASSERT_TRUE(dataset);
    dataset.reset(); // written when closed
    EXPECT_THAT(complaint(heights(file)),
                AllOf(HasSubstr("14000 x 14000"), HasSubstr("747 MB"), HasSubstr("TILED=YES")));
}

TEST(Bathymetry, VirtualRastersMayPutFilesTogetherAndNoMore) {
    const Folder folder;
    write(Made{}, folder / "part.tif");
    const auto virtual_raster = [&](const std::string& band) {
        std::ofstream(folder / "made.vrt")
            << R"(<VRTDataset rasterXSize="4" rasterYSize="3"><SRS>EPSG:32631</SRS>)"
            << "<GeoTransform>600000,10,0,5900000,0,-10</GeoTransform>" << band << "</VRTDataset>";
        return complaint(heights(folder / "made.vrt"));
    };
    const auto simple = [](const std::string& name) {
        return R"(<VRTRasterBand dataType="Float32" band="1"><UnitType>m</UnitType><SimpleSource><SourceFilename relativeToVRT="0">)" +
               name + "</SourceFilename><SourceBand>1</SourceBand></SimpleSource></VRTRasterBand>";
    };
    EXPECT_EQ(virtual_raster(simple(folder / "part.tif")), "accepted");
    EXPECT_THAT(open_bathymetry(heights(folder / "made.vrt"))->files(), Contains(folder / "part.tif"));
    EXPECT_THAT(virtual_raster(simple(folder / "absent.tif")), HasSubstr("absent.tif"));
    EXPECT_THAT(virtual_raster(simple("/vsicurl/http://localhost:1/x.tif")), HasSubstr("not a file"));
    EXPECT_THAT(
        virtual_raster(
            R"(<VRTRasterBand dataType="Byte" band="1" subClass="VRTRawRasterBand"><SourceFilename relativeToVRT="0">)" +
            (folder / "part.tif") + "</SourceFilename></VRTRasterBand>"),
        HasSubstr("virtual raster"));
}

// A mosaic reads as zero where it has no part, and copies what its parts hold.
TEST(Bathymetry, VirtualRastersHideNoGapsOfTheirParts) {
    const Folder folder;
    const auto mosaic = [&](const std::string& about_band, const std::string& source) {
        std::ofstream(folder / "made.vrt")
            << R"(<VRTDataset rasterXSize="9" rasterYSize="3"><SRS>EPSG:32631</SRS>)"
            << "<GeoTransform>600000,10,0,5900000,0,-10</GeoTransform>"
            << R"(<VRTRasterBand dataType="Float32" band="1"><UnitType>m</UnitType>)" << about_band << source
            << "</VRTRasterBand></VRTDataset>";
        return complaint(heights(folder / "made.vrt"));
    };
    const auto at = [&](const std::string& name, int column, const std::string& more = "") {
        const std::string kind = more.empty() ? "SimpleSource" : "ComplexSource";
        return "<" + kind + R"(><SourceFilename relativeToVRT="0">)" + (folder / name) +
               R"(</SourceFilename><SourceBand>1</SourceBand><SrcRect xOff="0" yOff="0" xSize="4" ySize="3"/>)" +
               R"(<DstRect xOff=")" + std::to_string(column) + R"(" yOff="0" xSize="4" ySize="3"/>)" + more +
               "</" + kind + ">";
    };
    const std::string declared = "<NoDataValue>-9999</NoDataValue>";
    write(Made{}, folder / "part.tif");
    EXPECT_THAT(mosaic("", at("part.tif", 0) + at("part.tif", 5)), HasSubstr("never written"));
    EXPECT_EQ(mosaic("", at("part.tif", 0) + at("part.tif", 4) + at("part.tif", 5)), "accepted");
    EXPECT_EQ(mosaic(declared, at("part.tif", 0) + at("part.tif", 5)), "accepted");

    Made marked;
    marked.nodata = -500;
    marked.values[5] = -500;
    write(marked, folder / "marked.tif");
    const std::string all = at("part.tif", 4) + at("part.tif", 5);
    for (const std::string& about : {std::string(), declared})
        EXPECT_THAT(mosaic(about, at("marked.tif", 0) + all),
                    AllOf(HasSubstr("marked.tif"), HasSubstr("marks missing data by -500"),
                          HasSubstr("gdalbuildvrt")));
    EXPECT_EQ(mosaic("<NoDataValue>-500</NoDataValue>", at("marked.tif", 0) + all), "accepted");
    EXPECT_EQ(mosaic(declared, at("marked.tif", 0, "<NODATA>-500</NODATA>") + all), "accepted");
    EXPECT_THAT(mosaic("", at("marked.tif", 0, "<NODATA>-500</NODATA>") + all), HasSubstr("-500"))
        << "left out, and zero instead";

    Made masked;
    masked.mask = {255, 255, 0, 255, 255, 255, 255, 255, 255, 255, 255, 255};
    write(masked, folder / "masked.tif");
    EXPECT_THAT(mosaic("", at("masked.tif", 0) + all), HasSubstr("has a mask"));

    CPLStringList sparse;
    sparse.SetNameValue("SPARSE_OK", "TRUE");
    GetGDALDriverManager()
        ->GetDriverByName("GTiff")
        ->Create((folder / "sparse.tif").c_str(), 4, 3, 1, GDT_Float32, sparse.List())
        ->ReleaseRef();
    EXPECT_THAT(mosaic("", at("sparse.tif", 0) + all),
                AllOf(HasSubstr("sparse.tif"), HasSubstr("never written")));
}

// A virtual raster copies the numbers of its parts as they are stored.
TEST(Bathymetry, VirtualRastersMisreadNoScaleOfTheirParts) {
    const Folder folder;
    Made scaled;
    scaled.scale = 10;
    write(scaled, folder / "part.tif");
    const auto of_part = [&](const std::string& about, const std::string& kind, const std::string& scaling,
                             const std::string& more = "") {
        std::ofstream(folder / "made.vrt")
            << R"(<VRTDataset rasterXSize="4" rasterYSize="3"><SRS>EPSG:32631</SRS>)"
            << "<GeoTransform>600000,10,0,5900000,0,-10</GeoTransform>"
            << R"(<VRTRasterBand dataType="Float32" band="1"><UnitType>m</UnitType>)" << about << "<" << kind
            << R"(><SourceFilename relativeToVRT="1">part.tif</SourceFilename><SourceBand>1</SourceBand>)"
            << scaling << "</" << kind << "></VRTRasterBand>" << more << "</VRTDataset>";
        return heights(folder / "made.vrt");
    };
    EXPECT_THAT(complaint(of_part("", "SimpleSource", "")),
                AllOf(HasSubstr("part.tif"), HasSubstr("has the scale 10"), HasSubstr("-unscale")));
    const auto same = open_bathymetry(of_part("<Scale>10</Scale>", "SimpleSource", ""));
    EXPECT_EQ(read_all(*same).shoal_m.at(0, 0), 10);
    EXPECT_THAT(told_all(same->assumptions()), Contains("scale: 10, offset 0 (file)"));
    const auto own = open_bathymetry(
        of_part("", "ComplexSource", "<ScaleOffset>0</ScaleOffset><ScaleRatio>10</ScaleRatio>"));
    EXPECT_EQ(read_all(*own).shoal_m.at(0, 0), 10);
    EXPECT_THAT(told_all(own->assumptions()),
                Contains("scale: the virtual raster scales values of its parts (file)"));
    // As gdalbuildvrt -addalpha writes it: that alpha is scaled says nothing of the depths.
    EXPECT_THAT(
        complaint(of_part("", "SimpleSource", "",
                          R"(<VRTRasterBand dataType="Byte" band="2"><ColorInterp>Alpha</ColorInterp>)"
                          R"(<ComplexSource><SourceFilename relativeToVRT="1">part.tif</SourceFilename>)"
                          "<SourceBand>1</SourceBand><ScaleOffset>255</ScaleOffset><ScaleRatio>0</ScaleRatio>"
                          "</ComplexSource></VRTRasterBand>")),
        AllOf(HasSubstr("part.tif"), HasSubstr("has the scale 10")));
}

TEST(Bathymetry, AHeaderOfRawNumbersServesOnlyFilesThatAreCalledSo) {
    GDALAllRegister();
    GDALDriver* const driver = GetGDALDriverManager()->GetDriverByName("EHdr");
    if (!driver) GTEST_SKIP() << "this GDAL has no EHdr driver";
    const Folder folder;
    write({}, folder / "made.tif");
    {
        const GDALDatasetUniquePtr made(GDALDataset::Open((folder / "made.tif").c_str()));
        const GDALDatasetUniquePtr raw(
            driver->CreateCopy((folder / "sea.bil").c_str(), made.get(), FALSE, nullptr, nullptr, nullptr));
        ASSERT_TRUE(raw);
    }
    BathymetryRequest sea = heights(folder / "sea.bil");
    sea.depth_unit = "m";
    EXPECT_NO_THROW(open_bathymetry(sea));
    // Another raster of the same name, in a format that is not read here, would be taken for that one's
    // numbers.
    std::filesystem::copy_file(folder / "sea.bil", folder / "sea.bt");
    EXPECT_THAT(complaint(heights(folder / "sea.bt")),
                AllOf(HasSubstr("header of raw numbers"), HasSubstr("gdal_translate")));
}

// An HFA file does not tell which of its blocks were written.
TEST(Bathymetry, BlocksOfNothingButZerosAreAnErrorWhereAFormatDoesNotTellWhatWasWritten) {
    GDALAllRegister();
    GDALDriver* const driver = GetGDALDriverManager()->GetDriverByName("HFA");
    if (!driver) GTEST_SKIP() << "this GDAL has no HFA driver";
    const Folder folder;
    const std::string file = folder / "made.img";
    for (const bool whole : {true, false}) {
        CPLStringList options;
        options.SetNameValue("COMPRESSED", "YES");
        GDALDatasetUniquePtr dataset(driver->Create(file.c_str(), 128, 128, 1, GDT_Float32, options.List()));
        ASSERT_TRUE(dataset);
        std::array<double, 6> t{600'000, 10, 0, 5'900'000, 0, -10};
        dataset->SetGeoTransform(t.data());
        OGRSpatialReference crs;
        crs.importFromEPSG(32631);
        dataset->SetSpatialRef(&crs);
        const int cols = whole ? 128 : 64;
        std::vector<float> values(128 * 128, -5);
        values[7] = 0; // a depth of zero alone is one
        ASSERT_EQ(dataset->GetRasterBand(1)->RasterIO(GF_Write, 0, 0, cols, 128, values.data(), cols, 128,
                                                      GDT_Float32, 0, 0, nullptr),
                  CE_None);
        dataset.reset();
        BathymetryRequest request = heights(file);
        request.depth_unit = "m";
        if (whole) {
            EXPECT_EQ(complaint(request), "accepted");
        } else {
            EXPECT_THAT(complaint(request), AllOf(HasSubstr("nothing but zeros"), HasSubstr("column 64")));
        }
    }
}

TEST(Bathymetry, SidecarsAreNamed) {
    const Folder folder;
    Made made;
    made.crs = "";
    write(made, folder / "made.tif");
    std::ofstream(folder / "made.tif.aux.xml") << "<PAMDataset><SRS>EPSG:32631</SRS></PAMDataset>";
    const auto source = open_bathymetry(heights(folder / "made.tif"));
    EXPECT_THAT(source->files(), testing::ElementsAre(folder / "made.tif", folder / "made.tif.aux.xml"));
}

TEST(MemoryBathymetry, IsADepthSourceLikeAnother) {
    const Grid grid{2, 2, 0, 0, 1, -1, "EPSG:32631"};
    const auto source = memory_bathymetry(grid, {1, 2, std::numeric_limits<float>::infinity(), 4},
                                          DepthUncertainty::constant(0.1));
    DepthPlanes depths;
    source->read({-1, -1, 4, 4}, depths);
    EXPECT_EQ(depths.shoal_m.at(0, 0), narrow_down(0.9));
    EXPECT_EQ(depths.deep_m.at(1, 1), narrow_up(4.1));
    EXPECT_TRUE(missing(depths.shoal_m.at(0, 1)));
    EXPECT_TRUE(missing(depths.shoal_m.at(-1, 0)));
    EXPECT_EQ(source->greatest_uncertainty_m(), 0.1);
}

// --- open data, not shipped ----------------------------------------------------------------------------

class OpenBathymetry : public testing::Test {
protected:
    void SetUp() override {
        folder_ = testing_support::open_data();
        if (folder_.empty()) GTEST_SKIP() << testing_support::no_open_data;
    }
    [[nodiscard]] BathymetryRequest file(const std::string& name) const {
        BathymetryRequest request;
        request.file = folder_ + name;
        return request;
    }

private:
    std::string folder_;
};

struct Extremes {
    double shoalest = infinity, deepest = -infinity;
    int surveyed = 0;
};

Extremes extremes(const DepthSource& source) {
    const DepthPlanes depths = read_all(source);
    Extremes e;
    for (std::size_t i = 0; i < depths.shoal_m.size(); ++i)
        if (!missing(depths.shoal_m.data()[i])) {
            ++e.surveyed;
            e.shoalest = std::min(e.shoalest, static_cast<double>(depths.shoal_m.data()[i]));
            e.deepest = std::max(e.deepest, static_cast<double>(depths.deep_m.data()[i]));
        }
    return e;
}

TEST_F(OpenBathymetry, ABagSaysEverythingItself) {
    const auto source = open_bathymetry(file("portsmouth-bag/sh2007.bag"));
    EXPECT_THAT(told_all(source->assumptions()),
                AllOf(Contains("sign: positive up (BAG)"), Contains(HasSubstr("mean lower low water"))));
    EXPECT_EQ(source->grid().cols, 841);
    const Extremes e = extremes(*source);
    EXPECT_GT(e.shoalest, 9.50 - 0.53);
    EXPECT_LT(e.deepest, 19.49 + 0.53);
    EXPECT_EQ(e.surveyed, 721'704);
}

TEST_F(OpenBathymetry, ABagOnAnUnknownDatumAsksForIt) {
    for (const char* name :
         {"portsmouth-bag/tiny_sr.bag", "portsmouth-bag/tiny_vr.bag", "format-samples/F00788_SR_8m.bag",
          "format-samples/CARIS_Density_20.bag", "format-samples/sample-2.0.1.bag"})
        EXPECT_THAT(complaint(file(name)), HasSubstr("<chart datum>")) << name;
    for (const char* name : {"format-samples/Sample_VR_BAG-gzip.bag", "format-samples/true_n_nominal.bag"})
        EXPECT_THAT(complaint(file(name)), HasSubstr("<CRS>")) << name;
}

TEST_F(OpenBathymetry, AVariableResolutionBagIsResampledAndSaysSo) {
    BathymetryRequest request = file("portsmouth-bag/tiny_vr.bag");
    request.chart_datum_m = 0;
    const auto source = open_bathymetry(request);
    EXPECT_EQ(source->grid().cols, 128) << "not its overview of 2 x 2 cells";
    EXPECT_THAT(told_all(source->assumptions()), Contains(HasSubstr("variable resolution")));
    const Extremes e = extremes(*source);
    EXPECT_NEAR(e.shoalest, 12.06, 0.1);
    EXPECT_NEAR(e.deepest, 13.73, 0.1);
}

/// Nodes of several spacings, so that some cells hold more than one: what GDAL makes of each kind of node is
/// asked for once more here, and both planes must hold all of them.
TEST_F(OpenBathymetry, WhereNodesShareACellThePlanesHoldTheShoalestAndTheDeepest) {
    const BathymetryRequest request = file("format-samples/2801_4NodeSubset.bag");
    const auto source = open_bathymetry(request);
    const DepthPlanes depths = read_all(*source);
    ASSERT_EQ(source->grid().cols, 52);
    const auto nodes = [&](const char* population, int band) {
        const std::array<const char*, 4> options{"MODE=RESAMPLED_GRID", "RES_STRATEGY=MAX", population,
                                                 nullptr};
        const GDALDatasetUniquePtr dataset(
            GDALDataset::Open(request.file.c_str(), GDAL_OF_RASTER, nullptr, options.data(), nullptr));
        std::vector<float> values(depths.shoal_m.size());
        EXPECT_EQ(dataset->GetRasterBand(band)->RasterIO(GF_Read, 0, 0, 52, 52, values.data(), 52, 52,
                                                         GDT_Float32, 0, 0, nullptr),
                  CE_None);
        return values;
    };
    const auto highest = nodes("VALUE_POPULATION=MAX", 1), lowest = nodes("VALUE_POPULATION=MIN", 1),
               uncertainty = nodes("VALUE_POPULATION=MEAN", 2);
    int shared = 0;
    for (std::size_t i = 0; i < highest.size(); ++i) {
        const float shoal_m = depths.shoal_m.data()[i], deep_m = depths.deep_m.data()[i];
        ASSERT_EQ(missing(shoal_m), highest[i] == 1e6F) << i;
        ASSERT_EQ(missing(deep_m), missing(shoal_m)) << i;
        if (missing(shoal_m)) continue;
        const auto u_m = static_cast<double>(uncertainty[i]);
        EXPECT_EQ(shoal_m, narrow_down(-static_cast<double>(highest[i]) - u_m)) << i;
        EXPECT_EQ(deep_m, narrow_up(-static_cast<double>(lowest[i]) + u_m)) << i;
        EXPECT_LE(static_cast<double>(deep_m - shoal_m), 2 * source->greatest_uncertainty_m()) << i;
        shared += highest[i] != lowest[i];
    }
    EXPECT_GT(shared, 100) << "else nothing was tried";
}

TEST_F(OpenBathymetry, ChartDatumInTheMetadataOfATidalGrid) {
    BathymetryRequest request = file("terschelling-tidal/terschelling_bathymetry_30m.tif");
    request.positive_down = false;
    request.uncertainty = DepthUncertainty::none();
    const auto source = open_bathymetry(request);
    EXPECT_THAT(told_all(source->assumptions()), Contains(HasSubstr("chart datum: LAT")));
    EXPECT_NEAR(extremes(*source).shoalest, -3.23, 0.005);
    EXPECT_NEAR(extremes(*source).deepest, 40.57, 0.005);
}

TEST_F(OpenBathymetry, FormatsThatCannotBeReadAreRefusedInALine) {
    EXPECT_THAT(
        complaint(file("format-samples/FRF_20151014_1108_FRF_NAVD88_LARC_GPS_UTC_v20170328_grid_latlon.nc")),
        HasSubstr("has no geotransform"));
    EXPECT_THAT(complaint(file("format-samples/BlueTopo_BC25M26L_20221102b.tiff")), HasSubstr("<positive>"));
    EXPECT_THAT(complaint(file("key-west-enc/key_west_depth_10m_derived.tif")),
                HasSubstr("from -0.4 to 11.49"));
    EXPECT_THAT(complaint(file("hilo-harbour/hilo_grid_1_3_arsec.tif")), HasSubstr("<CRS>"));
}

TEST_F(OpenBathymetry, ATruncatedBagFailsAsAFile) {
    const Folder folder;
    const std::string copy = folder / "cut.bag";
    for (const double part : {0.1, 0.5, 0.95}) {
        std::filesystem::copy_file(file("portsmouth-bag/sh2007.bag").file, copy,
                                   std::filesystem::copy_options::overwrite_existing);
        std::filesystem::resize_file(
            copy, static_cast<std::uintmax_t>(part * static_cast<double>(std::filesystem::file_size(copy))));
        testing::internal::CaptureStderr(); // HDF5 likes to print its own
        EXPECT_THAT(complaint(heights(copy)), AllOf(HasSubstr("io: "), HasSubstr("cut.bag"))) << part;
        EXPECT_EQ(testing::internal::GetCapturedStderr(), "");
    }
}

} // namespace
} // namespace swingroom
