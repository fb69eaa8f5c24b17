#pragma once

#include <gdal_priv.h>

#include <string>

/// What a virtual raster may lose of its parts.
namespace swingroom::bathymetry {

/// A virtual raster copies the numbers of its parts and only what it declares itself counts as missing: a
/// part's own mark would be a depth, its blocks that were never written depths of zero.
/// @param depth_band  1-based
/// @throws InputError  a part whose missing cells the mosaic would not know for such
void refuse_parts_with_hidden_gaps(GDALDataset& mosaic, int depth_band, const std::string& file);

} // namespace swingroom::bathymetry
