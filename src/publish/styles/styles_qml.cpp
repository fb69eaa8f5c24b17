#include "swingroom/base/markup.hpp"

#include "publish/folder/text_file.hpp"
#include "publish/styles/colour_text.hpp"
#include "publish/styles/marked_up.hpp"
#include "publish/styles/styles.hpp"

#include <cmath>
#include <string_view>
#include <utility>

namespace swingroom {
namespace {

/// @param content  lines of it
Markup document(const Markup& content) {
    return "<!DOCTYPE qgis PUBLIC 'http://mrcc.com/qgis.dtd' 'SYSTEM'>\n" +
           element("qgis", {{"version", "3.22"}, {"styleCategories", "Symbology"}}, "\n" + content) + "\n";
}

std::string number(double value) {
    return std::isfinite(value) ? std::to_string(static_cast<int>(value)) : "inf";
}

Markup entry(MarkupName element, const std::string& value, const std::array<std::uint8_t, 4>& rgba,
             const std::string& label) {
    return "  " +
           empty_element(element, {{"value", value},
                                   {"color", hex_colour({rgba[0], rgba[1], rgba[2]})},
                                   {"alpha", std::to_string(rgba[3])},
                                   {"label", plain_text(label)}}) +
           "\n";
}

/// What all renderers of a raster say.
Attributes renderer(const char* type) {
    return {{"type", type}, {"band", "1"}, {"alphaBand", "-1"}, {"opacity", opacity_text(style_opacity)}};
}

Markup classes(const LayerSpec& spec) {
    Markup entries;
    for (const Category& category : spec.categories) {
        entries += entry("paletteEntry", std::to_string(category.value), category.rgba, category.name);
    }
    return " " +
           element("rasterrenderer", renderer("paletted"), element("colorPalette", "\n" + entries + " ")) +
           "\n";
}

Markup steps(const LayerSpec& spec) {
    const std::string least = number(spec.steps.front().up_to),
                      most = number(spec.steps[spec.steps.size() - 2].up_to);
    Attributes of_renderer = renderer("singlebandpseudocolor");
    of_renderer.insert(of_renderer.end(), {{"classificationMin", least}, {"classificationMax", most}});
    Markup items;
    for (const Step& step : spec.steps) {
        items += entry("item", number(step.up_to), step.rgba, step.name);
    }
    return " " +
           element("rasterrenderer", of_renderer,
                   element("rastershader", element("colorrampshader",
                                                   {{"colorRampType", "DISCRETE"},
                                                    {"classificationMode", "1"},
                                                    {"clip", "0"},
                                                    {"minimumValue", least},
                                                    {"maximumValue", most}},
                                                   "\n" + items + " "))) +
           "\n";
}

using Settings = std::vector<std::pair<std::string_view, std::string>>;

/// @param within  a symbol that it repeats
Markup symbol_layer(std::string_view kind, const Settings& settings, const Markup& within = {}) {
    Markup properties;
    for (const auto& [name, value] : settings) {
        properties += empty_element("prop", {{"k", name}, {"v", value}});
    }
    return element("layer", {{"class", kind}, {"enabled", "1"}}, properties + within);
}

std::string rgba(const Colour& colour, int alpha) {
    return std::to_string(colour[0]) + "," + std::to_string(colour[1]) + "," + std::to_string(colour[2]) +
           "," + std::to_string(alpha);
}

/// The brushes that the hatches are.
std::string brush(Hatch hatch) {
    switch (hatch) {
    case Hatch::falling:
        return "f_diagonal";
    case Hatch::dotted:
        return "dense6";
    case Hatch::level:
        return "horizontal";
    case Hatch::rising:
        return "b_diagonal";
    case Hatch::upright:
        return "vertical";
    case Hatch::crossed:
        return "diagonal_x";
    case Hatch::gridded:
        return "cross";
    case Hatch::solid:
    case Hatch::stippled:
    case Hatch::sparse:
    case Hatch::none:
        break;
    }
    return "no";
}

constexpr Colour ink = {34, 34, 34};

Markup polygon_symbol(const FeatureLook& look) {
    const bool filled = look.filled;
    const std::string pattern = brush(look.hatch);
    Markup symbol;
    if (filled) {
        symbol +=
            symbol_layer("SimpleFill", {{"color", rgba(look.colour, static_cast<int>(255 * style_opacity))},
                                        {"style", "solid"},
                                        {"outline_style", "no"}});
    }
    if (pattern != "no") {
        symbol += symbol_layer("SimpleFill", {{"color", rgba(filled ? ink : look.colour, filled ? 120 : 255)},
                                              {"style", pattern},
                                              {"outline_style", "no"}});
    }
    return symbol +
           symbol_layer("SimpleFill", {{"style", "no"},
                                       {"outline_color", rgba(filled ? ink : look.colour, 255)},
                                       {"outline_width", filled ? "0.3" : "0.5"},
                                       {"outline_style", look.hatch == Hatch::none ? "dash" : "solid"}});
}

/// Shapes tell the answers apart where colours cannot.
std::string marker(Hatch hatch) {
    switch (hatch) {
    case Hatch::solid:
        return "circle";
    case Hatch::level:
        return "square";
    case Hatch::dotted:
        return "triangle";
    case Hatch::rising:
        return "pentagon";
    case Hatch::upright:
        return "cross_fill";
    case Hatch::crossed:
        return "star";
    case Hatch::gridded:
        return "hexagon";
    default:
        return "diamond";
    }
}

Markup point_symbol(const FeatureLook& look) {
    return symbol_layer("SimpleMarker", {{"name", marker(look.hatch)},
                                         {"color", rgba(look.colour, 255)},
                                         {"outline_color", "255,255,255,255"},
                                         {"outline_width", "0.4"},
                                         {"size", "3.2"}});
}

/// Dashes on a white ground, and heads that say which way is in.
Markup line_symbol(const FeatureLook& look, const std::string& number) {
    const std::string colour = rgba(look.colour, 255);
    const Markup head = element("symbol", {{"name", "@" + number + "@2"}, {"type", "marker"}, {"alpha", "1"}},
                                symbol_layer("SimpleMarker", {{"name", "filled_arrowhead"},
                                                              {"color", colour},
                                                              {"outline_color", "255,255,255,255"},
                                                              {"outline_width", "0.2"},
                                                              {"size", "3"}}));
    return symbol_layer("SimpleLine", {{"line_color", "255,255,255,200"},
                                       {"line_width", "1.4"},
                                       {"line_style", "solid"},
                                       {"capstyle", "round"},
                                       {"joinstyle", "round"}}) +
           symbol_layer("SimpleLine", {{"line_color", colour},
                                       {"line_width", "0.6"},
                                       {"use_custom_dash", "1"},
                                       {"customdash", "4;1.5"},
                                       {"customdash_unit", "MM"},
                                       {"joinstyle", "round"}}) +
           symbol_layer(
               "MarkerLine",
               {{"placement", "interval"}, {"interval", "18"}, {"offset_along_line", "9"}, {"rotate", "1"}},
               head);
}

std::string filter(const FeatureLook& look) {
    if (look.value.empty()) return "ELSE";
    return look.is_number ? "\"" + look.column + "\" = " + look.value
                          : "\"" + look.column + "\" LIKE '" + look.value + "%'";
}

} // namespace

Markup qml_of(const LayerSpec& spec) { return document(qml_renderer_of(spec)); }

Markup qml_of(VectorLayer::Shape shape, const std::vector<FeatureLook>& looks) {
    return document(qml_renderer_of(shape, looks));
}

Markup qml_renderer_of(const LayerSpec& spec) {
    return element("pipe", "\n" + (spec.categories.empty() ? steps(spec) : classes(spec))) + "\n";
}

Markup qml_renderer_of(VectorLayer::Shape shape, const std::vector<FeatureLook>& looks) {
    const auto symbol = [shape](const FeatureLook& look, const std::string& number) {
        return shape == VectorLayer::Shape::point  ? point_symbol(look)
               : shape == VectorLayer::Shape::line ? line_symbol(look, number)
                                                   : polygon_symbol(look);
    };
    const char* const type = shape == VectorLayer::Shape::point  ? "marker"
                             : shape == VectorLayer::Shape::line ? "line"
                                                                 : "fill";
    Markup rules, symbols;
    for (std::size_t i = 0; i < looks.size(); ++i) {
        const std::string number = std::to_string(i);
        rules += "  " +
                 empty_element("rule", {{"key", "rule" + number},
                                        {"symbol", number},
                                        {"filter", filter(looks[i])},
                                        {"label", looks[i].label}}) +
                 "\n";
        symbols +=
            "  " +
            element("symbol", {{"name", number}, {"type", type}, {"alpha", "1"}}, symbol(looks[i], number)) +
            "\n";
    }
    const Markup content = "\n " + element("rules", {{"key", "rules"}}, "\n" + rules + " ") + "\n " +
                           element("symbols", "\n" + symbols + " ") + "\n";
    return element("renderer-v2", {{"type", "RuleRenderer"}}, content) + "\n";
}

void write_styles(const std::filesystem::path& folder, const LayerSpec& spec, bool beside_tiles) {
    const std::filesystem::path base = std::filesystem::absolute(folder).lexically_normal() / spec.name;
    write_text_file(base.string() + (beside_tiles ? ".tif.qml" : ".qml"), qml_of(spec).str());
    write_text_file(base.string() + ".sld", sld_of(spec).str());
}

void write_styles(const std::filesystem::path& folder, const VectorLayer::Spec& spec,
                  const std::vector<FeatureLook>& looks) {
    const std::filesystem::path base = std::filesystem::absolute(folder).lexically_normal() / spec.name;
    write_text_file(base.string() + ".qml", qml_of(spec.shape, looks).str());
    write_text_file(base.string() + ".sld", sld_of(spec, looks).str());
}

} // namespace swingroom
