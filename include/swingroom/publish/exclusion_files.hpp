#pragma once

#include "swingroom/publish/feature_names.hpp"
#include "swingroom/publish/formats.hpp"
#include "swingroom/publish/provenance.hpp"
#include "swingroom/publish/vector_layer.hpp"
#include "swingroom/sea/exclusions.hpp"

#include <cstdint>
#include <filesystem>
#include <map>
#include <string>

namespace swingroom {

/// Where the margin of each rule comes from, in its author's words, by the rule's name.
using MarginSources = std::map<std::string, std::string>;

/// Writes exclusions.geojson, and the same in the other formats, with styles if wanted: hazards grown by
/// their margins, one polygon or more for each.
/// @returns the layer of exclusions.geojson
/// @throws InputError, IoError
VectorLayer::Finished write_exclusions(const std::filesystem::path& folder, const HazardsToDraw& drawn,
                                       const MarginSources& margin_sources, const Provenance& provenance,
                                       FormatSet formats = Format::geojson, bool styles = true,
                                       const NamePrefix& prefix = {});

/// The same, dissolved by class: one polygon for what overlaps; the GeoJSON stays only if it is among the
/// formats, since nothing else is made from it.   @returns how many polygons there are
std::int64_t write_dissolved_exclusions(const std::filesystem::path& folder, const HazardsToDraw& drawn,
                                        const MarginSources& margin_sources, const Provenance& provenance,
                                        FormatSet formats = Format::geojson, bool styles = true,
                                        const NamePrefix& prefix = {});

} // namespace swingroom
