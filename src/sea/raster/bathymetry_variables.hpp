#pragma once

#include "swingroom/base/fact.hpp"
#include "swingroom/sea/bathymetry.hpp"

#include <gdal_priv.h>

#include <vector>

namespace swingroom::bathymetry {

/// Of a NetCDF file that holds several grids the one that was asked for, or the only one that says it is the
/// sea floor's; any other file as it is.
/// @param notes  gets which one was taken without being asked for
/// @throws UnsaidError  none or several say so   @throws InputError  another one asked for than there is
GDALDatasetUniquePtr one_variable(GDALDatasetUniquePtr dataset, const BathymetryRequest& request,
                                  std::vector<Fact>& notes);

} // namespace swingroom::bathymetry
