#include "publish/vector/kml_file.hpp"

#include "swingroom/base/markup.hpp"

#include "base/text.hpp"
#include "publish/folder/guarded_files.hpp"
#include "publish/styles/colour_text.hpp"
#include "publish/styles/marked_up.hpp"
#include "publish/vector/feature_words.hpp"
#include "publish/vector/polygon_rings.hpp"

#include <cmath>
#include <cstdint>
#include <string>
#include <variant>

namespace swingroom {
namespace {

/// KML counts alpha, blue, green, red.
std::string kml_colour(const Colour& colour, const char* alpha) {
    const std::string rgb = hex_colour(colour).substr(1);
    return alpha + rgb.substr(4, 2) + rgb.substr(2, 2) + rgb.substr(0, 2);
}

std::string look_id(std::size_t number) { return "look." + std::to_string(number); }

void append_look(MarkupLines& lines, const FeatureLook& look, const std::string& id,
                 VectorLayer::Shape shape) {
    lines.open("Style", {{"id", id}});
    if (shape == VectorLayer::Shape::point) {
        lines.open("IconStyle");
        lines.line(text_element("color", kml_colour(look.colour, "ff")));
        lines.line(text_element("scale", "1"));
        lines.close();
    } else {
        lines.open("LineStyle");
        lines.line(text_element("color", kml_colour(look.colour, "ff")));
        lines.line(text_element("width", "2"));
        lines.close();
    }
    if (shape == VectorLayer::Shape::polygon) {
        lines.open("PolyStyle");
        lines.line(text_element("color", kml_colour(look.colour, "99")));
        // The outline alone: KML has no patterns, so what has one is filled.
        if (!look.filled && look.hatch == Hatch::none) lines.line(text_element("fill", "0"));
        lines.close();
    }
    lines.close();
}

std::string position(const OGRPoint& point) {
    return lattice_text(std::llround(point.getX() * 1e7)) + "," +
           lattice_text(std::llround(point.getY() * 1e7)) + ",0";
}

void append_ring(MarkupLines& lines, const OGRLinearRing& ring, MarkupName boundary) {
    lines.open(boundary);
    lines.open("LinearRing");
    lines.open("coordinates");
    for (const OGRPoint& point : ring) {
        lines.line(escaped(position(point)));
    }
    lines.close();
    lines.close();
    lines.close();
}

void append_polygon(MarkupLines& lines, const OGRPolygon& polygon) {
    lines.open("Polygon");
    MarkupName boundary = "outerBoundaryIs";
    for (const OGRLinearRing* const ring : polygon) {
        append_ring(lines, *ring, boundary);
        boundary = "innerBoundaryIs";
    }
    lines.close();
}

void append_line(MarkupLines& lines, const OGRLineString& line) {
    lines.open("LineString");
    lines.line(text_element("tessellate", "1")); // else it runs below the ground
    lines.open("coordinates");
    for (const OGRPoint& point : line) {
        lines.line(escaped(position(point)));
    }
    lines.close();
    lines.close();
}

/// A point, a line, a polygon or several of the latter: no layer has anything else.
void append_place(MarkupLines& lines, const OGRGeometry& geometry) {
    switch (wkbFlatten(geometry.getGeometryType())) {
    case wkbPoint:
        lines.open("Point");
        lines.open("coordinates");
        lines.line(escaped(position(*geometry.toPoint())));
        lines.close();
        lines.close();
        break;
    case wkbPolygon:
        append_polygon(lines, *geometry.toPolygon());
        break;
    case wkbLineString:
        append_line(lines, *geometry.toLineString());
        break;
    case wkbMultiLineString:
        lines.open("MultiGeometry");
        for (const OGRLineString* const line : *geometry.toMultiLineString()) {
            append_line(lines, *line);
        }
        lines.close();
        break;
    default:
        lines.open("MultiGeometry");
        for (const OGRPolygon* const polygon : *geometry.toMultiPolygon()) {
            append_polygon(lines, *polygon);
        }
        lines.close();
    }
}

/// All columns that have a value.
void append_values(MarkupLines& lines, const OGRFeature& feature, const FinishedFeatures& features) {
    lines.open("ExtendedData");
    lines.open("SchemaData", {{"schemaUrl", "#" + features.spec().name + ".schema"}});
    for (const Property& column : features.spec().columns) {
        const std::string value = plain_text(features.reader().text(feature, column.name));
        if (!value.empty()) lines.line(element("SimpleData", {{"name", column.name}}, character_data(value)));
    }
    lines.close();
    lines.close();
}

/// Viewers show it when a feature is touched, and take it for HTML where it looks like that: a line for each
/// figure, in plain text.
void append_facts(MarkupLines& lines, const OGRFeature& feature, const FinishedFeatures& features) {
    std::string text;
    for (const FeatureFact& fact : facts_of(feature, features.reader())) {
        add_word(text, "\n", plain_text(fact.name + ": " + fact.value));
    }
    if (!text.empty()) lines.line(element("description", character_data(text)));
}

/// What comes before the first feature: what the file says of itself, how features look, and the types of the
/// columns. All numbers are of one type: of 64 bits KML has none that are whole, and text would not be taken
/// for a number.
void append_head(MarkupLines& lines, const VectorLayer::Spec& spec, const std::vector<FeatureLook>& looks,
                 const Provenance& provenance) {
    const auto add_text = [&](MarkupName name, const std::string& text) {
        lines.line(element(name, character_data(text)));
    };
    lines.line(MarkupLiteral(R"(<?xml version="1.0" encoding="UTF-8"?>)"));
    lines.open("kml", {{"xmlns", "http://www.opengis.net/kml/2.2"}});
    lines.open("Document", {{"id", spec.name}});
    add_text("name", "swingroom: " + spec.name);
    add_text("description", plain_text(spec.description + ". " + provenance_text(provenance)));
    for (std::size_t i = 0; i < looks.size(); ++i) {
        append_look(lines, looks[i], look_id(i), spec.shape);
    }
    lines.open("Schema", {{"id", spec.name + ".schema"}});
    for (const Property& column : spec.columns) {
        lines.line(empty_element(
            "SimpleField",
            {{"name", column.name},
             {"type", std::holds_alternative<std::string>(column.value) ? "string" : "float"}}));
    }
    lines.close();
}

/// Which of the looks a feature has; their number if it has none.
std::size_t look_number(const std::vector<FeatureLook>& looks, const OGRFeature& feature,
                        const FinishedFeatures& features) {
    if (looks.empty()) return 0;
    const FeatureLook* const look = look_of(looks, features.reader().text(feature, looks.front().column));
    return look == nullptr ? looks.size() : static_cast<std::size_t>(look - looks.data());
}

/// How many features have each look, and last how many have none.
std::vector<std::int64_t> count_by_look(const FinishedFeatures& features,
                                        const std::vector<FeatureLook>& looks) {
    std::vector<std::int64_t> counts(looks.size() + 1);
    features.each([&](const OGRFeature& feature) { ++counts[look_number(looks, feature, features)]; });
    return counts;
}

} // namespace

void write_kml(const std::filesystem::path& path, const FinishedFeatures& features,
               const std::vector<FeatureLook>& looks, const Provenance& provenance) {
    const VectorLayer::Spec& spec = features.spec();
    guarded::Writer file(path);
    MarkupLines lines;
    append_head(lines, spec, looks, provenance);
    FeatureSum written;
    const auto add = [&](const OGRFeature& feature, std::size_t look) {
        add_feature(written, feature, features.reader(), true);
        lines.open("Placemark", {{"id", spec.name + "." + std::to_string(written.count)}});
        const std::string name = plain_text(features.reader().text(feature, "name"));
        if (!name.empty()) lines.line(element("name", character_data(name)));
        append_facts(lines, feature, features);
        if (look < looks.size()) lines.line(text_element("styleUrl", "#" + look_id(look)));
        append_values(lines, feature, features);
        if (const OGRGeometry* const geometry = feature.GetGeometryRef()) append_place(lines, *geometry);
        lines.close();
        file.write(lines.take());
    };
    // A folder for each look, and so another pass through the features: they may be too many to be kept.
    const std::vector<std::int64_t> counts = count_by_look(features, looks);
    for (std::size_t look = 0; look < counts.size(); ++look) {
        const bool holds_none = look == looks.size() && written.count == 0; // readers want one to be there
        if (counts[look] == 0 && !holds_none) continue;
        lines.open("Folder", {{"id", spec.name + "." + look_id(look)}});
        lines.line(text_element("name", look < looks.size() ? looks[look].label : spec.name));
        features.each([&](const OGRFeature& feature) {
            if (look_number(looks, feature, features) == look) add(feature, look);
        });
        lines.close();
    }
    lines.close();
    lines.close();
    file.write(lines.take());
    file.close();
    require_same(path, spec, written, true);
}

} // namespace swingroom
