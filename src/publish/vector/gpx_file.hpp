#pragma once

#include "swingroom/publish/provenance.hpp"

#include "publish/vector/ogr_files.hpp"

#include <filesystem>

namespace swingroom {

/// Writes points as waypoints of GPX 1.1: a short name, the figures in words, the caution. Written here, as
/// GDAL's driver takes points in any reference system for degrees, drops fields that GPX has not with no more
/// than a message, draws its bounds across the world at the antimeridian and has no place for the caution of
/// a file. Read back through that driver.
/// @throws IoError  @throws std::logic_error  a point that is not in degrees
void write_gpx(const std::filesystem::path& path, const FinishedFeatures& points,
               const Provenance& provenance);

} // namespace swingroom
