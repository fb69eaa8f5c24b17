#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/sea/georeference.hpp"

#include "publish/raster/tile_pyramid.hpp"

#include <cstddef>
#include <vector>

namespace swingroom {

/// Which cells the pixels of a map tile stand for: the same for all layers of a grid.
struct PixelCells {
    /// The cells that a pixel touches; none where some of them are unknown or beyond the raster.
    struct Patch {
        std::size_t first = 0;  ///< of its cells, among those of the window, row by row
        int cols = 0, rows = 0; ///< of cells
        [[nodiscard]] bool empty() const { return cols == 0; }
    };

    Window window;             ///< the cells that all pixels together touch; may be empty
    std::vector<Patch> pixels; ///< row by row; none if the window is empty
};

/// @param grid  whose cells they are   @param georeference  of that   @param tile  of any zoom
PixelCells pixel_cells(const Grid& grid, const Georeference& georeference, TileAddress tile);

} // namespace swingroom
