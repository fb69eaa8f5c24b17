#pragma once

#include "swingroom/sea/bathymetry.hpp"

#include <gdal_priv.h>

#include <string>
#include <vector>

namespace swingroom::bathymetry {

/// Where the raster lies: its CRS, its own or said, and its geotransform.
/// @param notes  gets where the CRS is from
/// @throws InputError  without either, rotated, mirrored, or off the earth
Grid grid_of(GDALDataset& dataset, const BathymetryRequest& request, std::vector<std::string>& notes);

} // namespace swingroom::bathymetry
