#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/publish/provenance.hpp"
#include "swingroom/publish/raster_layer.hpp"

#include <filesystem>
#include <functional>
#include <string>
#include <vector>

namespace swingroom {

/// Writes finished layers as map tiles beside them: NAME.mbtiles, PNG with transparency in spherical
/// Mercator. A pixel of the highest zoom is the worst of all cells that its footprint touches, one of a lower
/// zoom the worst of four; unsurveyed water and what lies outside are transparent, and before anything worse.
/// Reads the layers tile by tile: memory does not grow with the raster. Where pixels lie is found once for
/// all layers.
/// @param specs  with categories or steps   @param grid  of the layers themselves
/// @param source  the raster's file, for messages   @param threads  on which pictures are made; the files are
/// the same for any number   @param step  called after each tile; may be empty
/// @throws IoError, InputError as pyramid_over
void write_tiles(const std::filesystem::path& folder, const std::vector<LayerSpec>& specs, const Grid& grid,
                 const std::string& source, const Provenance& provenance, int threads = 1,
                 const std::function<void()>& step = {});

/// Refuses what could not be written later.   @throws InputError as pyramid_over, and for too many cells a
/// side
void check_tiles(const Grid& grid, const std::string& source);

} // namespace swingroom
