#pragma once

#include "swingroom/sea/georeference.hpp"
#include "swingroom/sea/hazard_extent.hpp"

#include <cstddef>
#include <span>
#include <string>
#include <vector>

namespace swingroom {

// Windows in degrees around what is given in metres on the ground. Each surely contains what it is made
// around, and is outwards to a whole millionth of a degree, which is 0.11 m at the most. A west lies in
// [-180, 180); where a window reaches around a pole it reaches around the earth.

/// Around a circle: all that lies within a geodesic's length of a position.
/// @param radius_m  > 0
LonLatBox window_around(LonLat centre, double radius_m);

/// How long a way is whose legs are geodesics.
/// @param way  its points in order
double length_of_way_m(std::span<const LonLat> way);

/// Around the corridor along a way whose legs are geodesics: all that lies within a geodesic's length of any
/// point of it. One window for each of so many stretches of the same length; together they contain it all.
/// @param way  one point or more   @param within_m  > 0   @param stretches  1 or more
std::vector<LonLatBox> windows_along(std::span<const LonLat> way, double within_m, std::size_t stretches);

/// "-29.103512,47.912000,-28.957371,48.000004": as the option for a window takes it. One across 180 degrees
/// has an east below its west.
std::string bounds_text(const LonLatBox& window);

} // namespace swingroom
