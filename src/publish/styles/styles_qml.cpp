#include "publish/folder/text_file.hpp"
#include "publish/styles/colour_text.hpp"
#include "publish/styles/html.hpp"
#include "publish/styles/marked_up.hpp"
#include "publish/styles/styles.hpp"

#include <cmath>
#include <string_view>
#include <utility>

namespace swingroom {
namespace {

constexpr std::string_view head =
    "<!DOCTYPE qgis PUBLIC 'http://mrcc.com/qgis.dtd' 'SYSTEM'>\n<qgis version=\"3.22\" "
    "styleCategories=\"Symbology\">\n";

std::string number(double value) {
    return std::isfinite(value) ? std::to_string(static_cast<int>(value)) : "inf";
}

std::string entry(const char* element, const std::string& value, const std::array<std::uint8_t, 4>& rgba,
                  const std::string& label) {
    return std::string("  <") + element + " value=\"" + value + "\" color=\"" +
           hex_colour({rgba[0], rgba[1], rgba[2]}) + "\" alpha=\"" + std::to_string(rgba[3]) + "\" label=\"" +
           html_text(plain_text(label)) + "\"/>\n";
}

std::string classes(const LayerSpec& spec) {
    std::string text = " <rasterrenderer type=\"paletted\" band=\"1\" alphaBand=\"-1\" opacity=\"" +
                       opacity_text(style_opacity) + "\"><colorPalette>\n";
    for (const Category& category : spec.categories)
        text += entry("paletteEntry", std::to_string(category.value), category.rgba, category.name);
    return text + " </colorPalette></rasterrenderer>\n";
}

std::string steps(const LayerSpec& spec) {
    const std::string least = number(spec.steps.front().up_to),
                      most = number(spec.steps[spec.steps.size() - 2].up_to);
    std::string text =
        " <rasterrenderer type=\"singlebandpseudocolor\" band=\"1\" alphaBand=\"-1\" opacity=\"" +
        opacity_text(style_opacity) + "\" classificationMin=\"" + least + "\" classificationMax=\"" + most +
        "\"><rastershader><colorrampshader colorRampType=\"DISCRETE\" "
        "classificationMode=\"1\" clip=\"0\" minimumValue=\"" +
        least + "\" maximumValue=\"" + most + "\">\n";
    for (const Step& step : spec.steps)
        text += entry("item", number(step.up_to), step.rgba, step.name);
    return text + " </colorrampshader></rastershader></rasterrenderer>\n";
}

using Settings = std::vector<std::pair<std::string_view, std::string>>;

std::string symbol_layer(std::string_view kind, const Settings& settings) {
    std::string text = "<layer class=\"" + std::string(kind) + "\" enabled=\"1\">";
    for (const auto& [name, value] : settings)
        text += "<prop k=\"" + std::string(name) + "\" v=\"" + value + "\"/>";
    return text + "</layer>";
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
    case Hatch::solid:
    case Hatch::none:
        break;
    }
    return "no";
}

constexpr Colour ink = {34, 34, 34};

/// Yes-areas are filled and have their pattern in ink; exclusions are outline and pattern alone, so that what
/// they lie on is seen.
std::string polygon_symbol(const FeatureLook& look) {
    const bool filled = look.column == "verdict";
    const std::string pattern = brush(look.hatch);
    std::string text;
    if (filled)
        text +=
            symbol_layer("SimpleFill", {{"color", rgba(look.colour, static_cast<int>(255 * style_opacity))},
                                        {"style", "solid"},
                                        {"outline_style", "no"}});
    if (pattern != "no")
        text += symbol_layer("SimpleFill", {{"color", rgba(filled ? ink : look.colour, filled ? 120 : 255)},
                                            {"style", pattern},
                                            {"outline_style", "no"}});
    return text +
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
    default:
        return "diamond";
    }
}

std::string point_symbol(const FeatureLook& look) {
    return symbol_layer("SimpleMarker", {{"name", marker(look.hatch)},
                                         {"color", rgba(look.colour, 255)},
                                         {"outline_color", "255,255,255,255"},
                                         {"outline_width", "0.4"},
                                         {"size", "3.2"}});
}

std::string filter(const FeatureLook& look) {
    if (look.value.empty()) return "ELSE";
    return look.is_number ? "\"" + look.column + "\" = " + look.value
                          : "\"" + look.column + "\" LIKE '" + look.value + "%'";
}

} // namespace

std::string qml_of(const LayerSpec& spec) {
    return std::string(head) + "<pipe>\n" + (spec.categories.empty() ? steps(spec) : classes(spec)) +
           "</pipe>\n</qgis>\n";
}

std::string qml_of(VectorLayer::Shape shape, const std::vector<FeatureLook>& looks) {
    const bool points = shape == VectorLayer::Shape::point;
    std::string rules, symbols;
    for (std::size_t i = 0; i < looks.size(); ++i) {
        const std::string number = std::to_string(i);
        rules += "  <rule key=\"rule" + number + "\" symbol=\"" + number + "\" filter=\"" +
                 html_text(filter(looks[i])) + "\" label=\"" + html_text(looks[i].label) + "\"/>\n";
        symbols += "  <symbol name=\"" + number + "\" type=\"" + (points ? "marker" : "fill") +
                   "\" alpha=\"1\">" + (points ? point_symbol(looks[i]) : polygon_symbol(looks[i])) +
                   "</symbol>\n";
    }
    return std::string(head) + "<renderer-v2 type=\"RuleRenderer\">\n <rules key=\"rules\">\n" + rules +
           " </rules>\n <symbols>\n" + symbols + " </symbols>\n</renderer-v2>\n</qgis>\n";
}

void write_styles(const std::filesystem::path& folder, const LayerSpec& spec, bool beside_tiles) {
    const std::filesystem::path base = std::filesystem::absolute(folder).lexically_normal() / spec.name;
    write_text_file(base.string() + (beside_tiles ? ".tif.qml" : ".qml"), qml_of(spec));
    write_text_file(base.string() + ".sld", sld_of(spec));
}

void write_styles(const std::filesystem::path& folder, const VectorLayer::Spec& spec,
                  const std::vector<FeatureLook>& looks) {
    const std::filesystem::path base = std::filesystem::absolute(folder).lexically_normal() / spec.name;
    write_text_file(base.string() + ".qml", qml_of(spec.shape, looks));
    write_text_file(base.string() + ".sld", sld_of(spec, looks));
}

} // namespace swingroom
