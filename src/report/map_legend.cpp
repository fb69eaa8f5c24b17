#include "report/map_legend.hpp"

#include "swingroom/publish/palette.hpp"

#include "report/map_ways.hpp"

#include <array>
#include <cstddef>
#include <utility>

namespace swingroom {
namespace {

Markup path(const char* style, const char* d) { return empty_element("path", {{"class", style}, {"d", d}}); }

Markup frame() {
    return empty_element("rect", {{"class", "edge"},
                                  {"width", std::to_string(legend_width)},
                                  {"height", std::to_string(legend_height)}});
}

/// Lines as they cross the map; points amid the box.
Markup sample_of(Sign sign) {
    constexpr const char* line = "M2 16C14 4 28 22 42 9";
    switch (sign) {
    case Sign::cable:
        return path("s-cable", line) + path("s-cable over", line);
    case Sign::pipeline:
        return path("s-pipe", line) + path("s-pipe over", line);
    case Sign::overhead:
        return path("s-over", line) + path("s-over over", line);
    case Sign::track:
        return path("s-track", line) + path("s-track over", line);
    case Sign::area:
        return path("s-area", "M4 4H40V20H4Z");
    default:
        return element("g", {{"transform", "translate(22 12)"}}, sign_drawing(sign));
    }
}

} // namespace

std::vector<LegendItem> map_legend(const MapShown& shown, const Measures& measures, MapColours colours) {
    std::vector<LegendItem> items;
    for (std::size_t i = 0; i < map_class_count; ++i) {
        if (!shown.classes[i]) continue;
        items.push_back(
            {class_swatch(static_cast<MapClass>(i), legend_width, legend_height, colours) + frame(),
             std::string(map_class_words[i])});
    }
    if (shown.spots) {
        items.push_back(
            {element("g", {{"class", "circles"}},
                     empty_element("circle", {{"class", "swing"}, {"cx", "22"}, {"cy", "12"}, {"r", "11"}})) +
                 element("g", {{"class", "marks"}},
                         element("g", {{"class", "dot"}, {"transform", "translate(22 12)"}},
                                 empty_element("circle", {{"r", "3"}}))),
             "drop point and swinging circle, to scale"});
    }
    if (shown.shut) {
        items.push_back(
            {element(
                 "g", {{"class", "circles"}},
                 empty_element("circle", {{"class", "swing shut"}, {"cx", "22"}, {"cy", "12"}, {"r", "11"}})),
             "drop point to which no way leads"});
    }
    if (shown.discs) {
        items.push_back(
            {element("g", {{"class", "circles"}},
                     empty_element("circle", {{"class", "drop"}, {"cx", "22"}, {"cy", "12"}, {"r", "8"}})),
             "disc of the inner distance: let go anywhere in it"});
    }
    if (shown.ways) {
        items.push_back(
            {element("g", {{"class", "ways"}},
                     path("halo", "M2 12L42 12") + path("way", "M2 12L42 12") +
                         element("g", {{"transform", "translate(22 12) rotate(90)"}}, arrow_drawing())),
             "way in to one of the best places"});
    }
    if (shown.sills) {
        items.push_back({element("g", {{"class", "ways"}},
                                 path("halo", "M22 2L22 22") + path("way", "M22 2L22 22") +
                                     element("g", {{"transform", "translate(22 12)"}}, sill_drawing())),
                         "sill of a way in, below chart datum, " + std::string(unit_name(measures))});
    }
    if (shown.contours) {
        items.push_back({element("g", {{"class", "depths"}}, path("", "M2 16C14 4 28 22 42 9")),
                         "depth at low water, " + std::string(unit_name(measures))});
    }
    constexpr std::array<std::pair<const char*, const char*>, 3> margins = {
        {{"x-hull", "margin of what the hull must not meet"},
         {"x-ground", "margin of what anchor and chain must not meet"},
         {"x-drop", "edge of where letting go is not allowed"}}};
    for (const auto& [of, words] : margins) {
        if (shown.margins.contains(of)) {
            items.push_back({element("g", {{"class", "exclusions"}}, path(of, "M2 12L42 12")), words});
        }
    }
    for (const Sign sign : shown.signs) {
        items.push_back({element("g", {{"class", "signs"}}, sample_of(sign)),
                         std::string(sign_words[static_cast<std::size_t>(sign)])});
    }
    return items;
}

Markup legend_list(const std::vector<LegendItem>& items) {
    Markup list;
    for (const LegendItem& item : items) {
        const Markup sign = element(
            "svg",
            {{"xmlns", "http://www.w3.org/2000/svg"},
             {"class", "swatch map-sign"},
             {"aria-hidden", "true"},
             {"width", std::to_string(legend_width)},
             {"height", std::to_string(legend_height)},
             {"viewBox", "0 0 " + std::to_string(legend_width) + " " + std::to_string(legend_height)}},
            item.sign);
        list += element("li", sign + " " + text_element("span", item.words)) + "\n";
    }
    return element("ul", {{"class", "legend"}, {"aria-label", "Legend"}}, "\n" + list) + "\n";
}

} // namespace swingroom
