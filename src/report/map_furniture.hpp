#pragma once

#include "swingroom/base/markup.hpp"
#include "swingroom/base/measures.hpp"

#include "report/map_frame.hpp"

namespace swingroom {

/// What belongs around a map: all of it is SVG in the units of the frame.

/// Lines of longitude and latitude at round minutes, at most seven of each.
struct Graticule {
    /// Over the whole map, with ticks along its edges.
    Markup lines;
    Markup names; ///< in the margin along the left and the upper edge, where they hide no mark
};
/// Of the area that the frame shows; names are in degrees and minutes.
Graticule graticule(const MapFrame& frame);

/// How wide the margin is that the names want: their letters are largest on a phone.
inline constexpr double margin_units = 34;

/// How much room below the map is wanted for the scale bars and the arrow.
constexpr double strip_units(bool inset) { return inset ? 62 : 96; }
/// The least width of the strip.
inline constexpr double strip_width = 460;

/// Scale bars in the unit asked for and in nautical miles, of an inset the first alone, and an arrow to true
/// north where that is not up.
Markup scale_strip(const MapFrame& frame, const Measures& measures, bool inset);

/// The greatest of 1, 2, 5, 10, 20 ... times a power of ten that is not above `most`.   @pre most > 0
double round_length(double most);

} // namespace swingroom
