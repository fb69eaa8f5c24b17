#pragma once

#include "swingroom/publish/formats.hpp"
#include "swingroom/publish/provenance.hpp"
#include "swingroom/publish/vector_layer.hpp"

#include "publish/vector/feature_looks.hpp"

#include <filesystem>
#include <vector>

namespace swingroom {

/// Writes a finished GeoJSON layer in the other formats of a set, beside it and from it, so that all say the
/// same: NAME.gpkg, NAME.fgb, NAME.kml, NAME.gpx. What is read of the GeoJSON is compared with what was
/// meant, and each file with that: as many features, every attribute, every corner in units of the seventh
/// decimal. FlatGeobuf alone has no features without a place: those too small to be drawn are not in it. Text
/// for viewers that take it for HTML (KML) or that is markup itself has < and > as U+2039 and U+203A, and its
/// blanks and control characters as single blanks.
/// @param looks  for KML, which carries its own   @throws IoError
void write_in_formats(const std::filesystem::path& folder, const VectorLayer::Finished& layer,
                      FormatSet formats, const std::vector<FeatureLook>& looks, const Provenance& provenance);

} // namespace swingroom
