#pragma once

#include "swingroom/base/grid.hpp"

#include "publish/raster/tiff_tags.hpp"
#include "publish/raster/tile_codec.hpp"

#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <vector>

namespace swingroom {

/// An image of the file: the raster itself, or one of its overviews.
struct CogLevel {
    Window extent;                         ///< in cells of its own, from (0, 0) on
    std::vector<std::uint32_t> tile_bytes; ///< of each tile, row by row; its frame is not counted
    std::uint64_t first_byte = 0; ///< of its first tile, frame and all; the others follow without gaps
};

/// What stands around each tile: the size of it before (four bytes, the lowest first), its last four bytes
/// once more behind, by which GDAL tells whether somebody else has rewritten it.
inline constexpr std::size_t frame_before = 4, frame_behind = 4, frame_bytes = frame_before + frame_behind;

/// The extents of the raster and its overviews, which halve until the whole raster fits a tile.
std::vector<Window> level_extents(Window full);
/// How many tiles an extent has across and down.
int tiles_across(Window extent);
int tiles_down(Window extent);

/// How the beginning of a file is written.
struct CogHead {
    const std::vector<TiffTag>& model; ///< of layer_model()
    TileCoding coding;
    bool big = false; ///< BigTIFF, for files that may pass 4 GB

    /// Header, GDAL's note on the layout and all directories, the raster's first and the smallest overview's
    /// last. As long whatever the bytes of tiles and where they are.
    [[nodiscard]] std::string bytes(std::span<const CogLevel> levels) const;
};

/// Whether tiles of the cells of all levels may need BigTIFF, however they compress: the same for every way
/// of writing them.
bool may_pass_4_gb(Window full, int bytes_of_cell);

} // namespace swingroom
