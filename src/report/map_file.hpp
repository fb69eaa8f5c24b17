#pragma once

#include "swingroom/base/markup.hpp"
#include "swingroom/report/report.hpp"

#include "publish/folder/finished_layers.hpp"
#include "report/map_picture.hpp"
#include "report/run_maps.hpp"

#include <vector>

namespace swingroom {

/// The map by itself as SVG, with its legend, insets and the caution; the provenance in its metadata.
/// @param spots  in the order of the layer, at least as many as there are insets
/// @param colours  of day or night
Markup map_sheet(const RunMaps& maps, const ReportInput& input, const std::vector<FinishedFeature>& spots,
                 MapColours colours);

} // namespace swingroom
