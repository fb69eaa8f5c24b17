#pragma once

#include "swingroom/sea/bathymetry.hpp"

#include "sea/raster/bathymetry_values.hpp"

#include <memory>
#include <string>

namespace swingroom {

/// The heights of a raster in the place of depths: both planes hold the value, rounded down and up, NaN where
/// there is none. In metres unless the file states another unit. The format's own ideas of sign and datum do
/// not count.
/// @param range  what its values may be and are called, with the cure that is told of others
/// @param of_depths  the vertical datum that a raster of depths names, which the heights are above; a file
///                   that names another is refused. Empty: it names none
/// @throws InputError  as open_bathymetry(); also without a CRS, of several bands, with a unit that is not
///                     known, and, when it is read, a value beyond the range
/// @throws IoError     truncated or unreadable
std::unique_ptr<DepthSource> open_heights(const std::string& file, const bathymetry::HeightRange& range,
                                          const std::string& of_depths = {});

} // namespace swingroom
