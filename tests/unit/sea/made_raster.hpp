#pragma once

#include "swingroom/base/error.hpp"
#include "swingroom/sea/bathymetry.hpp"

#include "support/fact_lines.hpp"
#include "support/scratch.hpp"
#include "support/setting_words.hpp"

#include <gdal_priv.h>
#include <gtest/gtest.h>
#include <ogr_spatialref.h>

#include <array>
#include <cmath>
#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace swingroom::testing_support {

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

inline void write(const Made& made, const std::string& file) {
    GDALAllRegister();
    CPLStringList options;
    for (const auto& [key, value] : made.options) {
        options.SetNameValue(key.c_str(), value.c_str());
    }
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
    for (const auto& [key, value] : made.file_items) {
        dataset->SetMetadataItem(key.c_str(), value.c_str());
    }
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
    for (const auto& [key, value] : made.band_items) {
        band.SetMetadataItem(key.c_str(), value.c_str());
    }
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
inline BathymetryRequest heights(const std::string& file) {
    BathymetryRequest request;
    request.file = file;
    request.positive_down = false;
    request.chart_datum_m = 0;
    request.uncertainty = DepthUncertainty::none();
    return request;
}

inline DepthPlanes read_all(const DepthSource& source) {
    DepthPlanes depths;
    source.read(source.grid().extent(), depths);
    return depths;
}

/// Shoal depths of the whole of a raster that is made for it.
inline std::vector<float> shoal_of(const Made& made,
                                   const std::function<void(BathymetryRequest&)>& change = {}) {
    const Scratch folder;
    const std::string file = folder / "made.tif";
    write(made, file);
    BathymetryRequest request = heights(file);
    if (change) change(request);
    const DepthPlanes depths = read_all(*open_bathymetry(request));
    return {depths.shoal_m.data(), depths.shoal_m.data() + depths.shoal_m.size()};
}

/// What opening and reading a file says against it; "accepted" if nothing, "io: ..." for a failing file.
inline std::string complaint(const BathymetryRequest& request) {
    try {
        read_all(*open_bathymetry(request));
    } catch (const InputError& error) {
        return error.message().text(marked);
    } catch (const IoError& error) {
        return "io: " + error.message().text(marked);
    }
    return "accepted";
}

inline std::string complaint(const Made& made, const std::function<void(BathymetryRequest&)>& change = {}) {
    const Scratch folder;
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

inline std::vector<std::string> assumptions_of(const Made& made,
                                               const std::function<void(BathymetryRequest&)>& change) {
    const Scratch folder;
    const std::string file = folder / "made.tif";
    write(made, file);
    BathymetryRequest request = heights(file);
    change(request);
    return told_all(open_bathymetry(request)->assumptions());
}

inline bool missing(float v) { return std::isnan(v); }

} // namespace swingroom::testing_support
