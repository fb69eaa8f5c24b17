#pragma once

#include "swingroom/base/fact.hpp"

#include <gdal_priv.h>

#include <string>
#include <vector>

namespace swingroom::bathymetry {

/// Where a dataset says how far its cells may lie beside their places, in cells: an item of this domain of
/// its metadata.
inline constexpr const char *slack_domain = "SWINGROOM", *slack_item = "SLACK_CELLS";

/// Reads a grid of points as text whose steps differ by rounding, in any order, which GDAL refuses, into
/// memory. Points left out are missing data.
/// @param file  as the user wrote it   @param name  as GDAL may see it
/// @param notes  gets how far its points lie beside their places
/// @throws InputError  the points are no grid within 1 % of a step, or too many
/// @throws IoError     unreadable
GDALDatasetUniquePtr open_rounded_xyz(const std::string& file, const std::string& name,
                                      std::vector<Fact>& notes);

} // namespace swingroom::bathymetry
