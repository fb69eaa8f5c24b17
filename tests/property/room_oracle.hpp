#pragma once

#include "property/room_scene.hpp"
#include "support/geos.hpp"

#include <cstdint>
#include <vector>

namespace swingroom::testing_support {

/// The slow exact answer to a scene, for hulls or for what lies on the ground: cells as squares and hazards
/// as they are, in a plane in metres, with distances by GEOS. No transform, no burning, nothing of what it is
/// held against.
class RoomOracle {
public:
    RoomOracle(const Scene& scene, Effects effect);

    /// Least distance from a cell to anything unsafe by depth or survey, the outside of the raster included.
    [[nodiscard]] double to_depth_m(int col, int row) const;
    /// Least distance from a cell to the danger of any hazard: 0 inside a margin, infinity without hazards.
    [[nodiscard]] double to_hazards_m(int col, int row) const;
    /// The same, but negative where a margin reaches beyond the cell's nearest point: by how much.
    [[nodiscard]] double signed_gap_m(int col, int row) const;
    /// Least distance from a point of grid space to any danger, by depth or by hazard.
    [[nodiscard]] double to_danger_m(GridPoint p) const;
    /// Room by the words of the design, for all cells row by row: distance to the nearest unsafe cell, where
    /// a cell is unsafe, too, if the danger of a hazard comes within `beyond_m` of it (if negative: reaches
    /// into it by that much).
    [[nodiscard]] std::vector<double> room_by_cells_m(double beyond_m) const;

private:
    struct Danger {
        double margin_m;
        Geometry shape;
        Prepared prepared;
    };
    /// Cells are counted from one column and row outside the raster: what lies beyond stands for the outside.
    [[nodiscard]] std::size_t index(int col, int row) const;

    const Scene& scene_;
    Geos geos_;
    std::vector<Geometry> cells_;
    std::vector<bool> unsafe_depth_;
    Geometry unsafe_area_;
    Prepared unsafe_prepared_;
    std::vector<Danger> dangers_;
    std::vector<double> to_depth_m_, to_hazards_m_;
};

} // namespace swingroom::testing_support
