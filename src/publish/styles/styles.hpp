#pragma once

#include "swingroom/base/markup.hpp"
#include "swingroom/publish/raster_layer.hpp"
#include "swingroom/publish/vector_layer.hpp"

#include "publish/vector/feature_looks.hpp"

#include <filesystem>
#include <vector>

namespace swingroom {

/// How much of what lies below shows through is what the palette was measured with: 40 %.
inline constexpr double style_opacity = 0.6;

/// How a layer is drawn, as QGIS takes it from a NAME.qml beside the file; its legend has a line for each
/// class or step, and no more.
/// @param spec  with categories or steps
Markup qml_of(const LayerSpec& spec);
Markup qml_of(VectorLayer::Shape shape, const std::vector<FeatureLook>& looks);

/// What stands in these within the document: the renderer of a layer, as projects of QGIS have it too.
Markup qml_renderer_of(const LayerSpec& spec);
Markup qml_renderer_of(VectorLayer::Shape shape, const std::vector<FeatureLook>& looks);

/// The same as an OGC Styled Layer Descriptor 1.0.0, for servers and other viewers.
Markup sld_of(const LayerSpec& spec);
Markup sld_of(const VectorLayer::Spec& spec, const std::vector<FeatureLook>& looks);

/// Writes NAME.qml and NAME.sld.   @throws IoError
/// @param beside_tiles  there is a NAME.mbtiles too. QGIS would take NAME.qml for that as well, whose pixels
///                      are colours and no classes, and show whatever their red stands for: NAME.tif.qml it
///                      is then
void write_styles(const std::filesystem::path& folder, const LayerSpec& spec, bool beside_tiles);
void write_styles(const std::filesystem::path& folder, const VectorLayer::Spec& spec,
                  const std::vector<FeatureLook>& looks);

} // namespace swingroom
