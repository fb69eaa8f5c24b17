#pragma once

#include "swingroom/overlay/layers.hpp"
#include "swingroom/publish/raster_layer.hpp"

#include <string>
#include <vector>

namespace swingroom {

/// What the file of a raster layer is, with its look.
/// @param names   what the classes of a run are called by: the sources of the depths; of boats_yes the boats
/// @param way_in  whether somebody looked for one: else no value tells of it
LayerSpec spec_of(Layer layer, const std::vector<std::string>& names, bool way_in = true);

} // namespace swingroom
