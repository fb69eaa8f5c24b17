#pragma once

#include "swingroom/base/grid.hpp"

#include <gdal_priv.h>

#include <cstdint>
#include <filesystem>
#include <vector>

namespace swingroom {

/// Reads all levels of a raster by GDAL, on several threads, tile by tile in the order of the file.
/// @param levels  extents that the raster and its overviews must have
/// @returns CellDigest of each level   @throws IoError  it cannot be read, or is of other extents
template <class T>
std::vector<std::uint64_t> digests_read_back(const std::filesystem::path& file,
                                             const std::vector<Window>& levels, int threads);

} // namespace swingroom
