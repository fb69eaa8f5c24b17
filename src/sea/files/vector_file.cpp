#include "sea/files/vector_file.hpp"

#include "swingroom/base/error.hpp"

#include "sea/cells/enc_file.hpp"
#include "sea/files/attributes.hpp"
#include "sea/files/declared_extent.hpp"
#include "sea/files/input_text.hpp"
#include "sea/files/watched_reading.hpp"
#include "sea/gdal/gdal_start.hpp"
#include "sea/gdal/input_path.hpp"
#include "sea/gdal/no_sidecar.hpp"
#include "sea/ground/to_grid.hpp"

#include <cpl_conv.h>
#include <cpl_string.h>
#include <cpl_vsi.h>

#include <algorithm>
#include <array>
#include <cstddef>
#include <filesystem>
#include <mutex>
#include <optional>
#include <string_view>
#include <utility>

namespace swingroom {
namespace {

namespace fs = std::filesystem;

/// What is in none of our formats, sound or not, was given in the wrong place.
void refuse_other_formats(const std::string& file) {
    const fs::path ending = fs::path(file).extension();
    if (ending.string().size() == 4 && ending != ".000" &&
        ending.string().find_first_not_of("0123456789", 1) == std::string::npos) {
        throw InputError(file, "is an update of an S-57 cell",
                         "give the cell itself (.000): updates beside it are applied");
    }
    std::error_code ignored;
    if (fs::is_regular_file(file, ignored) && fs::file_size(file, ignored) == 0) {
        throw IoError(file, "is empty");
    }
    refuse_s101(file);
    const std::string name = watched::gdal_name(file);
    if (GDALIdentifyDriverEx(name.c_str(), GDAL_OF_VECTOR, local_vector_drivers.data(), nullptr)) return;
    const std::optional<KnownFormat> found = format_of(name);
    if (found && !found->holds_vectors) {
        throw InputError(file, "is a raster (" + found->name + ")",
                         "give depths with " + Setting::bathymetry +
                             ", and hazards as a vector file, such as GeoPackage "
                             "or GeoJSON");
    }
    const bool is_read_here =
        found && std::any_of(local_vector_drivers.begin(), local_vector_drivers.end(),
                             [&](const char* read) { return read && EQUAL(found->name.c_str(), read); });
    if (is_read_here) return; // it is sound now, and was not when it was opened
    throw InputError(file,
                     found ? "is a vector file (" + found->name + ") of a format that is not read here"
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
        for (const char* layer :
             {"points", "lines", "multipolygons", "multilinestrings", "other_relations"}) {
            text += std::string("[") + layer + "]\nosm_id=yes\nattributes=seamark:type\nother_tags=yes\n";
        }
        VSILFILE* const file =
            VSIFileFromMemBuffer(name, reinterpret_cast<GByte*>(text.data()), text.size(), FALSE);
        if (file) VSIFCloseL(file);
    });
    return name;
}

/// SQLite has a file system of its own, locks and journals with it, and tells every call that fails.
bool is_database(const std::string& gdal_name) {
    GDALDriver* const driver = GDALDriver::FromHandle(
        GDALIdentifyDriverEx(gdal_name.c_str(), GDAL_OF_VECTOR, local_vector_drivers.data(), nullptr));
    return driver && EQUAL(driver->GetDescription(), "GPKG");
}

GDALDatasetUniquePtr opened(const std::string& file, const std::vector<std::string>& options) {
    CPLStringList list;
    for (const std::string& option : options) {
        list.AddString(option.c_str());
    }
    std::string name = watched::gdal_name(file);
    if (is_database(name)) name = file;
    // Features are read once, in their order, and the file stays open for as long as the run takes: a cache
    // of 2 MB, which is SQLite's own choice, would be kept for nothing.
    const CPLConfigOptionSetter small_cache("OGR_SQLITE_PRAGMA", "cache_size=-256", false);
    GDALDatasetUniquePtr dataset(GDALDataset::Open(name.c_str(), GDAL_OF_VECTOR | GDAL_OF_VERBOSE_ERROR,
                                                   local_vector_drivers.data(), list.List()));
    forbid_sidecar(dataset.get());
    watched::throw_if_failed();
    return dataset;
}

std::size_t rings_of(const OGRGeometry& geometry) {
    const OGRwkbGeometryType type = wkbFlatten(geometry.getGeometryType());
    std::size_t all = 0;
    if (type == wkbPolygon) {
        for ([[maybe_unused]] const OGRLinearRing* ring : *geometry.toPolygon()) {
            ++all;
        }
    }
    if (OGR_GT_IsSubClassOf(type, wkbGeometryCollection)) {
        for (const OGRGeometry* part : *geometry.toGeometryCollection()) {
            all += rings_of(*part);
        }
    }
    return all;
}

std::size_t vertices_of(const OGRGeometry& geometry) {
    const OGRwkbGeometryType type = wkbFlatten(geometry.getGeometryType());
    if (type == wkbLineString) return static_cast<std::size_t>(geometry.toLineString()->getNumPoints());
    std::size_t all = 0;
    if (type == wkbPolygon) {
        for (const OGRLinearRing* ring : *geometry.toPolygon()) {
            all += static_cast<std::size_t>(ring->getNumPoints());
        }
    }
    if (OGR_GT_IsSubClassOf(type, wkbGeometryCollection)) {
        for (const OGRGeometry* part : *geometry.toGeometryCollection()) {
            all += vertices_of(*part);
        }
    }
    return all;
}

std::vector<std::string> plain(std::vector<std::string> warnings) {
    for (std::string& warning : warnings) {
        warning = watched::plainly(std::move(warning));
    }
    return warnings;
}

bool driver_is(GDALDataset& dataset, const char* name) { return EQUAL(dataset.GetDriverName(), name); }

} // namespace

VectorFile::VectorFile(const std::string& path) : opened_(std::make_shared<Opened>()) {
    opened_->path = path;
    start_gdal();
    // GDAL takes more than files for a name (addresses, data itself): only what exists gets through.
    require_file_or_folder(path);
    GdalMessages messages;
    opened_->is_cell = is_cell_file(watched::gdal_name(path));
    std::string failure;
    if (opened_->is_cell) {
        failure = open_cell();
    } else {
        opened_->dataset = opened(path, {});
    }
    if (opened_->dataset && driver_is(*opened_->dataset, "OSM")) {
        opened_->dataset = opened(path, {std::string("CONFIG_FILE=") + openstreetmap_settings()});
    }
    if (!opened_->dataset) refuse_other_formats(path);
    watched::throw_if_failed();
    if (opened_->is_cell && opened_->dataset) require_updates(path, *opened_->dataset);
    if (messages.failed()) failure = messages.failure();
    if (!opened_->dataset || !failure.empty()) {
        throw IoError(path, "cannot be read as a vector file" +
                                (failure.empty() ? "" : " (" + watched::plainly(failure) + ")"));
    }
    const std::vector<std::string> warned = plain(messages.warnings());
    opened_->warnings.insert(opened_->warnings.end(), warned.begin(), warned.end());
    std::sort(opened_->warnings.begin(), opened_->warnings.end());
    opened_->warnings.erase(std::unique(opened_->warnings.begin(), opened_->warnings.end()),
                            opened_->warnings.end());
    look_into();
}

/// @returns what GDAL says of why it could not be opened
std::string VectorFile::open_cell() {
    const GdalMessages losses(is_loss_in_cell); // updates are applied while a cell is opened
    // Lists of codes as text, soundings one by one, and the pieces of geometry, which bear the accuracy of
    // positions.
    opened_->dataset =
        opened(opened_->path, {"LIST_AS_STRING=ON", "UPDATES=APPLY", "SPLIT_MULTIPOINT=ON",
                               "ADD_SOUNDG_DEPTH=ON", "RETURN_PRIMITIVES=ON", "RETURN_LINKAGES=ON"});
    const auto without_updates = [this] { return opened(opened_->path, {"UPDATES=IGNORE"}); };
    const bool is_base = fs::path(opened_->path).extension() == ".000";
    if (!opened_->dataset && is_base && updates_beside(opened_->path) > 0 && without_updates()) {
        throw IoError(opened_->path, "has updates beside it that cannot be applied (" +
                                         watched::plainly(losses.failure()) + ")");
    }
    if (!opened_->dataset) return losses.failure();
    refuse_missing_updates(opened_->path);
    refuse_empty_cell(opened_->path, *opened_->dataset);
    if (const auto records = object_records_in(opened_->path)) {
        require_all_objects(opened_->path, *opened_->dataset, *records);
    } else if (const GDALDatasetUniquePtr base = without_updates()) {
        require_all_objects(opened_->path, *base, objects_in(*base));
    }
    if (losses.failed()) {
        throw IoError(opened_->path, "cannot be read whole (" + watched::plainly(losses.failure()) + ")");
    }
    opened_->warnings = plain(losses.warnings());
    return {};
}

/// What the drivers pass over.
void VectorFile::look_into() {
    if (driver_is(*opened_->dataset, "GeoJSON") || driver_is(*opened_->dataset, "TopoJSON")) {
        require_sound_json(opened_->path);
    }
    if (driver_is(*opened_->dataset, "GeoJSONSeq")) {
        opened_->sequence = require_sound_json_sequence(opened_->path);
    }
    if (driver_is(*opened_->dataset, "KML")) require_sound_kml(opened_->path);
    if (driver_is(*opened_->dataset, "GPX")) require_sound_gpx(opened_->path);
    if (is_openstreetmap()) opened_->openstreetmap.emplace(opened_->path);
}

std::vector<std::string> VectorFile::losses(const Endangers& endangers) const {
    std::vector<std::string> all = opened_->left_out;
    for (const OpenStreetMapFile::Loss& loss : opened_->missed) {
        if (std::any_of(loss.seamarks.begin(), loss.seamarks.end(), endangers)) {
            throw InputError(opened_->path, loss.what, loss.cure);
        }
        all.push_back(loss.what + "; by the rules it endangers nothing");
    }
    if (opened_->openstreetmap) {
        all.insert(all.end(), opened_->openstreetmap->warnings().begin(),
                   opened_->openstreetmap->warnings().end());
    }
    return all;
}

bool VectorFile::is_openstreetmap() const { return driver_is(*opened_->dataset, "OSM"); }

int VectorFile::updates() const { return opened_->is_cell ? updates_beside(opened_->path) : 0; }

std::vector<std::string> VectorFile::files() const {
    std::vector<std::string> files;
    const auto add = [&](const fs::path& path) {
        std::error_code ignored;
        if (fs::is_regular_file(path, ignored)) files.push_back(path.string());
    };
    const CPLStringList listed(opened_->dataset->GetFileList());
    for (int i = 0; i < listed.size(); ++i) {
        add(watched::file_of(listed[i]));
    }
    add(opened_->path);
    // What the drivers do not name and yet read.
    const fs::path path(opened_->path);
    if (driver_is(*opened_->dataset, "ESRI Shapefile")) {
        for (const char* extension : {".shx", ".dbf", ".prj", ".cpg", ".qpj"}) {
            add(fs::path(path).replace_extension(extension));
        }
    }
    if (driver_is(*opened_->dataset, "GPKG")) {
        for (const char* tail : {"-wal", "-journal"}) {
            add(opened_->path + tail);
        }
    }
    for (int update = 1; update <= updates(); ++update) {
        add(update_of(path, update));
    }
    return files;
}

std::vector<OGRLayer*> VectorFile::layers() const {
    std::vector<OGRLayer*> layers;
    for (OGRLayer* const layer : opened_->dataset->GetLayers()) {
        if (!opened_->is_cell || !(is_primitive(layer->GetName()) || EQUAL(layer->GetName(), "DSID"))) {
            layers.push_back(layer);
        }
    }
    return layers;
}

std::vector<std::string> VectorFile::each_feature(const Visit& visit) const {
    GdalMessages messages(opened_->is_cell ? is_loss_in_cell : nullptr);
    const auto check = [&](const std::string& where) {
        watched::throw_if_failed();
        if (messages.failed()) {
            throw IoError(where, "cannot be read to its end (" + watched::plainly(messages.failure()) + ")");
        }
    };
    if (is_openstreetmap()) {
        each_openstreetmap_feature([&](OGRLayer& layer, OGRFeature& feature) {
            visit(layer, feature);
            check(opened_->path);
        });
        // What is missed says more of why it failed than the driver does.
        if (messages.failed() && !opened_->missed.empty()) {
            throw InputError(opened_->path, opened_->missed.front().what, opened_->missed.front().cure);
        }
        check(opened_->path);
        return plain(messages.warnings());
    }
    if (opened_->is_cell && opened_->read) {
        for (const auto& [layer, feature] : opened_->read->features) {
            visit(*layer, *feature);
        }
        return opened_->read->warnings;
    }
    std::int64_t features = 0;
    Features kept;
    for (OGRLayer* const layer : layers()) {
        const std::string where = opened_->path + ", layer " + layer->GetName();
        layer->ResetReading();
        const DeclaredExtent declared(*opened_->dataset, *layer);
        while (OGRFeatureUniquePtr feature{layer->GetNextFeature()}) {
            check(where);
            declared.require_inside(*feature, where);
            visit(*layer, *feature);
            ++features;
            if (opened_->is_cell) kept.features.emplace_back(layer, std::move(feature));
        }
        check(where);
    }
    if (opened_->is_cell) {
        kept.warnings = plain(messages.warnings());
        opened_->read = std::move(kept);
        return opened_->read->warnings;
    }
    if (opened_->sequence >= 0 && features != opened_->sequence) {
        throw InputError(opened_->path,
                         "holds " + std::to_string(opened_->sequence) + " texts, of which " +
                             std::to_string(features) + " can be read as features",
                         "give one feature on each line, and nothing else");
    }
    return plain(messages.warnings());
}

void VectorFile::each_openstreetmap_feature(const Visit& visit) const {
    using Kind = OpenStreetMapFile::Kind;
    OpenStreetMapFile::Read read;
    const auto note = [&](OGRLayer& layer, const OGRFeature& feature) {
        const OGRGeometry* const geometry = feature.GetGeometryRef();
        if (!geometry || text_of(feature, "seamark:type").empty()) return;
        const std::string name = layer.GetName(), id = text_of(feature, "osm_id");
        const Kind kind = name == "points" ? Kind::node : name == "lines" ? Kind::way : Kind::relation;
        if (name == "multipolygons" && id.empty()) {
            read[{Kind::way, CPLAtoGIntBig(text_of(feature, "osm_way_id").c_str())}] = vertices_of(*geometry);
        } else {
            read[{kind, CPLAtoGIntBig(id.c_str())}] =
                vertices_of(*geometry) - (kind == Kind::relation ? rings_of(*geometry) : 0);
        }
    };
    // Layer by layer it would keep all of the file in memory.
    opened_->dataset->ResetReading();
    OGRLayer* layer = nullptr;
    while (const OGRFeatureUniquePtr feature{
        opened_->dataset->GetNextFeature(&layer, nullptr, nullptr, nullptr)}) {
        note(*layer, *feature);
        visit(*layer, *feature);
    }
    watched::throw_if_failed();
    if (!opened_->openstreetmap) return;
    opened_->missed = opened_->openstreetmap->missed(read);
    opened_->left_out = opened_->openstreetmap->left_out(read);
}

OGRSpatialReference crs_of(OGRLayer& layer, const std::string& where) {
    const OGRSpatialReference* const given = layer.GetSpatialRef();
    if (!given || given->IsEmpty() || given->IsLocal()) {
        throw InputError(where, "has no CRS, or one without a place on earth",
                         "write the file with its CRS, for example EPSG:4326");
    }
    return horizontal(*given);
}

} // namespace swingroom
