#pragma once

#include "swingroom/base/grid.hpp"

#include <string>
#include <vector>

namespace swingroom {

/// A line of the picture as the data of an SVG path, in tenths of a unit, each step from the point before: a
/// third of the bytes that places would take.
std::string path_text(const std::vector<GridPoint>& line, bool closed);

/// The line without the vertices that stray from it by less than so many units (Douglas and Peucker).
std::vector<GridPoint> simplified(const std::vector<GridPoint>& line, double units);

/// The longer side of the line's box, in units.
double size_of(const std::vector<GridPoint>& line);

} // namespace swingroom
