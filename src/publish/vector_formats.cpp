#include "publish/vector_formats.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/version.hpp"

#include "publish/colour_text.hpp"
#include "publish/gpx_file.hpp"
#include "publish/guarded_files.hpp"
#include "publish/marked_up.hpp"
#include "publish/ogr_files.hpp"

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
    bool text_is_plain = false; ///< text goes through plain_text
    bool styled = false;        ///< features carry their look
    bool places_only = false;   ///< features too small to be drawn are left out
};

/// What a whole file of KML says of itself.
std::string about(const VectorLayer::Spec& spec, const Provenance& provenance) {
    return plain_text(spec.description + ". " + provenance_text(provenance));
}

OgrFormat ogr_format(Format format, const VectorLayer::Spec& spec, const Provenance& provenance) {
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
        ogr.places_only = true; // the driver drops the others without a word
        break;
    case Format::kml:
        ogr.driver = "LIBKML";
        ogr.dataset.SetNameValue("NAME", ("swingroom: " + spec.name).c_str());
        ogr.dataset.SetNameValue("DESCRIPTION", about(spec, provenance).c_str());
        ogr.layer.SetNameValue("DESCRIPTION", plain_text(spec.description).c_str());
        ogr.text_is_plain = ogr.styled = true;
        break;
    default:
        throw std::logic_error{"OGR is not asked for this format"};
    }
    return ogr;
}

/// As OGR's feature style specification has it.
std::string style_of(const FeatureLook& look, VectorLayer::Shape shape) {
    const std::string rgb = hex_colour(look.colour);
    return shape == VectorLayer::Shape::point ? "SYMBOL(s:1,c:" + rgb + ")" // a colour alone ends GDAL 3.6
                                              : "PEN(c:" + rgb + ",w:2px);BRUSH(fc:" + rgb + "99)";
}

/// The features of a finished GeoJSON layer, one after the other.
struct Finished {
    Finished(const fs::path& folder, const VectorLayer::Spec& spec)
        : file(open_features(fs::absolute(folder / (spec.name + ".geojson")).lexically_normal())),
          reader(layer(), spec.columns) {}
    [[nodiscard]] OGRLayer& layer() const { return *file->GetLayer(0); }

    GDALDatasetUniquePtr file;
    ColumnReader reader;
};

void write_by_ogr(const fs::path& path, const Finished& finished, const VectorLayer::Spec& spec,
                  const OgrFormat& format, const std::vector<FeatureLook>& looks,
                  const Provenance& provenance) {
    const OwnVectorSettings settings;
    FeatureFile file(path, format.driver, format.dataset);
    const bool points = spec.shape == VectorLayer::Shape::point;
    OGRLayer& layer = file.add_layer(spec.name, points ? wkbPoint : wkbMultiPolygon, format.layer);
    file.add_fields(layer, spec.columns, format.styled);
    if (!format.styled) file.describe(provenance);
    FeatureDigest written;
    for (const OGRFeatureUniquePtr& feature : finished.layer()) {
        const OGRGeometry* const geometry = feature->GetGeometryRef();
        if (geometry == nullptr && format.places_only) continue;
        const OGRFeatureUniquePtr copy(OGRFeature::CreateFeature(layer.GetLayerDefn()));
        finished.reader.copy(*feature, *copy, format.text_is_plain);
        if (geometry != nullptr)
            copy->SetGeometryDirectly(points ? geometry->clone()
                                             : OGRGeometryFactory::forceToMultiPolygon(geometry->clone()));
        if (format.styled && !looks.empty()) {
            const std::string value = finished.reader.text(*feature, looks.front().column);
            if (const FeatureLook* const look = look_of(looks, value)) {
                copy->SetStyleString(style_of(*look, spec.shape).c_str());
                copy->SetField(placemark_name, look->label.c_str());
            }
        }
        written.add(*feature, finished.reader, format.text_is_plain);
        file.add(layer, *copy);
    }
    file.close();
    require_same(path, spec, written, format.text_is_plain);
}

} // namespace

void write_in_formats(const fs::path& folder, const VectorLayer::Spec& spec, FormatSet formats,
                      const std::vector<FeatureLook>& looks, const Provenance& provenance) {
    FormatSet none_but_first = Format::geojson;
    if (formats.empty() || formats == none_but_first) return;
    const OwnVectorSettings settings;
    const Finished finished(folder, spec);
    for (const FormatTraits& format : format_table) {
        if (!formats.has(format.format) || format.format == Format::geojson) continue;
        const fs::path path =
            fs::absolute(folder / (spec.name + "." + std::string(format.ending))).lexically_normal();
        if (format.format == Format::gpx)
            write_gpx(path, finished.layer(), finished.reader, spec, provenance);
        else
            write_by_ogr(path, finished, spec, ogr_format(format.format, spec, provenance), looks,
                         provenance);
    }
}

} // namespace swingroom
