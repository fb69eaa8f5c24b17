#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/sea/georeference.hpp"

#include "publish/raster/tile_pyramid.hpp"

#include <vector>

namespace swingroom {

/// Which cells the pixels of a map tile stand for: the same for all layers of a grid.
struct PixelCells {
    Window window; ///< the cells that all pixels together touch; may be empty
    /// The cells that each pixel touches, for each row of pixels from the north; empty where some of them are
    /// unknown or beyond the raster. No rows if the window is empty.
    std::vector<PixelWindows> rows;
};

/// @param grid  whose cells they are   @param georeference  of that   @param tile  of any zoom
PixelCells pixel_cells(const Grid& grid, const Georeference& georeference, TileAddress tile);

} // namespace swingroom
