#pragma once

#include "swingroom/base/grid.hpp"

#include <string>
#include <vector>

namespace swingroom {

/// A place in grid space (x in columns, y in rows) and everything within a margin of it. The files' reader
/// delivers it reprojected, repaired, its curves stroked, and straight between neighbouring vertices to
/// within `placement_allowance_m` on the ground.
struct Shape {
    double margin_m = 0; ///< everything within this distance on the ground belongs to it, >= 0
    double placement_allowance_m =
        0; ///< how far the stored geometry may lie from the true one; added to the margin
    std::vector<std::vector<GridPoint>> paths; ///< points (one vertex) and lines (two or more)
    std::vector<std::vector<GridPoint>> rings; ///< polygon rings, first vertex repeated last; even-odd inside

    /// How far from the stored geometry a cell is still touched, in metres on the ground.
    [[nodiscard]] double reach_m() const { return margin_m + placement_allowance_m; }
};

/// @param name  of the shape, for the message
/// @throws InputError  a vertex that is not finite or 1e12 cells away, a margin that is no length
void require_usable(const Shape& shape, const std::string& name);

} // namespace swingroom
