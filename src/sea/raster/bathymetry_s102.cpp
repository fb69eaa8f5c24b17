#include "sea/raster/bathymetry_s102.hpp"

#include "swingroom/base/error.hpp"

#include "sea/raster/bathymetry_file.hpp"
#include "sea/raster/bathymetry_text.hpp"
#include "sea/raster/vertical_datums.hpp"

#include <ogr_spatialref.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>
#include <memory>
#include <utility>
#include <vector>

namespace swingroom::bathymetry {
namespace {

using Group = std::shared_ptr<GDALGroup>;
using Array = std::shared_ptr<GDALMDArray>;

constexpr double fill_value = 1e6; // S-102 edition 3.0.0, table 10-8
const char* const write_again = "have it written again by who made it, or convert it to GeoTIFF";

/// A component of the grid as a band, north up, that says what the format says of it. GDAL's own view of a
/// component takes 250 times as long as its reading whole values.
class S102Band final : public GDALRasterBand {
public:
    S102Band(Array values, const GDALEDTComponent& component, int cols, int rows)
        : values_(std::move(values)), offset_(component.GetOffset()) {
        eDataType = component.GetType().GetNumericDataType();
        nRasterXSize = cols;
        nRasterYSize = rows;
        nBlockXSize = std::min(cols, block_cells);
        nBlockYSize = std::min(rows, block_cells);
        SetDescription(component.GetName().c_str());
    }
    double GetNoDataValue(int* given) override {
        if (given) *given = TRUE;
        return fill_value;
    }

protected:
    CPLErr IReadBlock(int block_col, int block_row, void* to) override {
        const Window block =
            common({block_col * nBlockXSize, block_row * nBlockYSize, nBlockXSize, nBlockYSize},
                   {0, 0, nRasterXSize, nRasterYSize});
        const GDALExtendedDataType& type = values_->GetDataType();
        raw_.resize(block.cells() * type.GetSize());
        // The first row of the file is the southern one.
        const GUInt64 start[] = {static_cast<GUInt64>(nRasterYSize - block.row_end()),
                                 static_cast<GUInt64>(block.col)};
        const std::size_t count[] = {static_cast<std::size_t>(block.rows),
                                     static_cast<std::size_t>(block.cols)};
        if (!values_->Read(start, count, nullptr, nullptr, type, raw_.data())) return CE_Failure;
        const int bytes = GDALGetDataTypeSizeBytes(eDataType);
        for (int r = 0; r < block.rows; ++r) {
            const auto row = static_cast<std::size_t>(block.rows - 1 - r);
            GDALCopyWords(raw_.data() + row * count[1] * type.GetSize() + offset_, eDataType,
                          static_cast<int>(type.GetSize()),
                          static_cast<std::byte*>(to) + static_cast<std::ptrdiff_t>(r) * nBlockXSize * bytes,
                          eDataType, bytes, block.cols);
        }
        return CE_None;
    }

private:
    static constexpr int block_cells = 256;
    Array values_;
    std::size_t offset_;
    std::vector<std::byte> raw_; ///< of the last block
};

/// @throws InputError unless the values have a component of that name that is a number
std::unique_ptr<S102Band> band_of(const Array& values, const std::string& name, int cols, int rows,
                                  const std::string& file) {
    const GDALExtendedDataType& type = values->GetDataType();
    if (type.GetClass() == GEDTC_COMPOUND) {
        for (const auto& component : type.GetComponents()) {
            if (component->GetName() == name && component->GetType().GetClass() == GEDTC_NUMERIC &&
                component->GetType().GetNumericDataType() != GDT_Unknown) {
                return std::make_unique<S102Band>(values, *component, cols, rows);
            }
        }
    }
    throw InputError(file, "its grid has no component " + in_quotes(name), write_again);
}

/// Has a name only: what is asked of a dataset's driver here.
GDALDriver* s102_driver() {
    static GDALDriver driver;
    driver.SetDescription("S102");
    return &driver;
}

class S102Dataset final : public GDALDataset {
public:
    S102Dataset(const std::string& name, const std::array<double, 6>& geotransform, OGRSpatialReference crs)
        : geotransform_(geotransform), crs_(std::move(crs)) {
        poDriver = s102_driver();
        SetDescription(name.c_str());
    }
    void add(std::unique_ptr<S102Band> band) {
        nRasterXSize = band->GetXSize();
        nRasterYSize = band->GetYSize();
        SetBand(GetRasterCount() + 1, band.release());
    }
    const OGRSpatialReference* GetSpatialRef() const override { return crs_.IsEmpty() ? nullptr : &crs_; }
#if GDAL_VERSION_NUM >= GDAL_COMPUTE_VERSION(3, 12, 0)
    CPLErr GetGeoTransform(GDALGeoTransform& to) const override {
        to = GDALGeoTransform(geotransform_.data());
        return CE_None;
    }
#else
    CPLErr GetGeoTransform(double* to) override {
        std::copy(geotransform_.begin(), geotransform_.end(), to);
        return CE_None;
    }
#endif

private:
    std::array<double, 6> geotransform_;
    OGRSpatialReference crs_;
};

std::optional<double> number(const Group& group, const char* name) {
    const auto attribute = group->GetAttribute(name);
    if (!attribute || attribute->GetDimensionCount() > 0) return std::nullopt;
    return attribute->ReadAsDouble();
}

std::string text(const Group& group, const char* name) {
    const auto attribute = group->GetAttribute(name);
    return attribute ? text_or_empty(attribute->ReadAsString()) : "";
}

/// The only group below another whose name begins so.
/// @throws InputError unless there is exactly one
Group only_group(const Group& in, const std::string& begins, const std::string& file) {
    std::vector<std::string> found;
    for (const std::string& name : in->GetGroupNames()) {
        if (name.starts_with(begins)) found.push_back(name);
    }
    if (found.empty()) {
        throw InputError(file, "is an S-102 file without a group " + in_quotes(begins + "..."), write_again);
    }
    if (found.size() > 1) {
        throw InputError(file,
                         "holds " + std::to_string(found.size()) + " grids of depths (" + found[0] + ", " +
                             found[1] + " ...)",
                         "split it into files of one each");
    }
    Group group = in->OpenGroup(found.front());
    if (!group) throw IoError(file, "its group " + in_quotes(found.front()) + " cannot be read");
    return group;
}

S102Place place_of(const Group& coverage, const Group& instance) {
    return {.origin_x = number(instance, "gridOriginLongitude"),
            .origin_y = number(instance, "gridOriginLatitude"),
            .spacing_x = number(instance, "gridSpacingLongitudinal"),
            .spacing_y = number(instance, "gridSpacingLatitudinal"),
            .points_x = number(instance, "numPointsLongitudinal"),
            .points_y = number(instance, "numPointsLatitudinal"),
            .scan_direction = text(coverage, "sequencingRule.scanDirection"),
            .start_sequence = text(instance, "startSequence")};
}

/// By its EPSG code; before edition 2.2 under another name. None where there is no code of a CRS.
OGRSpatialReference crs_of(const Group& root) {
    OGRSpatialReference crs;
    auto code = number(root, "horizontalCRS");
    if (!code && text(root, "horizontalDatumReference") == "EPSG") {
        code = number(root, "horizontalDatumValue");
    }
    const bool whole = code && *code == std::floor(*code) && *code > 0 && *code < 1e8;
    if (!whole || crs.importFromEPSG(static_cast<int>(*code)) != OGRERR_NONE) crs.Clear();
    crs.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    return crs;
}

/// As GDAL's own driver writes it.
std::string datum_of(const Group& root, const Group& instance) {
    auto code = number(instance, "verticalDatum");
    auto reference = number(instance, "verticalDatumReference");
    if (!code) {
        code = number(root, "verticalDatum");
        reference = number(root, "verticalDatumReference");
    }
    if (!code) return {};
    if (reference && *reference != 1) return "EPSG:" + plain(*code);
    const std::string name = s102_datum_name(static_cast<int>(*code));
    return name.empty() ? "code " + plain(*code) : name;
}

void refuse_strange_coverage(const Group& root, const Group& coverage, const std::string& file) {
    if (const auto format = number(coverage, "dataCodingFormat"); !format || *format != 2) {
        throw InputError(file,
                         "its depths are no regular grid (dataCodingFormat " +
                             (format ? plain(*format) : "missing") + ", 2 is one)",
                         write_again);
    }
    constexpr double depths_down = 6498; // EPSG: vertical coordinate system, depth in metres, axis down
    if (const auto axis = number(root, "verticalCS"); axis && *axis != depths_down) {
        throw InputError(file,
                         "states the vertical coordinate system EPSG:" + plain(*axis) +
                             ", where S-102 has depths in metres (6498)",
                         write_again);
    }
}

} // namespace

bool is_bare_s102(GDALDataset& dataset) {
    return dataset.GetRasterCount() == 0 &&
           metadata(dataset, "productSpecification").find("S-102") != std::string::npos;
}

std::array<double, 6> s102_geotransform(const S102Place& place, int cols, int rows, const std::string& file) {
    const auto given = [&](const std::optional<double>& value, const char* name) {
        if (!value || !std::isfinite(*value)) {
            throw InputError(file, std::string("is an S-102 file without ") + name, write_again);
        }
        return *value;
    };
    const double x = given(place.origin_x, "gridOriginLongitude"),
                 y = given(place.origin_y, "gridOriginLatitude"),
                 step_x = given(place.spacing_x, "gridSpacingLongitudinal"),
                 step_y = given(place.spacing_y, "gridSpacingLatitudinal");
    if (!(step_x > 0) || !(step_y > 0)) {
        throw InputError(file, "has a grid spacing of " + plain(step_x) + " by " + plain(step_y),
                         write_again);
    }
    const double points_x = given(place.points_x, "numPointsLongitudinal"),
                 points_y = given(place.points_y, "numPointsLatitudinal");
    if (points_x != cols || points_y != rows) {
        throw InputError(file,
                         "says that its grid has " + plain(points_x) + " x " + plain(points_y) +
                             " points, and holds " + std::to_string(cols) + " x " + std::to_string(rows),
                         write_again);
    }
    // A minus sign before an axis is the direction from north to south, or from east to west.
    if (place.scan_direction.find('-') != std::string::npos ||
        (!place.start_sequence.empty() && place.start_sequence != "0,0")) {
        throw InputError(file,
                         "is stored from another corner than the south-west (scanDirection " +
                             in_quotes(place.scan_direction) + ", startSequence " +
                             in_quotes(place.start_sequence) + ")",
                         write_again);
    }
    return {x - step_x / 2, step_x, 0, y + (rows - 0.5) * step_y, 0, -step_y};
}

std::string s102_datum_name(int code) {
    std::string name;
    bool word_begins = false;
    for (const char c : lower(vertical_datum(code).value_or(""))) {
        const bool capital = word_begins && c >= 'a' && c <= 'z';
        if (c != ' ') name += capital ? static_cast<char>(c - 'a' + 'A') : c;
        word_begins = c == ' ';
    }
    return name;
}

GDALDatasetUniquePtr open_s102(const std::string& file, const std::string& name) {
    const GdalMessages messages; // asking for what a file lacks is no error yet
    const char* const drivers[] = {"HDF5", nullptr};
    const std::unique_ptr<GDALDataset> container(GDALDataset::Open(
        name.c_str(), GDAL_OF_MULTIDIM_RASTER | GDAL_OF_READONLY, drivers, nullptr, nullptr));
    const Group root = container ? container->GetRootGroup() : nullptr;
    if (!root) throw IoError(file, "cannot be opened: " + messages.failure());
    const Group coverage = root->OpenGroup("BathymetryCoverage");
    if (!coverage) throw InputError(file, "is an S-102 file without a group BathymetryCoverage", write_again);
    refuse_strange_coverage(root, coverage, file);
    const Group instance = only_group(coverage, "BathymetryCoverage.", file),
                group = only_group(instance, "Group_", file);
    const Array values = group->OpenMDArray("values");
    if (!values || values->GetDimensionCount() != 2) {
        throw InputError(file, "is an S-102 file without a grid of values in two dimensions", write_again);
    }
    const auto size = [&](std::size_t i) {
        const auto count = values->GetDimensions()[i]->GetSize();
        return static_cast<int>(std::min<GUInt64>(count, std::numeric_limits<int>::max()));
    };
    const int cols = size(1), rows = size(0);
    auto dataset = std::make_unique<S102Dataset>(
        name, s102_geotransform(place_of(coverage, instance), cols, rows, file), crs_of(root));
    for (const char* const component : {"depth", "uncertainty"}) {
        dataset->add(band_of(values, component, cols, rows, file));
    }
    for (const char* const key : {"productSpecification", "issueDate"}) {
        if (const std::string value = text(root, key); !value.empty()) {
            dataset->SetMetadataItem(key, value.c_str());
        }
    }
    if (const std::string datum = datum_of(root, instance); !datum.empty()) {
        dataset->SetMetadataItem("VERTICAL_DATUM_MEANING", datum.c_str());
    }
    return GDALDatasetUniquePtr(dataset.release());
}

} // namespace swingroom::bathymetry
