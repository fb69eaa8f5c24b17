#pragma once

#include "swingroom/base/fact.hpp"
#include "swingroom/sea/bathymetry.hpp"

#include <gdal_priv.h>

#include <vector>

namespace swingroom::bathymetry {

/// What the fact is called that tells the CRS.
inline constexpr const char* crs_fact = "CRS";

/// Where the raster lies: its CRS, its own or said, and its geotransform.
/// @param notes  gets where the CRS is from
/// @throws InputError  without either, rotated, mirrored, or off the earth
Grid grid_of(GDALDataset& dataset, const BathymetryRequest& request, std::vector<Fact>& notes);

} // namespace swingroom::bathymetry
