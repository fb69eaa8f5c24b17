#pragma once

#include "swingroom/base/markup.hpp"

#include "report/map_frame.hpp"

namespace swingroom {

/// What belongs around a map: all of it is SVG in the units of the frame.

/// Lines of longitude and latitude at round minutes, at most seven of each.
struct Graticule {
    /// Over the whole map.
    Markup lines;
    Markup names; ///< in the margin along the left and the upper edge, where they hide no mark
};
/// Of the area that the frame shows; names are in degrees and minutes.
Graticule graticule(const MapFrame& frame);

/// How wide the margin is that the names want: their letters are largest on a phone.
inline constexpr double margin_units = 34;

/// How much room below the map is wanted for the scale bars and the arrow.
inline constexpr double strip_units = 96;
/// The least width of the strip.
inline constexpr double strip_width = 460;

/// Scale bars in metres and in nautical miles, and an arrow to true north, below the map.
Markup scale_strip(const MapFrame& frame);

/// The greatest of 1, 2, 5, 10, 20 ... times a power of ten that is not above `most`.   @pre most > 0
double round_length(double most);

} // namespace swingroom
