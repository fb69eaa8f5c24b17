#pragma once

#include "swingroom/sea/bathymetry.hpp"

#include <memory>
#include <string>

namespace swingroom {

/// A raster of levels above chart datum, as StayLevels takes it.   @throws InputError, IoError  as
/// open_levels
std::unique_ptr<DepthSource> open_level_raster(const std::string& file);

} // namespace swingroom
