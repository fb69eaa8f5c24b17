#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/sea/hazard_rules.hpp"
#include "swingroom/sea/hazards.hpp"

#include <array>
#include <optional>
#include <string>
#include <vector>

namespace swingroom {

/// West, south, east, north in degrees of WGS 84; the east is more than the west, and may pass 180.
using LonLatBox = std::array<double, 4>;

/// A grid in degrees (EPSG:4326) over a box, for reading and drawing hazards where there is no raster. Its
/// cells are less than a metre wide on the ground, so that what is read into it strays by centimetres, and
/// about as high as a hundred metres; nobody should hold a plane of it.
/// @throws InputError  the box reaches so near to a pole that margins cannot be drawn
Grid grid_over(const LonLatBox& box, const std::string& source);

/// The same over all geometries of some vector files, in any CRS. The seam lies where the globe is emptiest,
/// so that what crosses the antimeridian stays together. A file that cannot be read, and one without a CRS,
/// are passed over: reading its hazards says what is wrong with it. Without any geometry it is a grid over
/// nothing in particular.
/// @throws InputError  no such file; as above
Grid grid_over_files(const std::vector<std::string>& files);

/// Hazards for themselves, where there is no raster.
struct HazardsAlone {
    Grid grid;       ///< the one that was given, or the one over the files; nobody should hold a plane of it
    HazardSet found; ///< in that grid's space
};
/// Opens each file once for both.
/// @param grid    none: one over all geometries of the files   @param source  what stands for a raster in
/// messages
/// @throws as grid_over_files and read_hazards
HazardsAlone read_hazards_alone(const std::vector<std::string>& files, const std::vector<HazardRule>& rules,
                                const std::optional<Grid>& grid, const std::string& source,
                                const HazardTerms& terms);

} // namespace swingroom
