#include "publish/ogr_files.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/version.hpp"

#include "base/json.hpp"
#include "chart/gdal_messages.hpp"
#include "chart/nothing_beside.hpp"
#include "publish/guarded_files.hpp"
#include "publish/marked_up.hpp"
#include "publish/sha256.hpp"

#include <cmath>
#include <utility>
#include <variant>

namespace swingroom {
namespace {

namespace fs = std::filesystem;

void append_points(std::string& text, const OGRSimpleCurve& line) {
    for (const OGRPoint& point : line)
        text += std::to_string(std::llround(point.getX() * 1e7)) + "," +
                std::to_string(std::llround(point.getY() * 1e7)) + " ";
}

void append_polygon(std::string& text, const OGRPolygon& polygon) {
    text += "(";
    for (const OGRLinearRing* ring : polygon) {
        text += "(";
        append_points(text, *ring);
        text += ")";
    }
    text += ")";
}

/// A point or polygons in units of the seventh decimal; one polygon alone is as several of which there is
/// one.
std::string place_of(const OGRGeometry* geometry) {
    std::string text;
    if (geometry == nullptr) return text;
    switch (wkbFlatten(geometry->getGeometryType())) {
    case wkbPoint: {
        const OGRPoint& point = *geometry->toPoint();
        return std::to_string(std::llround(point.getX() * 1e7)) + "," +
               std::to_string(std::llround(point.getY() * 1e7));
    }
    case wkbPolygon:
        append_polygon(text, *geometry->toPolygon());
        return text;
    case wkbMultiPolygon:
        for (const OGRPolygon* polygon : *geometry->toMultiPolygon())
            append_polygon(text, *polygon);
        return text;
    default:
        return geometry->getGeometryName();
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
    if (path.extension() == ".geojson") {
        options.SetNameValue("DATE_AS_STRING", "YES");
    }
    GDALDatasetUniquePtr file(GDALDataset::Open(
        guarded::gdal_name(path).c_str(), GDAL_OF_VECTOR | GDAL_OF_VERBOSE_ERROR, nullptr, options.List()));
    write_nothing_beside(file.get());
    guarded::throw_if_failed(path);
    if (!file || file->GetLayerCount() < 1 || errors.failed())
        guarded::fail(path, "cannot be read back: " + errors.failure());
    return file;
}

ColumnReader::ColumnReader(OGRLayer& layer, const std::vector<Property>& columns) : columns_(columns) {
    for (const Property& column : columns)
        fields_.push_back(layer.GetLayerDefn()->GetFieldIndex(column.name.c_str()));
}

void ColumnReader::copy(const OGRFeature& from, OGRFeature& to, bool plain) const {
    for (std::size_t i = 0; i < columns_.size(); ++i) {
        const int field = fields_[i], into = to.GetFieldIndex(columns_[i].name.c_str());
        if (field < 0 || !from.IsFieldSetAndNotNull(field)) continue;
        if (std::holds_alternative<std::int64_t>(columns_[i].value))
            to.SetField(into, from.GetFieldAsInteger64(field));
        else if (std::holds_alternative<double>(columns_[i].value))
            to.SetField(into, from.GetFieldAsDouble(field));
        else if (plain)
            to.SetField(into, plain_text(from.GetFieldAsString(field)).c_str());
        else
            to.SetField(into, from.GetFieldAsString(field));
    }
}

std::string ColumnReader::text(const OGRFeature& feature, const std::string& column) const {
    for (std::size_t i = 0; i < columns_.size(); ++i)
        if (columns_[i].name == column && fields_[i] >= 0 && feature.IsFieldSetAndNotNull(fields_[i]))
            return feature.GetFieldAsString(fields_[i]);
    return "";
}

std::string ColumnReader::record(const OGRFeature& feature, bool plain) const {
    std::string text;
    for (std::size_t i = 0; i < columns_.size(); ++i) {
        const int field = fields_[i];
        text += columns_[i].name + "=";
        if (field >= 0 && feature.IsFieldSetAndNotNull(field)) {
            const char* const value = feature.GetFieldAsString(field);
            if (std::holds_alternative<std::int64_t>(columns_[i].value))
                text += std::to_string(feature.GetFieldAsInteger64(field));
            else if (std::holds_alternative<double>(columns_[i].value))
                text += json_number(feature.GetFieldAsDouble(field), 12);
            else
                text += plain ? plain_text(value) : value;
        }
        text += '\n';
    }
    return text;
}

void FeatureDigest::add(const OGRFeature& feature, const ColumnReader& reader, bool plain) {
    Sha256 sum;
    sum.add(reader.record(feature, plain));
    sum.add(place_of(feature.GetGeometryRef()));
    sum_ += std::stoull(sum.hex().substr(0, 16), nullptr, 16);
    ++count_;
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

void FeatureFile::add_fields(OGRLayer& layer, const std::vector<Property>& columns, bool kml) {
    const GdalMessages errors;
    const auto add = [&](const std::string& name, OGRFieldType type) {
        OGRFieldDefn field(name.c_str(), type);
        if (layer.CreateField(&field) != OGRERR_NONE || errors.failed()) fail(errors.failure());
    };
    if (kml) add(placemark_name, OFTString);
    for (const Property& column : columns)
        add(column.name, std::holds_alternative<std::string>(column.value)     ? OFTString
                         : std::holds_alternative<double>(column.value) || kml ? OFTReal
                                                                               : OFTInteger64);
}

void FeatureFile::describe(const Provenance& provenance) {
    const GdalMessages errors;
    file_->SetMetadataItem("SOFTWARE", ("swingroom " + std::string(version())).c_str());
    file_->SetMetadataItem("CAUTION", std::string(caution).c_str());
    file_->SetMetadataItem("PROVENANCE", provenance_json(provenance).c_str());
    if (errors.failed()) fail(errors.failure());
}

void FeatureFile::add(OGRLayer& layer, OGRFeature& feature) {
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

void require_same(const fs::path& path, const VectorLayer::Spec& spec, const FeatureDigest& written,
                  bool plain) {
    const GDALDatasetUniquePtr file = open_features(path);
    const GdalMessages errors;
    OGRLayer& layer = *file->GetLayer(0);
    const ColumnReader reader(layer, spec.columns);
    FeatureDigest read;
    for (const OGRFeatureUniquePtr& feature : layer)
        read.add(*feature, reader, plain);
    if (errors.failed()) guarded::fail(path, "cannot be read back: " + errors.failure());
    if (!(read == written)) guarded::fail(path, "reads otherwise than it was written");
}

} // namespace swingroom
