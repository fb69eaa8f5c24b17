#pragma once

#include "swingroom/room/hazard.hpp"

#include "sea/cells/enc_cells.hpp"
#include "sea/hazards/placer.hpp"

#include <vector>

namespace swingroom {

/// Bounds of a grid in longitude and latitude, longitudes continuous, and a little more.
OGREnvelope lonlat_bounds(const Grid& grid);

/// What open_beside() takes off the edges of what is open, to be given back as slack by whoever places it.
inline constexpr double seam_m = 0.03;

/// What of an area around the grid a geometry in longitude and latitude leaves open, in whichever turn of 360
/// degrees brings it there; nothing if it covers all of it. Seams between neighbouring areas that a rounded
/// coordinate leaves open, centimetres wide, are closed.
OwnedGeometry open_beside(const OGRGeometry& covered, const Grid& grid);

/// WGS 84, longitude first: the CRS of all cells.
OGRSpatialReference wgs84_lonlat();

/// What no cell covers, in grid space. Nothing without cells, or if none of them says what it covers.
std::vector<Hazard> chart_gaps(const EncCells& cells, const Placer& placer);

} // namespace swingroom
