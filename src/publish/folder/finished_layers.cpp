#include "publish/folder/finished_layers.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/stop.hpp"

#include "publish/folder/guarded_files.hpp"
#include "publish/vector/ogr_files.hpp"
#include "sea/gdal/gdal_messages.hpp"

#include <gdal_priv.h>
#include <ogrsf_frmts.h>

#include <algorithm>
#include <array>
#include <limits>
#include <utility>

namespace swingroom {
namespace {

namespace fs = std::filesystem;

[[noreturn]] void fail(const fs::path& file, const GdalMessages& messages) {
    guarded::fail(file,
                  "could not be read back" + (messages.failure().empty() ? "" : ": " + messages.failure()));
}

GDALDatasetUniquePtr open_raster(const fs::path& file) {
    const GdalMessages messages;
    GDALDatasetUniquePtr dataset(
        GDALDataset::Open(guarded::gdal_name(file).c_str(), GDAL_OF_RASTER | GDAL_OF_READONLY));
    guarded::throw_if_failed(file);
    if (!dataset) fail(file, messages);
    return dataset;
}

void append_ring(const OGRLineString& line, FinishedFeature& feature) {
    std::vector<GridPoint> ring(static_cast<std::size_t>(line.getNumPoints()));
    for (int i = 0; i < line.getNumPoints(); ++i) {
        ring[static_cast<std::size_t>(i)] = {line.getX(i), line.getY(i)};
    }
    feature.rings.push_back(std::move(ring));
}

void append_rings(const OGRGeometry& geometry, FinishedFeature& feature) {
    switch (wkbFlatten(geometry.getGeometryType())) {
    case wkbPoint:
        feature.rings.push_back({{geometry.toPoint()->getX(), geometry.toPoint()->getY()}});
        break;
    case wkbLineString:
        append_ring(*geometry.toLineString(), feature);
        break;
    case wkbMultiLineString:
        for (const OGRLineString* const part : *geometry.toMultiLineString()) {
            append_ring(*part, feature);
        }
        break;
    case wkbPolygon:
        for (const OGRLinearRing* const ring : *geometry.toPolygon()) {
            append_ring(*ring, feature);
        }
        break;
    case wkbMultiPolygon:
        for (const OGRPolygon* const part : *geometry.toMultiPolygon()) {
            append_rings(*part, feature);
        }
        break;
    default: // the layers hold nothing else
        break;
    }
}

FinishedFeature read_feature(const OGRFeature& from) {
    FinishedFeature feature;
    for (int i = 0; i < from.GetFieldCount(); ++i) {
        if (!from.IsFieldSetAndNotNull(i)) continue;
        const OGRFieldDefn& field = *from.GetFieldDefnRef(i);
        const OGRFieldType type = field.GetType();
        if (type == OFTInteger || type == OFTInteger64 || type == OFTReal) {
            feature.properties.emplace(field.GetNameRef(), from.GetFieldAsDouble(i));
        } else {
            feature.properties.emplace(field.GetNameRef(), std::string(from.GetFieldAsString(i)));
        }
    }
    if (const OGRGeometry* const geometry = from.GetGeometryRef()) append_rings(*geometry, feature);
    return feature;
}

} // namespace

struct FinishedVerdicts::State {
    fs::path path;
    GDALDatasetUniquePtr dataset;
    Grid grid;
};

FinishedVerdicts::FinishedVerdicts(const std::filesystem::path& folder) : state_(std::make_unique<State>()) {
    state_->path = fs::absolute(folder / "verdict.tif").lexically_normal();
    state_->dataset = open_raster(state_->path);
    GDALDataset& dataset = *state_->dataset;
    std::array<double, 6> transform{};
    dataset.GetGeoTransform(transform.data());
    state_->grid = {dataset.GetRasterXSize(),
                    dataset.GetRasterYSize(),
                    transform[0],
                    transform[3],
                    transform[1],
                    transform[5],
                    dataset.GetProjectionRef()};
}

FinishedVerdicts::~FinishedVerdicts() = default;
const Grid& FinishedVerdicts::grid() const { return state_->grid; }
const std::filesystem::path& FinishedVerdicts::path() const { return state_->path; }

VerdictPicture FinishedVerdicts::picture(Window cells, int most_pixels) const {
    stop_if_asked();
    GDALRasterBand* const full = state_->dataset->GetRasterBand(1);
    for (int level = 0; level <= full->GetOverviewCount(); ++level) {
        const int factor = 1 << level;
        const int col = cells.col / factor, row = cells.row / factor;
        const Window pixels{col, row, (cells.col_end() + factor - 1) / factor - col,
                            (cells.row_end() + factor - 1) / factor - row};
        if (std::max(pixels.cols, pixels.rows) > most_pixels) continue;
        VerdictPicture picture(factor, {});
        picture.pixels.reshape(pixels);
        const GdalMessages messages;
        GDALRasterBand* const band = level == 0 ? full : full->GetOverview(level - 1);
        if (band->RasterIO(GF_Read, pixels.col, pixels.row, pixels.cols, pixels.rows, picture.pixels.data(),
                           pixels.cols, pixels.rows, GDT_Byte, 0, 0, nullptr) != CE_None) {
            fail(state_->path, messages);
        }
        guarded::throw_if_failed(state_->path); // what could not be read may look like cells without data
        return picture;
    }
    guarded::fail(state_->path, "has no overview small enough for the report");
}

double FinishedFeature::number(const std::string& name) const {
    const auto found = properties.find(name);
    const double* const value = found == properties.end() ? nullptr : std::get_if<double>(&found->second);
    return value ? *value : std::numeric_limits<double>::quiet_NaN();
}

std::string FinishedFeature::text(const std::string& name) const {
    const auto found = properties.find(name);
    const std::string* const value =
        found == properties.end() ? nullptr : std::get_if<std::string>(&found->second);
    return value ? *value : std::string();
}

void each_finished_feature(const std::filesystem::path& folder, const VectorLayer::Finished& layer,
                           const std::function<void(const FinishedFeature&)>& take) {
    const OwnVectorSettings settings;
    FinishedFeatures(folder, layer).each([&](const OGRFeature& feature) { take(read_feature(feature)); });
}

} // namespace swingroom
