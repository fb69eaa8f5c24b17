#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/publish/formats.hpp"
#include "swingroom/publish/provenance.hpp"
#include "swingroom/publish/raster_layer.hpp"
#include "swingroom/publish/vector_layer.hpp"

#include "publish/vector/feature_looks.hpp"

#include <filesystem>
#include <string_view>
#include <vector>

namespace swingroom {

/// The styles of a finished layer and its other formats.   @throws IoError
void derive_from(const VectorLayer& layer, const std::filesystem::path& folder, FormatSet formats,
                 bool styles, const std::vector<FeatureLook>& looks, const Provenance& provenance);

/// Removes the COG or GeoJSON that a layer's other files were made from, where it was not asked for, and
/// what stands beside it.   @throws IoError
void drop_unasked(const std::filesystem::path& folder, std::string_view layer, Content content,
                  FormatSet formats);

} // namespace swingroom
