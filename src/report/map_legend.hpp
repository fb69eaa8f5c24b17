#pragma once

#include "swingroom/base/markup.hpp"

#include "report/report_map.hpp"

#include <string>
#include <vector>

namespace swingroom {

/// A sign of a map and what it means.
struct LegendItem {
    /// SVG in a box of legend_width by legend_height units.
    Markup sign;
    std::string words;
};
inline constexpr int legend_width = 44, legend_height = 24;

/// What is on a map and nothing else, in the order in which it is looked for.
std::vector<LegendItem> map_legend(const MapShown& shown, const Measures& measures, MapColours colours);

/// The same as a list of a page.
Markup legend_list(const std::vector<LegendItem>& items);

} // namespace swingroom
