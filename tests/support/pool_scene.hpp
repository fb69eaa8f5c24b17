#pragma once

#include "support/overlay_scene.hpp"

#include <memory>
#include <utility>
#include <vector>

namespace swingroom::testing_support {

inline constexpr int pool_cols = 60, pool_rows = 30;
/// A cell amid the pool, and one amid the sea.
inline constexpr GridCell in_pool{45, 15}, at_sea{15, 15};

/// Two waters 6 m deep side by side, of cells of 10 m, parted by a wall of so much depth: where it is
/// negative it dries by as much. Around the one in the east, the pool, land stands as high as no water does.
inline OverlayScene pool_behind(float wall_m, WaterLevels levels = {0.5, 2.5}) {
    constexpr double cell_m = 10;
    OverlayScene scene;
    std::vector<float> depth_m;
    for (int row = 0; row < pool_rows; ++row) {
        for (int col = 0; col < pool_cols; ++col) {
            const bool pool = col >= 31 && col < pool_cols - 1 && row >= 1 && row < pool_rows - 1;
            depth_m.push_back(col < 30 || pool ? 6.0F : col == 30 ? wall_m : -20.0F);
        }
    }
    const Grid grid = utm_grid(pool_cols, pool_rows, cell_m);
    scene.depths = memory_bathymetry(grid, std::move(depth_m), DepthUncertainty::none());
    scene.metric = GroundMetric::uniform(grid.rows, cell_m, cell_m);
    scene.hazards = std::make_unique<HazardField>(std::vector<Hazard>(), grid.extent(), scene.metric);
    scene.tables =
        std::make_unique<TackleTables>(read_trial_boat(trial_boats().front()), Conditions{levels, 8, 0}, 1.0);
    scene.seabed = Seabed::sand;
    return scene;
}

} // namespace swingroom::testing_support
