#include "publish/styles/colour_text.hpp"
#include "publish/styles/html.hpp"
#include "publish/styles/marked_up.hpp"
#include "publish/styles/styles.hpp"

#include <cmath>
#include <string_view>

namespace swingroom {
namespace {

std::string parameter(const char* name, const std::string& value) {
    return std::string("<CssParameter name=\"") + name + "\">" + value + "</CssParameter>";
}

std::string document(const std::string& name, const std::string& rules) {
    return "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
           "<StyledLayerDescriptor version=\"1.0.0\" xmlns=\"http://www.opengis.net/sld\" "
           "xmlns:ogc=\"http://www.opengis.net/ogc\">\n<NamedLayer><Name>" +
           name + "</Name><UserStyle><Name>" + name + "</Name><FeatureTypeStyle>\n" + rules +
           "</FeatureTypeStyle></UserStyle></NamedLayer>\n</StyledLayerDescriptor>\n";
}

std::string entry(const std::string& quantity, const std::array<std::uint8_t, 4>& rgba,
                  const std::string& label) {
    return " <ColorMapEntry color=\"" + hex_colour({rgba[0], rgba[1], rgba[2]}) + "\" quantity=\"" +
           quantity + "\" label=\"" + html_text(plain_text(label)) + "\" opacity=\"" +
           opacity_text(style_opacity * rgba[3] / 255) + "\"/>\n";
}

std::string colour_map(const LayerSpec& spec) {
    if (!spec.categories.empty()) {
        std::string text = "<ColorMap type=\"values\">\n";
        for (const Category& category : spec.categories)
            text += entry(std::to_string(category.value), category.rgba, category.name);
        return text + "</ColorMap>";
    }
    std::string text = "<ColorMap type=\"intervals\">\n";
    for (const Step& step : spec.steps)
        text += entry(std::isfinite(step.up_to) ? std::to_string(static_cast<int>(step.up_to)) : "1000000",
                      step.rgba, step.name);
    return text + "</ColorMap>";
}

std::string filter(const FeatureLook& look) {
    if (look.value.empty()) return "<ElseFilter/>";
    const std::string operands = "<ogc:PropertyName>" + look.column + "</ogc:PropertyName><ogc:Literal>" +
                                 look.value + (look.is_number ? "" : "*") + "</ogc:Literal>";
    return look.is_number
               ? "<ogc:Filter><ogc:PropertyIsEqualTo>" + operands + "</ogc:PropertyIsEqualTo></ogc:Filter>"
               : "<ogc:Filter><ogc:PropertyIsLike wildCard=\"*\" singleChar=\".\" escape=\"!\">" + operands +
                     "</ogc:PropertyIsLike></ogc:Filter>";
}

/// What the hatches are called, as most readers know them; null where there is none.
const char* mark(Hatch hatch) {
    switch (hatch) {
    case Hatch::falling:
        return "backslash";
    case Hatch::dotted:
        return "circle";
    case Hatch::level:
        return "horline";
    case Hatch::solid:
    case Hatch::none:
        break;
    }
    return nullptr;
}

std::string hatching(Hatch hatch, const std::string& colour) {
    const char* const name = mark(hatch);
    if (name == nullptr) return "";
    return std::string("<PolygonSymbolizer><Fill><GraphicFill><Graphic><Mark><WellKnownName>") + name +
           "</WellKnownName><Fill>" + parameter("fill", colour) + "</Fill><Stroke>" +
           parameter("stroke", colour) + "</Stroke></Mark><Size>" + (hatch == Hatch::dotted ? "3" : "10") +
           "</Size></Graphic></GraphicFill></Fill></PolygonSymbolizer>";
}

std::string polygon(const FeatureLook& look) {
    const bool filled = look.column == "verdict";
    const std::string colour = hex_colour(look.colour), ink = filled ? "#222222" : colour;
    std::string text;
    if (filled)
        text += "<PolygonSymbolizer><Fill>" + parameter("fill", colour) +
                parameter("fill-opacity", opacity_text(style_opacity)) + "</Fill></PolygonSymbolizer>";
    text += hatching(look.hatch, ink);
    return text + "<LineSymbolizer><Stroke>" + parameter("stroke", ink) +
           parameter("stroke-width", filled ? "1" : "2") +
           (look.hatch == Hatch::none ? parameter("stroke-dasharray", "6 4") : "") +
           "</Stroke></LineSymbolizer>";
}

/// Of the shapes that the standard names.
std::string point(const FeatureLook& look) {
    const char* const shape = look.hatch == Hatch::solid    ? "circle"
                              : look.hatch == Hatch::level  ? "square"
                              : look.hatch == Hatch::dotted ? "triangle"
                                                            : "star";
    return std::string("<PointSymbolizer><Graphic><Mark><WellKnownName>") + shape + "</WellKnownName><Fill>" +
           parameter("fill", hex_colour(look.colour)) + "</Fill><Stroke>" + parameter("stroke", "#ffffff") +
           "</Stroke></Mark><Size>12</Size></Graphic></PointSymbolizer>";
}

} // namespace

std::string sld_of(const LayerSpec& spec) {
    return document(spec.name,
                    "<Rule><RasterSymbolizer>" + colour_map(spec) + "</RasterSymbolizer></Rule>\n");
}

std::string sld_of(const VectorLayer::Spec& spec, const std::vector<FeatureLook>& looks) {
    std::string rules;
    for (const FeatureLook& look : looks)
        rules += "<Rule><Name>" + html_text(look.label) + "</Name>" + filter(look) +
                 (spec.shape == VectorLayer::Shape::point ? point(look) : polygon(look)) + "</Rule>\n";
    return document(spec.name, rules);
}

} // namespace swingroom
