#pragma once

#include "swingroom/overlay/overlay.hpp"
#include "swingroom/publish/formats.hpp"

#include <cstdint>
#include <vector>

namespace swingroom {

/// The layers of which parts keep tiles: all rasters that are written but that of the way in, which is made
/// of the whole.
std::vector<Layer> layers_of_parts(LayerSet wanted, const Outputs& outputs);

/// All that decides how the blocks of a run are kept, and how many anchorages they count, as bytes.
std::vector<std::uint8_t> terms_of_parts(const OverlayJob& job, const Outputs& outputs);

} // namespace swingroom
