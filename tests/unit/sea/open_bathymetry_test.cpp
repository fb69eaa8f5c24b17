#include "swingroom/base/error.hpp"
#include "swingroom/base/rounding.hpp"
#include "swingroom/sea/bathymetry.hpp"

#include "support/open_data.hpp"
#include "support/scratch.hpp"
#include "unit/sea/made_raster.hpp"

#include <gdal_priv.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cstddef>
#include <filesystem>
#include <functional>
#include <limits>
#include <optional>
#include <string>
#include <vector>

namespace swingroom {
namespace {

using testing::AllOf;
using testing::Contains;
using testing::HasSubstr;

constexpr double infinity = std::numeric_limits<double>::infinity();

using testing_support::Made;
using testing_support::write;
using Folder = testing_support::Scratch;

using testing_support::complaint;
using testing_support::heights;
using testing_support::missing;
using testing_support::read_all;

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
    for (std::size_t i = 0; i < depths.shoal_m.size(); ++i) {
        if (!missing(depths.shoal_m.data()[i])) {
            ++e.surveyed;
            e.shoalest = std::min(e.shoalest, static_cast<double>(depths.shoal_m.data()[i]));
            e.deepest = std::max(e.deepest, static_cast<double>(depths.deep_m.data()[i]));
        }
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
          "format-samples/CARIS_Density_20.bag", "format-samples/sample-2.0.1.bag"}) {
        EXPECT_THAT(complaint(file(name)), HasSubstr("<chart datum>")) << name;
    }
    for (const char* name : {"format-samples/Sample_VR_BAG-gzip.bag", "format-samples/true_n_nominal.bag"}) {
        EXPECT_THAT(complaint(file(name)), HasSubstr("<CRS>")) << name;
    }
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

} // namespace
} // namespace swingroom
