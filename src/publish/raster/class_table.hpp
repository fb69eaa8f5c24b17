#pragma once

#include "swingroom/publish/raster_layer.hpp"

#include <gdal_priv.h>

#include <vector>

namespace swingroom {

/// Gives a band the names and colours of its classes in the three ways that GDAL has: category names and the
/// colour table, and both again in a raster attribute table (Value, Name, Red, Green, Blue, Alpha).
/// Of these GeoTIFF itself holds the colour table, the others stand in the file's .aux.xml.
void put_classes(GDALRasterBand& band, const std::vector<Category>& categories);

} // namespace swingroom
