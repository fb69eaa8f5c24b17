#pragma once

#include "sea/gdal/raster_references.hpp"

#include <gdal_priv.h>

#include <string>

/// What a virtual raster may lose of its parts.
namespace swingroom::bathymetry {

/// A virtual raster copies the numbers of its parts and only what it declares itself counts as missing: a
/// part's own mark would be a depth, its blocks that were never written depths of zero.
/// @param depth_band  1-based
/// Nor does it know what its parts' numbers stand for, unless it scales them itself wherever it takes them.
/// @throws InputError  a part whose missing cells the mosaic would not know for such, or that has another
/// scale
void refuse_misread_parts(GDALDataset& mosaic, int depth_band, const References& references,
                          const std::string& file);

} // namespace swingroom::bathymetry
