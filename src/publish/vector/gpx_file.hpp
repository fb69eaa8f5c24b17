#pragma once

#include "swingroom/publish/provenance.hpp"

#include "publish/vector/feature_looks.hpp"
#include "publish/vector/ogr_files.hpp"

#include <cstddef>
#include <filesystem>
#include <vector>

namespace swingroom {

/// A closed outline of a track has no more points: old plotters keep few, and cut off the rest.
inline constexpr std::size_t most_points_of_outline = 500;

/// Writes points as waypoints of GPX 1.1, lines as routes with a waypoint on the shoalest place of each, and
/// polygons as tracks: each ring one of its own that ends
/// where it starts, with fewer corners where there are too many, so that a zone only gets smaller and
/// whatever else only larger; a polygon without a place is left out. Each has its short name, the figures in
/// few words and in all of them, and what it is. Written here, as GDAL's driver takes points in any reference
/// system for degrees, drops fields that GPX has not with no more than a message, draws its bounds across the
/// world at the antimeridian and has no place for the caution of a file. Read back through that driver.
/// @param looks  their labels say what a feature is
/// @throws IoError  @throws std::logic_error  a point that is not in degrees
void write_gpx(const std::filesystem::path& path, const FinishedFeatures& features,
               const std::vector<FeatureLook>& looks, const Provenance& provenance);

} // namespace swingroom
