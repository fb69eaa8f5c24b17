#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/room/hazard.hpp"
#include "swingroom/room/metric.hpp"

#include <cstdint>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

namespace swingroom::testing_support {

/// Points of grid space taken to a plane in metres, in place: true lengths in the whole scene.
using ToGround = std::function<void(std::vector<GridPoint>&)>;

/// What kind of grid a scene lies on.
struct SceneKind {
    std::string_view name;
    std::string_view crs;              ///< empty: the grid is a plane in metres itself
    double x = 0, y = 0;               ///< where scenes lie: middle of the range, in the CRS's own unit
    double x_spread = 0, y_spread = 0; ///< half the range
    double metres_per_unit = 1;        ///< of the CRS; 0: degrees
    bool square = false;
    bool south_up = false;
};
const std::vector<SceneKind>& scene_kinds();

/// A small piece of sea with shoals, gaps in the survey and hazards, on a grid of some kind.
struct Scene {
    std::string_view kind;
    std::uint64_t seed = 0;
    Grid grid;
    GroundMetric metric;
    double metric_loss = 0;    ///< greatest relative understatement of a cell's size by the metric
    bool exact_metric = false; ///< the grid is a plane in metres
    Plane<float> depth_m;      ///< NaN where unsurveyed
    double required_m = 3;     ///< depth that the hull requires
    std::vector<Hazard> hazards;
    double reach_m = 0; ///< rooms are asked for up to here
    std::vector<double> radii_m;
    ToGround to_ground;
    double oracle_error_m = 0; ///< how far a distance in the plane may be from the true one
    double diagonal_m = 0;     ///< of the largest cell

    /// Unsafe for that effect by depth or survey alone: a hull wants water, an anchor only a survey.
    [[nodiscard]] bool unsafe_depth(int col, int row, Effects effect) const;
    /// Seed, numbers and drawing: enough to see the scene again. # too shallow, ? unsurveyed; hazards in WKT
    /// of grid space.
    [[nodiscard]] std::string describe() const;
};

Scene random_scene(const SceneKind& kind, std::uint64_t seed);

} // namespace swingroom::testing_support
