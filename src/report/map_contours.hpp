#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/base/measures.hpp"
#include "swingroom/overlay/map_planes.hpp"

#include "report/map_frame.hpp"

#include <string>
#include <vector>

namespace swingroom {

/// Lines of one depth at low water.
struct Contour {
    /// The depth in the unit asked for, a whole number: "10".
    std::string label;
    /// In the picture, the longest first.
    std::vector<std::vector<GridPoint>> lines;
};

/// Lines of a few round depths that occur, on the side that is safe: through the least depths of what a pixel
/// stands for. Thinned to what can be seen, so that their size is bounded.
/// @param planes  of what the frame shows, from the same first cell
std::vector<Contour> depth_contours(const MapPlanes& planes, const MapFrame& frame, const Measures& measures);

} // namespace swingroom
