#include "vector_file.hpp"

#include "swingroom/base/error.hpp"

#include "enc_file.hpp"
#include "input_path.hpp"
#include "nothing_beside.hpp"
#include "to_grid.hpp"

#include <cpl_conv.h>
#include <cpl_string.h>
#include <cpl_vsi.h>

#include <algorithm>
#include <array>
#include <filesystem>
#include <mutex>
#include <string_view>

namespace swingroom {
namespace {

namespace fs = std::filesystem;

/// What is in none of our formats, sound or not, was given in the wrong place.
void refuse_other_formats(const std::string& file) {
    const fs::path ending = fs::path(file).extension();
    if (ending.string().size() == 4 && ending != ".000" &&
        ending.string().find_first_not_of("0123456789", 1) == std::string::npos)
        throw InputError(file, "is an update of an S-57 cell",
                         "give the cell itself (.000): updates beside it are applied");
    std::error_code ignored;
    if (fs::is_regular_file(file, ignored) && fs::file_size(file, ignored) == 0)
        throw IoError(file, "is empty");
    refuse_s101(file);
    if (GDALIdentifyDriverEx(file.c_str(), GDAL_OF_VECTOR, local_vector_drivers.data(), nullptr)) return;
    GDALDriver* const found = GDALDriver::FromHandle(
        GDALIdentifyDriverEx(file.c_str(), GDAL_OF_RASTER | GDAL_OF_VECTOR, nullptr, nullptr));
    if (found && !found->GetMetadataItem(GDAL_DCAP_VECTOR))
        throw InputError(file, std::string("is a raster (") + found->GetDescription() + ")",
                         "give depths with --bathymetry, and hazards as a vector file, such as GeoPackage "
                         "or GeoJSON");
    throw InputError(file,
                     found ? std::string("is a vector file (") + found->GetDescription() +
                                 ") of a format that is not read here"
                           : std::string("is in no vector format that is known here"),
                     "convert it: ogr2ogr OUT.gpkg IN");
}

/// OpenStreetMap files: every tag is kept, and closed ways with a seamark are areas, but for those that say
/// area=no or belong to a relation. GDAL takes this from a
/// file only, which is made once in memory.
const char* openstreetmap_settings() {
    static const char* const name = "/vsimem/swingroom/openstreetmap.ini";
    static std::once_flag made;
    std::call_once(made, [] {
        static std::string text = "closed_ways_are_polygons=seamark:type\nattribute_name_laundering=no\n";
        for (const char* layer : {"points", "lines", "multipolygons", "multilinestrings", "other_relations"})
            text += std::string("[") + layer + "]\nosm_id=yes\nattributes=seamark:type\nother_tags=yes\n";
        VSILFILE* const file =
            VSIFileFromMemBuffer(name, reinterpret_cast<GByte*>(text.data()), text.size(), FALSE);
        if (file) VSIFCloseL(file);
    });
    return name;
}

GDALDatasetUniquePtr opened(const std::string& file, const std::vector<std::string>& options) {
    CPLStringList list;
    for (const std::string& option : options)
        list.AddString(option.c_str());
    GDALDatasetUniquePtr dataset(GDALDataset::Open(file.c_str(), GDAL_OF_VECTOR | GDAL_OF_VERBOSE_ERROR,
                                                   local_vector_drivers.data(), list.List()));
    write_nothing_beside(dataset.get());
    return dataset;
}

bool driver_is(GDALDataset& dataset, const char* name) { return EQUAL(dataset.GetDriverName(), name); }

} // namespace

VectorFile::VectorFile(const std::string& path) : path_(path) {
    static std::once_flag registered;
    std::call_once(registered, [] { GDALAllRegister(); });
    // GDAL takes more than files for a name (addresses, data itself): only what exists gets through.
    require_file_or_folder(path);
    GdalMessages messages;
    dataset_ = opened(path, {});
    is_cell_ = dataset_ && driver_is(*dataset_, "S57");
    const bool named_as_cell = fs::path(path).extension() == ".000";
    if (!dataset_ && named_as_cell && updates_beside(path) > 0 && opened(path, {"UPDATES=IGNORE"}))
        throw IoError(path, "has updates beside it that cannot be applied (" + messages.failure() + ")");
    if (is_cell_) {
        refuse_missing_updates(path);
        refuse_empty_cell(path, *dataset_);
        if (const GDALDatasetUniquePtr base = opened(path, {"UPDATES=IGNORE"}))
            require_all_objects(path, *base);
        const GdalMessages losses(is_loss_in_cell); // updates are applied while a cell is opened
        // Lists of codes as text, soundings one by one, and the pieces of geometry, which bear the accuracy
        // of positions.
        dataset_ = opened(path, {"LIST_AS_STRING=ON", "UPDATES=APPLY", "SPLIT_MULTIPOINT=ON",
                                 "ADD_SOUNDG_DEPTH=ON", "RETURN_PRIMITIVES=ON", "RETURN_LINKAGES=ON"});
        if (losses.failed()) throw IoError(path, "cannot be read whole (" + losses.failure() + ")");
        warnings_ = losses.warnings();
    } else if (dataset_ && driver_is(*dataset_, "OSM")) {
        dataset_ = opened(path, {std::string("CONFIG_FILE=") + openstreetmap_settings()});
    }
    if (!dataset_) refuse_other_formats(path);
    if (is_cell_ && dataset_) require_updates(path, *dataset_);
    if (!dataset_ || messages.failed())
        throw IoError(path, "cannot be read as a vector file" +
                                (messages.failed() ? " (" + messages.failure() + ")" : ""));
    warnings_.insert(warnings_.end(), messages.warnings().begin(), messages.warnings().end());
    std::sort(warnings_.begin(), warnings_.end());
    warnings_.erase(std::unique(warnings_.begin(), warnings_.end()), warnings_.end());
}

bool VectorFile::is_openstreetmap() const { return driver_is(*dataset_, "OSM"); }

int VectorFile::updates() const { return is_cell_ ? updates_beside(path_) : 0; }

std::vector<std::string> VectorFile::files() const {
    std::vector<std::string> files;
    const auto add = [&](const fs::path& path) {
        std::error_code ignored;
        if (fs::is_regular_file(path, ignored)) files.push_back(path.string());
    };
    const CPLStringList listed(dataset_->GetFileList());
    for (int i = 0; i < listed.size(); ++i)
        add(listed[i]);
    add(path_);
    // What the drivers do not name and yet read.
    const fs::path path(path_);
    if (driver_is(*dataset_, "ESRI Shapefile"))
        for (const char* extension : {".shx", ".dbf", ".prj", ".cpg", ".qpj"})
            add(fs::path(path).replace_extension(extension));
    if (driver_is(*dataset_, "GPKG"))
        for (const char* tail : {"-wal", "-journal"})
            add(path_ + tail);
    for (int update = 1; update <= updates(); ++update)
        add(update_of(path, update));
    return files;
}

std::vector<OGRLayer*> VectorFile::layers() const {
    std::vector<OGRLayer*> layers;
    for (OGRLayer* const layer : dataset_->GetLayers())
        if (!is_cell_ || !(is_primitive(layer->GetName()) || EQUAL(layer->GetName(), "DSID")))
            layers.push_back(layer);
    return layers;
}

std::vector<std::string> VectorFile::each_feature(const Visit& visit) const {
    GdalMessages messages(is_cell_ ? is_loss_in_cell : nullptr);
    const auto check = [&](const std::string& where) {
        if (messages.failed()) throw IoError(where, "cannot be read to its end (" + messages.failure() + ")");
    };
    if (is_openstreetmap()) {
        // Layer by layer it would keep all of the file in memory.
        dataset_->ResetReading();
        OGRLayer* layer = nullptr;
        while (
            const OGRFeatureUniquePtr feature{dataset_->GetNextFeature(&layer, nullptr, nullptr, nullptr)}) {
            visit(*layer, *feature);
            check(path_);
        }
        check(path_);
        return messages.warnings();
    }
    for (OGRLayer* const layer : layers()) {
        const std::string where = path_ + ", layer " + layer->GetName();
        layer->ResetReading();
        while (const OGRFeatureUniquePtr feature{layer->GetNextFeature()}) {
            check(where);
            visit(*layer, *feature);
        }
        check(where);
    }
    return messages.warnings();
}

OGRSpatialReference crs_of(OGRLayer& layer, const std::string& where) {
    const OGRSpatialReference* const given = layer.GetSpatialRef();
    if (!given || given->IsEmpty() || given->IsLocal())
        throw InputError(where, "has no CRS, or one without a place on earth",
                         "write the file with its CRS, for example EPSG:4326");
    return horizontal(*given);
}

} // namespace swingroom
