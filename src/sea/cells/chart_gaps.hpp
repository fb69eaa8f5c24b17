#pragma once

#include "swingroom/room/shape.hpp"

#include "sea/cells/enc_cells.hpp"
#include "sea/ground/vicinity.hpp"
#include "sea/hazards/placer.hpp"

#include <vector>

namespace swingroom {

/// What open_beside() takes off the edges of what is open, to be given back as placement allowance by whoever
/// places it.
inline constexpr double seam_m = 0.03;

/// What of an area in longitude and latitude a geometry leaves open, in whichever turn of 360
/// degrees brings it there; nothing if it covers all of it. Seams between neighbouring areas that a rounded
/// coordinate leaves open, centimetres wide, are closed.
OwnedGeometry open_beside(const OGRGeometry& covered, const OGREnvelope& bounds);

/// WGS 84, longitude first: the CRS of all cells.
OGRSpatialReference wgs84_lonlat();

/// What no cell covers of what is near, in grid space. Nothing without cells, or if none of them says what it
/// covers.
std::vector<Shape> chart_gaps(const EncCells& cells, const Placer& placer, const Vicinity& near);

} // namespace swingroom
