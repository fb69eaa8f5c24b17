#pragma once

#include "swingroom/publish/provenance.hpp"

#include "publish/vector/feature_looks.hpp"
#include "publish/vector/ogr_files.hpp"

#include <filesystem>
#include <vector>

namespace swingroom {

/// Writes points, lines or polygons as KML 2.2 (OGC 07-147r2), feature by feature, in a folder for each look
/// that occurs: each with its name, its figures in words, its look, all columns, and its place. Written here,
/// as GDAL's driver keeps the whole document in memory and, when it closes it, copies all of it once or more
/// for every feature: with some thousand features that takes hours. Read back through that driver.
/// @throws IoError
void write_kml(const std::filesystem::path& path, const FinishedFeatures& features,
               const std::vector<FeatureLook>& looks, const Provenance& provenance);

} // namespace swingroom
