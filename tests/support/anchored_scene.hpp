#pragma once

#include "support/overlay_scene.hpp"

#include <memory>
#include <string>
#include <utility>
#include <vector>

namespace swingroom::testing_support {

/// Puts charted anchorages into a scene, which share cells with one another.
inline void add_anchorages(OverlayScene& scene) {
    std::vector<Hazard> hazards = scene.hazards->hazards();
    const Grid& grid = scene.depths->grid();
    for (const double part : {0.1, 0.45, 0.48}) { // the last ones lie amid the raster
        Hazard anchorage;
        anchorage.effects = effect::anchorage;
        anchorage.kind = "charted anchorage";
        anchorage.label = "ACHARE #" + std::to_string(hazards.size());
        anchorage.rings = {box(part * grid.cols, part * grid.rows, grid.cols * 0.1, grid.rows * 0.1)};
        hazards.push_back(std::move(anchorage));
    }
    scene.hazards = std::make_unique<HazardField>(std::move(hazards), grid.extent(), scene.metric);
}

} // namespace swingroom::testing_support
