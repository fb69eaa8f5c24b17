#include "publish/vector/ogr_files.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/stop.hpp"
#include "swingroom/base/version.hpp"

#include "base/json.hpp"
#include "publish/folder/guarded_files.hpp"
#include "publish/styles/marked_up.hpp"
#include "sea/gdal/gdal_messages.hpp"
#include "sea/gdal/no_sidecar.hpp"

#include <cmath>
#include <utility>
#include <variant>

namespace swingroom {
namespace {

namespace fs = std::filesystem;

LatticePoint lattice_point(double lon, double lat) {
    return {std::llround(lon * 1e7), std::llround(lat * 1e7)};
}

void digest_polygon(const OGRPolygon& polygon, FeatureDigest& into) {
    into.begin_part();
    for (const OGRLinearRing* ring : polygon) {
        into.begin_part();
        for (const OGRPoint& point : *ring) {
            into.add_position(lattice_point(point.getX(), point.getY()));
        }
        into.end_part();
    }
    into.end_part();
}

void digest_line(const OGRLineString& line, FeatureDigest& into) {
    into.begin_part();
    for (const OGRPoint& point : line) {
        into.add_position(lattice_point(point.getX(), point.getY()));
    }
    into.end_part();
}

/// A point, lines or polygons in units of the seventh decimal; one polygon or line alone is as several of
/// which there is one.
void digest_place(const OGRGeometry* geometry, FeatureDigest& into) {
    if (geometry == nullptr) return;
    switch (wkbFlatten(geometry->getGeometryType())) {
    case wkbPoint:
        into.add_position(lattice_point(geometry->toPoint()->getX(), geometry->toPoint()->getY()));
        break;
    case wkbPolygon:
        digest_polygon(*geometry->toPolygon(), into);
        break;
    case wkbMultiPolygon:
        for (const OGRPolygon* polygon : *geometry->toMultiPolygon()) {
            digest_polygon(*polygon, into);
        }
        break;
    case wkbLineString:
        digest_line(*geometry->toLineString(), into);
        break;
    case wkbMultiLineString:
        for (const OGRLineString* line : *geometry->toMultiLineString()) {
            digest_line(*line, into);
        }
        break;
    default: // no layer has it
        into.add_value("geometry", geometry->getGeometryName());
    }
}

/// A driver that works with files beside the one that it was asked for.
fs::path beside(const fs::path& path, const char* ending) {
    return path.parent_path() / (path.stem().string() + ending);
}

} // namespace

GDALDatasetUniquePtr open_features(const fs::path& path) {
    const GdalMessages errors;
    CPLStringList options;
    if (path.extension() == ".geojson") options.SetNameValue("DATE_AS_STRING", "YES");
    GDALDatasetUniquePtr file(GDALDataset::Open(
        guarded::gdal_name(path).c_str(), GDAL_OF_VECTOR | GDAL_OF_VERBOSE_ERROR, nullptr, options.List()));
    forbid_sidecar(file.get());
    guarded::throw_if_failed(path);
    if (!file || file->GetLayerCount() < 1 || errors.failed()) {
        guarded::fail(path, "cannot be read back: " + errors.failure());
    }
    return file;
}

ColumnReader::ColumnReader(OGRLayer& layer, const std::vector<Property>& columns) : columns_(columns) {
    for (const Property& column : columns) {
        fields_.push_back(layer.GetLayerDefn()->GetFieldIndex(column.name.c_str()));
    }
}

void ColumnReader::copy(const OGRFeature& from, OGRFeature& to) const {
    for (std::size_t i = 0; i < columns_.size(); ++i) {
        const int field = fields_[i], into = to.GetFieldIndex(columns_[i].name.c_str());
        if (field < 0 || !from.IsFieldSetAndNotNull(field)) continue;
        if (std::holds_alternative<std::int64_t>(columns_[i].value)) {
            to.SetField(into, from.GetFieldAsInteger64(field));
        } else if (std::holds_alternative<double>(columns_[i].value)) {
            to.SetField(into, from.GetFieldAsDouble(field));
        } else {
            to.SetField(into, from.GetFieldAsString(field));
        }
    }
}

std::string ColumnReader::text(const OGRFeature& feature, const std::string& column) const {
    for (std::size_t i = 0; i < columns_.size(); ++i) {
        if (columns_[i].name == column && fields_[i] >= 0 && feature.IsFieldSetAndNotNull(fields_[i])) {
            return feature.GetFieldAsString(fields_[i]);
        }
    }
    return "";
}

void ColumnReader::digest(const OGRFeature& feature, bool plain, FeatureDigest& into) const {
    for (std::size_t i = 0; i < columns_.size(); ++i) {
        const int field = fields_[i];
        std::string value;
        if (field >= 0 && feature.IsFieldSetAndNotNull(field)) {
            if (std::holds_alternative<std::int64_t>(columns_[i].value)) {
                value = std::to_string(feature.GetFieldAsInteger64(field));
            } else if (std::holds_alternative<double>(columns_[i].value)) {
                value = number_spelling(feature.GetFieldAsDouble(field));
            } else {
                value = plain ? plain_text(feature.GetFieldAsString(field)) : feature.GetFieldAsString(field);
            }
        }
        into.add_value(columns_[i].name, value);
    }
}

void add_feature(FeatureSum& sum, const OGRFeature& feature, const ColumnReader& reader, bool plain) {
    FeatureDigest digest;
    reader.digest(feature, plain, digest);
    digest_place(feature.GetGeometryRef(), digest);
    add_to(sum, digest);
}

FinishedFeatures::FinishedFeatures(const fs::path& folder, const VectorLayer::Finished& layer)
    : layer_(layer), path_(fs::absolute(folder / (layer.spec.name + ".geojson")).lexically_normal()),
      file_(open_features(path_)), reader_(*file_->GetLayer(0), layer_.spec.columns) {}

void FinishedFeatures::each(const std::function<void(const OGRFeature&)>& take) const {
    const OwnVectorSettings settings;
    FeatureSum read;
    {
        const GdalMessages errors;
        for (const OGRFeatureUniquePtr& feature : *file_->GetLayer(0)) {
            stop_if_asked();
            add_feature(read, *feature, reader_, false);
            take(*feature);
        }
        guarded::throw_if_failed(path_);
        if (errors.failed()) guarded::fail(path_, "cannot be read back: " + errors.failure());
    }
    if (!(read == layer_.meant)) {
        guarded::fail(path_, "reads otherwise than it was written: " + std::to_string(read.count) + " of " +
                                 std::to_string(layer_.meant.count) + " features, or others");
    }
}

FeatureFile::FeatureFile(fs::path path, const char* driver, const CPLStringList& options)
    : path_(std::move(path)) {
    const std::string name = guarded::gdal_name(path_);
    const GdalMessages errors;
    GDALDriver* const found = GetGDALDriverManager()->GetDriverByName(driver);
    if (found == nullptr) throw IoError(path_.string(), std::string("this GDAL has no driver ") + driver);
    file_.reset(found->Create(name.c_str(), 0, 0, 0, GDT_Unknown, CPLStringList(options).List()));
    if (!file_ || errors.failed()) fail(errors.failure());
    check();
}

FeatureFile::~FeatureFile() {
    const GdalMessages quiet; // a file given up has more to complain of
    file_.reset();
}

void FeatureFile::fail(const std::string& why) const {
    check();
    guarded::fail(path_, "could not be written" + (why.empty() ? "" : ": " + why));
}

void FeatureFile::check() const {
    guarded::throw_if_failed(path_);
    guarded::throw_if_failed(beside(path_, "_temp.fgb"));
}

OGRLayer& FeatureFile::add_layer(const std::string& name, OGRwkbGeometryType type,
                                 const CPLStringList& options) {
    const GdalMessages errors;
    OGRSpatialReference wgs84;
    wgs84.SetWellKnownGeogCS("WGS84");
    wgs84.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    OGRLayer* const layer = file_->CreateLayer(name.c_str(), &wgs84, type, CPLStringList(options).List());
    if (layer == nullptr || errors.failed()) fail(errors.failure());
    check();
    return *layer;
}

void FeatureFile::add_fields(OGRLayer& layer, const std::vector<Property>& columns) {
    const GdalMessages errors;
    const auto add = [&](const std::string& name, OGRFieldType type) {
        OGRFieldDefn field(name.c_str(), type);
        if (layer.CreateField(&field) != OGRERR_NONE || errors.failed()) fail(errors.failure());
    };
    for (const Property& column : columns) {
        add(column.name, std::holds_alternative<std::string>(column.value) ? OFTString
                         : std::holds_alternative<double>(column.value)    ? OFTReal
                                                                           : OFTInteger64);
    }
}

void FeatureFile::describe(const Provenance& provenance) {
    const GdalMessages errors;
    file_->SetMetadataItem("SOFTWARE", ("swingroom " + std::string(version())).c_str());
    file_->SetMetadataItem("CAUTION", std::string(caution).c_str());
    file_->SetMetadataItem("PROVENANCE", provenance_json(provenance).c_str());
    if (errors.failed()) fail(errors.failure());
}

void FeatureFile::add(OGRLayer& layer, OGRFeature& feature) {
    stop_if_asked();
    const GdalMessages errors;
    if (layer.CreateFeature(&feature) != OGRERR_NONE || errors.failed()) fail(errors.failure());
    check();
}

void FeatureFile::close() {
    const GdalMessages errors;
    file_.reset();
    if (errors.failed()) fail(errors.failure());
    check();
}

void require_same(const fs::path& path, const VectorLayer::Spec& spec, const FeatureSum& written,
                  bool plain) {
    const OwnVectorSettings settings;
    const GDALDatasetUniquePtr file = open_features(path);
    const GdalMessages errors;
    FeatureSum read;
    for (OGRLayer* const layer : file->GetLayers()) { // a folder of a KML is a layer of its own
        const ColumnReader reader(*layer, spec.columns);
        for (const OGRFeatureUniquePtr& feature : *layer) {
            stop_if_asked();
            add_feature(read, *feature, reader, plain);
        }
    }
    guarded::throw_if_failed(path);
    if (errors.failed()) guarded::fail(path, "cannot be read back: " + errors.failure());
    if (!(read == written)) guarded::fail(path, "reads otherwise than it was written");
}

} // namespace swingroom
