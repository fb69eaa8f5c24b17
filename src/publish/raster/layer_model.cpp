#include "publish/raster/layer_model.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/version.hpp"

#include "base/json.hpp"
#include "publish/raster/class_table.hpp"
#include "sea/gdal/gdal_messages.hpp"
#include "sea/gdal/gdal_start.hpp"

#include <cpl_conv.h>
#include <cpl_string.h>
#include <cpl_vsi.h>
#include <ogr_spatialref.h>

#include <array>
#include <atomic>
#include <limits>
#include <stdexcept>
#include <string_view>

namespace swingroom {
namespace {

/// A file in memory and its sidecar, gone when this is.
class InMemory {
public:
    InMemory() : name_("/vsimem/swingroom-model-" + std::to_string(++made) + ".tif") {}
    ~InMemory() {
        VSIUnlink(name_.c_str());
        VSIUnlink(sidecar().c_str());
    }
    InMemory(const InMemory&) = delete;
    InMemory& operator=(const InMemory&) = delete;

    [[nodiscard]] const std::string& name() const { return name_; }
    [[nodiscard]] std::string sidecar() const { return name_ + ".aux.xml"; }
    /// Empty where there is no such file.
    static std::string bytes(const std::string& name) {
        vsi_l_offset size = 0;
        const GByte* const data = VSIGetMemFileBuffer(name.c_str(), &size, FALSE);
        return data == nullptr
                   ? std::string()
                   : std::string(reinterpret_cast<const char*>(data), static_cast<std::size_t>(size));
    }

private:
    static inline std::atomic<std::uint64_t> made = 0;
    std::string name_;
};

/// What a cell of an overview says of those that it stands for.
std::string_view rule_of_overviews(Worst worst) {
    switch (worst) {
    case Worst::least:
    case Worst::least_or_none:
        return "the least of the cells, unsurveyed before any";
    case Worst::greatest:
    case Worst::greatest_or_none:
        return "the greatest of the cells, unsurveyed before any";
    case Worst::any_bit:
        return "every bit that one of the cells has";
    case Worst::verdict:
        return "what can be said of all of the cells, a condition on one being one on all";
    case Worst::least_given:
        return "the least that one of the cells has";
    }
    return {};
}

void put_metadata(GDALDataset& dataset, const LayerSpec& spec, const Provenance& provenance) {
    const auto put = [&](const std::string& name, std::string_view value) {
        dataset.SetMetadataItem(name.c_str(), valid_utf8(value).c_str());
    };
    put("AREA_OR_POINT", "Area");
    put("TIFFTAG_IMAGEDESCRIPTION", spec.description);
    put("TIFFTAG_SOFTWARE", "swingroom " + std::string(version()));
    put("CAUTION", caution);
    put("OVERVIEWS", rule_of_overviews(spec.worst));
    put("PROVENANCE", provenance_json(provenance));
    for (const auto& [bit, meaning] : spec.bits) {
        put("BIT_" + bit, meaning);
    }
}

void put_band_properties(GDALRasterBand& band, const LayerSpec& spec) {
    band.SetDescription(spec.name.c_str());
    if (!spec.unit.empty()) band.SetUnitType(spec.unit.c_str());
    if (spec.type == CellType::float32) {
        band.SetNoDataValue(std::numeric_limits<double>::quiet_NaN());
    } else if (spec.nodata) {
        band.SetNoDataValue(*spec.nodata);
    }
    if (!spec.categories.empty()) put_classes(band, spec.categories);
}

} // namespace

GDALDataType gdal_type(CellType type) {
    switch (type) {
    case CellType::uint8:
        return GDT_Byte;
    case CellType::uint16:
        return GDT_UInt16;
    case CellType::uint32:
        return GDT_UInt32;
    case CellType::float32:
        return GDT_Float32;
    }
    throw std::logic_error("unknown type of cell");
}

LayerModel layer_model(const std::string& file, const LayerSpec& spec, const Grid& grid,
                       const Provenance& provenance) {
    start_gdal();
    const CPLConfigOptionSetter with_names_of_categories("GDAL_PAM_ENABLED", "YES", false);
    const GdalMessages errors;
    const InMemory memory;
    const auto fail = [&] {
        throw IoError(file, "GDAL could not describe it" +
                                (errors.failure().empty() ? "" : ": " + errors.failure()));
    };
    GDALDriver* const driver = GetGDALDriverManager()->GetDriverByName("GTiff");
    if (driver == nullptr) throw IoError(file, "this GDAL has no GeoTIFF driver");
    CPLStringList options;
    options.SetNameValue("ENDIANNESS", "LITTLE");
    options.SetNameValue("BIGTIFF", "NO");
    GDALDatasetUniquePtr dataset(
        driver->Create(memory.name().c_str(), 1, 1, 1, gdal_type(spec.type), options.List()));
    if (!dataset) fail();
    std::array<double, 6> transform{grid.origin_x, grid.step_x, 0, grid.origin_y, 0, grid.step_y};
    OGRSpatialReference crs;
    crs.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    if (dataset->SetGeoTransform(transform.data()) != CE_None ||
        (!grid.crs_wkt.empty() && (crs.importFromWkt(grid.crs_wkt.c_str()) != OGRERR_NONE ||
                                   dataset->SetSpatialRef(&crs) != CE_None))) {
        fail();
    }
    put_metadata(*dataset, spec, provenance);
    put_band_properties(*dataset->GetRasterBand(1), spec);
    dataset.reset();
    if (errors.failed()) fail();
    return {tags_of(InMemory::bytes(memory.name())), InMemory::bytes(memory.sidecar())};
}

} // namespace swingroom
