#include "publish/vector/kml_file.hpp"

#include "publish/folder/guarded_files.hpp"
#include "publish/styles/colour_text.hpp"
#include "publish/styles/marked_up.hpp"
#include "publish/vector/polygon_rings.hpp"

#include <cmath>
#include <cstddef>
#include <string>
#include <string_view>
#include <utility>
#include <variant>

namespace swingroom {
namespace {

/// Markup under way, each element on a line of its own, two blanks further in than what it is in.
class Lines {
public:
    void open(std::string_view element) {
        line("<" + std::string(element) + ">");
        ++depth_;
    }
    void close(std::string_view name) {
        --depth_;
        line("</" + std::string(name) + ">");
    }
    void empty(const std::string& element) { line("<" + element + "/>"); }
    /// An element that holds text and nothing else.
    void text(std::string_view element, std::string_view content) {
        line("<" + std::string(element) + ">" + quoted(content) + "</" +
             std::string(element.substr(0, element.find(' '))) + ">");
    }
    void line(std::string_view content) { text_.append(2 * depth_, ' ').append(content).append("\n"); }
    /// What has come together since it was last asked for.
    [[nodiscard]] std::string take() { return std::exchange(text_, {}); }

private:
    /// @param content  as plain_text has made it, so that it holds no "]]>"
    static std::string quoted(std::string_view content) {
        if (content.find_first_of("&'<>\"") == std::string_view::npos) return std::string(content);
        return "<![CDATA[" + std::string(content) + "]]>";
    }

    std::string text_;
    std::size_t depth_ = 0;
};

/// KML counts alpha, blue, green, red.
std::string kml_colour(const Colour& colour, const char* alpha) {
    const std::string rgb = hex_colour(colour).substr(1);
    return alpha + rgb.substr(4, 2) + rgb.substr(2, 2) + rgb.substr(0, 2);
}

void append_look(Lines& lines, const FeatureLook& look, VectorLayer::Shape shape) {
    lines.open("Style");
    if (shape == VectorLayer::Shape::point) {
        lines.open("IconStyle");
        lines.text("color", kml_colour(look.colour, "ff"));
        lines.text("scale", "1");
        lines.close("IconStyle");
    } else {
        lines.open("LineStyle");
        lines.text("color", kml_colour(look.colour, "ff"));
        lines.text("width", "2");
        lines.close("LineStyle");
        lines.open("PolyStyle");
        lines.text("color", kml_colour(look.colour, "99"));
        lines.close("PolyStyle");
    }
    lines.close("Style");
}

std::string position(const OGRPoint& point) {
    return lattice_text(std::llround(point.getX() * 1e7)) + "," +
           lattice_text(std::llround(point.getY() * 1e7)) + ",0";
}

void append_ring(Lines& lines, const OGRLinearRing& ring, const char* boundary) {
    lines.open(boundary);
    lines.open("LinearRing");
    lines.open("coordinates");
    for (const OGRPoint& point : ring)
        lines.line(position(point));
    lines.close("coordinates");
    lines.close("LinearRing");
    lines.close(boundary);
}

void append_polygon(Lines& lines, const OGRPolygon& polygon) {
    lines.open("Polygon");
    const char* boundary = "outerBoundaryIs";
    for (const OGRLinearRing* const ring : polygon) {
        append_ring(lines, *ring, boundary);
        boundary = "innerBoundaryIs";
    }
    lines.close("Polygon");
}

/// A point, a polygon or several of them: no layer has anything else.
void append_place(Lines& lines, const OGRGeometry& geometry) {
    switch (wkbFlatten(geometry.getGeometryType())) {
    case wkbPoint:
        lines.open("Point");
        lines.open("coordinates");
        lines.line(position(*geometry.toPoint()));
        lines.close("coordinates");
        lines.close("Point");
        break;
    case wkbPolygon:
        append_polygon(lines, *geometry.toPolygon());
        break;
    default:
        lines.open("MultiGeometry");
        for (const OGRPolygon* const polygon : *geometry.toMultiPolygon())
            append_polygon(lines, *polygon);
        lines.close("MultiGeometry");
    }
}

/// All columns that have a value.
void append_values(Lines& lines, const OGRFeature& feature, const FinishedFeatures& features) {
    lines.open("ExtendedData");
    lines.open("SchemaData schemaUrl=\"#" + features.spec().name + ".schema\"");
    for (const Property& column : features.spec().columns) {
        const std::string value = plain_text(features.reader().text(feature, column.name));
        if (!value.empty()) lines.text("SimpleData name=\"" + column.name + "\"", value);
    }
    lines.close("SchemaData");
    lines.close("ExtendedData");
}

/// What comes before the first feature: what the file says of itself, and the types of the columns. All
/// numbers are of one type: of 64 bits KML has none that are whole, and text would not be taken for a number.
void append_head(Lines& lines, const VectorLayer::Spec& spec, const Provenance& provenance) {
    lines.line(R"(<?xml version="1.0" encoding="UTF-8"?>)");
    lines.open(R"(kml xmlns="http://www.opengis.net/kml/2.2")");
    lines.open("Document id=\"root_doc\"");
    lines.text("name", "swingroom: " + spec.name);
    lines.text("description", plain_text(spec.description + ". " + provenance_text(provenance)));
    lines.open("Schema id=\"" + spec.name + ".schema\"");
    for (const Property& column : spec.columns)
        lines.empty("SimpleField name=\"" + column.name + "\" type=\"" +
                    (std::holds_alternative<std::string>(column.value) ? "string" : "float") + "\"");
    lines.close("Schema");
    lines.open("Document id=\"" + spec.name + "\"");
    lines.text("name", spec.name);
    lines.text("description", plain_text(spec.description));
}

} // namespace

void write_kml(const std::filesystem::path& path, const FinishedFeatures& features,
               const std::vector<FeatureLook>& looks, const Provenance& provenance) {
    const VectorLayer::Spec& spec = features.spec();
    guarded::Writer file(path);
    Lines lines;
    append_head(lines, spec, provenance);
    FeatureSum written;
    features.each([&](const OGRFeature& feature) {
        add_feature(written, feature, features.reader(), true);
        lines.open("Placemark id=\"" + spec.name + "." + std::to_string(written.count) + "\"");
        const std::string value = looks.empty() ? "" : features.reader().text(feature, looks.front().column);
        if (const FeatureLook* const look = look_of(looks, value)) {
            lines.text("name", look->label);
            append_look(lines, *look, spec.shape);
        }
        append_values(lines, feature, features);
        if (const OGRGeometry* const geometry = feature.GetGeometryRef()) append_place(lines, *geometry);
        lines.close("Placemark");
        file.write(lines.take());
    });
    lines.close("Document");
    lines.close("Document");
    lines.close("kml");
    file.write(lines.take());
    file.close();
    require_same(path, spec, written, true);
}

} // namespace swingroom
