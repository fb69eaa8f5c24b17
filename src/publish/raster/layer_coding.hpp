#pragma once

#include "swingroom/overlay/layers.hpp"
#include "swingroom/publish/compression.hpp"

#include "publish/raster/tile_codec.hpp"

namespace swingroom {

/// How the tiles of layers are stored whose cells are of this type.
TileCoding coding_of(CellType type, Compression compression);

} // namespace swingroom
