#include "publish/vector/vector_formats.hpp"

#include "swingroom/base/version.hpp"

#include "publish/folder/guarded_files.hpp"
#include "publish/vector/gpx_file.hpp"
#include "publish/vector/kml_file.hpp"
#include "publish/vector/ogr_files.hpp"

#include <cpl_string.h>
#include <ogrsf_frmts.h>

#include <stdexcept>
#include <string>

namespace swingroom {
namespace {

namespace fs = std::filesystem;

/// How OGR is asked for a format that it can write by itself.
struct OgrFormat {
    const char* driver;
    CPLStringList dataset, layer;
    bool places_only = false; ///< features too small to be drawn are left out
};

OgrFormat ogr_format(Format format, const VectorLayer::Spec& spec, const fs::path& folder) {
    OgrFormat ogr;
    switch (format) {
    case Format::gpkg:
        ogr.driver = "GPKG";
        ogr.dataset.SetNameValue("VERSION", "1.3");
        ogr.layer.SetNameValue("SPATIAL_INDEX", "YES");
        ogr.layer.SetNameValue("IDENTIFIER", spec.name.c_str());
        ogr.layer.SetNameValue("DESCRIPTION", (spec.description + ". " + std::string(caution)).c_str());
        break;
    case Format::flatgeobuf:
        ogr.driver = "FlatGeobuf";
        ogr.layer.SetNameValue("SPATIAL_INDEX", "YES");
        // Else it gathers the features under a name that anybody can guess, in the folder that TMPDIR names
        // or in the current one.
        ogr.layer.SetNameValue("TEMPORARY_DIR", guarded::gdal_name(folder).c_str());
        ogr.places_only = true; // the driver drops the others without a word
        break;
    default:
        throw std::logic_error("OGR is not asked for this format");
    }
    return ogr;
}

/// A layer has one type, whatever is cut.
OGRwkbGeometryType type_of(VectorLayer::Shape shape) {
    switch (shape) {
    case VectorLayer::Shape::point:
        return wkbPoint;
    case VectorLayer::Shape::line:
        return wkbMultiLineString;
    case VectorLayer::Shape::polygon:
        break;
    }
    return wkbMultiPolygon;
}

void write_by_ogr(const fs::path& path, const FinishedFeatures& features, const OgrFormat& format,
                  const Provenance& provenance) {
    const VectorLayer::Spec& spec = features.spec();
    FeatureFile file(path, format.driver, format.dataset);
    OGRLayer& layer = file.add_layer(spec.name, type_of(spec.shape), format.layer);
    file.add_fields(layer, spec.columns);
    file.describe(provenance);
    FeatureSum written;
    features.each([&](const OGRFeature& feature) {
        const OGRGeometry* const geometry = feature.GetGeometryRef();
        if (geometry == nullptr && format.places_only) return;
        const OGRFeatureUniquePtr copy(OGRFeature::CreateFeature(layer.GetLayerDefn()));
        features.reader().copy(feature, *copy);
        if (geometry != nullptr) {
            copy->SetGeometryDirectly(OGRGeometryFactory::forceTo(geometry->clone(), type_of(spec.shape)));
        }
        add_feature(written, feature, features.reader(), false);
        file.add(layer, *copy);
    });
    file.close();
    require_same(path, spec, written, false);
}

} // namespace

void write_in_formats(const fs::path& folder, const VectorLayer::Finished& layer, FormatSet formats,
                      const std::vector<FeatureLook>& looks, const Provenance& provenance) {
    FormatSet none_but_first = Format::geojson;
    if (formats.empty() || formats == none_but_first) return;
    const OwnVectorSettings settings;
    const FinishedFeatures features(folder, layer);
    for (const FormatTraits& format : format_table) {
        if (!formats.has(format.format) || format.format == Format::geojson) continue;
        const fs::path path =
            fs::absolute(folder / (layer.spec.name + "." + std::string(format.ending))).lexically_normal();
        if (format.format == Format::gpx) {
            write_gpx(path, features, looks, provenance);
        } else if (format.format == Format::kml) {
            write_kml(path, features, looks, provenance);
        } else {
            write_by_ogr(path, features, ogr_format(format.format, layer.spec, path.parent_path()),
                         provenance);
        }
    }
}

} // namespace swingroom
