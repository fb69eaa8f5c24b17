#pragma once

#include "swingroom/overlay/layers.hpp"
#include "swingroom/publish/raster_layer.hpp"

#include <string>
#include <vector>

namespace swingroom {

/// What the file of a raster layer is, with its look.
/// @param sources  of the depths
LayerSpec spec_of(Layer layer, const std::vector<std::string>& sources);

} // namespace swingroom
