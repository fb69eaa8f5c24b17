#include "swingroom/base/markup.hpp"

#include "publish/styles/colour_text.hpp"
#include "publish/styles/marked_up.hpp"
#include "publish/styles/styles.hpp"

#include <array>
#include <cmath>
#include <cstdint>
#include <string>
#include <vector>

namespace swingroom {
namespace {

Markup parameter(const char* name, const std::string& value) {
    return text_element("CssParameter", {{"name", name}}, value);
}

Markup document(const std::string& name, const Markup& rules) {
    const Markup named = text_element("Name", name);
    return "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n" +
           element("StyledLayerDescriptor",
                   {{"version", "1.0.0"},
                    {"xmlns", "http://www.opengis.net/sld"},
                    {"xmlns:ogc", "http://www.opengis.net/ogc"}},
                   "\n" +
                       element("NamedLayer", named + element("UserStyle", named + element("FeatureTypeStyle",
                                                                                          "\n" + rules))) +
                       "\n") +
           "\n";
}

Markup entry(const std::string& quantity, const std::array<std::uint8_t, 4>& rgba, const std::string& label) {
    return " " +
           empty_element("ColorMapEntry", {{"color", hex_colour({rgba[0], rgba[1], rgba[2]})},
                                           {"quantity", quantity},
                                           {"label", plain_text(label)},
                                           {"opacity", opacity_text(style_opacity * rgba[3] / 255)}}) +
           "\n";
}

Markup colour_map(const LayerSpec& spec) {
    Markup entries;
    for (const Category& category : spec.categories) {
        entries += entry(std::to_string(category.value), category.rgba, category.name);
    }
    if (!spec.categories.empty()) return element("ColorMap", {{"type", "values"}}, "\n" + entries);
    for (const Step& step : spec.steps) {
        entries += entry(std::isfinite(step.up_to) ? std::to_string(static_cast<int>(step.up_to)) : "1000000",
                         step.rgba, step.name);
    }
    return element("ColorMap", {{"type", "intervals"}}, "\n" + entries);
}

Markup filter(const FeatureLook& look) {
    if (look.value.empty()) return empty_element("ElseFilter");
    const Markup operands = text_element("ogc:PropertyName", look.column) +
                            text_element("ogc:Literal", look.value + (look.is_number ? "" : "*"));
    return element("ogc:Filter",
                   look.is_number
                       ? element("ogc:PropertyIsEqualTo", operands)
                       : element("ogc:PropertyIsLike",
                                 {{"wildCard", "*"}, {"singleChar", "."}, {"escape", "!"}}, operands));
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
    case Hatch::rising:
        return "slash";
    case Hatch::upright:
        return "vertline";
    case Hatch::crossed:
        return "x";
    case Hatch::gridded:
        return "cross";
    case Hatch::solid:
    case Hatch::stippled:
    case Hatch::sparse:
    case Hatch::none:
        break;
    }
    return nullptr;
}

/// A shape that is filled and drawn round, as large as so many pixels.
Markup graphic(const char* shape, const std::string& fill, const std::string& stroke, const char* size) {
    return element("Graphic", element("Mark", text_element("WellKnownName", shape) +
                                                  element("Fill", parameter("fill", fill)) +
                                                  element("Stroke", parameter("stroke", stroke))) +
                                  text_element("Size", size));
}

Markup hatching(Hatch hatch, const std::string& colour) {
    const char* const name = mark(hatch);
    if (name == nullptr) return {};
    return element("PolygonSymbolizer",
                   element("Fill", element("GraphicFill", graphic(name, colour, colour,
                                                                  hatch == Hatch::dotted ? "3" : "10"))));
}

Markup polygon(const FeatureLook& look) {
    const bool filled = look.filled;
    const std::string colour = hex_colour(look.colour), ink = filled ? "#222222" : colour;
    Markup symbolizers;
    if (filled) {
        symbolizers += element("PolygonSymbolizer",
                               element("Fill", parameter("fill", colour) +
                                                   parameter("fill-opacity", opacity_text(style_opacity))));
    }
    symbolizers += hatching(look.hatch, ink);
    Markup stroke = parameter("stroke", ink) + parameter("stroke-width", filled ? "1" : "2");
    if (look.hatch == Hatch::none) stroke += parameter("stroke-dasharray", "6 4");
    return symbolizers + element("LineSymbolizer", element("Stroke", stroke));
}

/// Of the shapes that the standard names.
Markup point(const FeatureLook& look) {
    const char* const shape = look.hatch == Hatch::solid                                    ? "circle"
                              : look.hatch == Hatch::level                                  ? "square"
                              : look.hatch == Hatch::dotted                                 ? "triangle"
                              : look.hatch == Hatch::rising || look.hatch == Hatch::upright ? "cross"
                              : look.hatch == Hatch::crossed                                ? "x"
                                                                                            : "star";
    return element("PointSymbolizer", graphic(shape, hex_colour(look.colour), "#ffffff", "12"));
}

/// Dashes on a white ground, and triangles along them: which way is in, the shapes that the standard names
/// cannot say.
Markup line(const FeatureLook& look) {
    const std::string colour = hex_colour(look.colour);
    const auto stroke = [](const Markup& parameters) {
        return element("LineSymbolizer", element("Stroke", parameters));
    };
    return stroke(parameter("stroke", "#ffffff") + parameter("stroke-width", "5")) +
           stroke(parameter("stroke", colour) + parameter("stroke-width", "2") +
                  parameter("stroke-dasharray", "14 5")) +
           stroke(element("GraphicStroke", graphic("triangle", colour, "#ffffff", "9")) +
                  parameter("stroke-dasharray", "9 60"));
}

Markup symbol(VectorLayer::Shape shape, const FeatureLook& look) {
    switch (shape) {
    case VectorLayer::Shape::point:
        return point(look);
    case VectorLayer::Shape::line:
        return line(look);
    case VectorLayer::Shape::polygon:
        break;
    }
    return polygon(look);
}

} // namespace

Markup sld_of(const LayerSpec& spec) {
    return document(spec.name, element("Rule", element("RasterSymbolizer", colour_map(spec))) + "\n");
}

Markup sld_of(const VectorLayer::Spec& spec, const std::vector<FeatureLook>& looks) {
    Markup rules;
    for (const FeatureLook& look : looks) {
        rules += element("Rule", text_element("Name", look.label) + filter(look) + symbol(spec.shape, look)) +
                 "\n";
    }
    return document(spec.name, rules);
}

} // namespace swingroom
