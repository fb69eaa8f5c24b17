#pragma once

#include "swingroom/sea/bathymetry.hpp"

#include <functional>
#include <memory>
#include <vector>

namespace swingroom {

/// Opens one of several rasters.
using OpenRaster = std::function<std::unique_ptr<DepthSource>(const BathymetryRequest&)>;
/// open_bathymetry() of several requests, each opened as somebody says.
std::unique_ptr<DepthSource> open_rasters(const std::vector<BathymetryRequest>& requests,
                                          const OpenRaster& open);

} // namespace swingroom
