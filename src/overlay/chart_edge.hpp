#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/room/hazard_field.hpp"
#include "swingroom/room/metric.hpp"

#include <cstddef>
#include <vector>

namespace swingroom {

/// Where charts end on a grid that was made for them. Outside are the cells that no chart covers wholly and
/// that hang together, by edges, with the grid's border; what lies beyond the grid is outside, too. A gap
/// between charts that does not is none of the outside: there is a hole in what is known. Memory: by the runs
/// of such cells in the rows, which are few, and by the cells along the edge.
class ChartEdge {
public:
    /// @param hazards  what no chart covers is among them, as effect::uncharted   @param extent  of the grid
    ChartEdge(const HazardField& hazards, Window extent);

    [[nodiscard]] bool outside(int col, int row) const;
    /// The covered cells that share an edge with the outside, row by row.
    [[nodiscard]] std::vector<GridCell> rim() const;
    /// Which of the cells of rim() she comes in over; none until it is said.
    /// @param of_start  by their order
    void begin_at(const std::vector<GridCell>& rim, const std::vector<bool>& of_start);

    /// Opens the outside in a window where the nearest cell of the rim is one that she comes in over, and no
    /// other is as near: by the size of the cells in the row of the outer cell, and no farther off than
    /// `reach` cells.
    void open_outside(const GroundMetric& metric, int reach, Plane<float>& floor_m) const;
    /// Whether any cell of a window is outside.
    [[nodiscard]] bool meets(Window window) const;

private:
    /// Columns from the first to the last.
    struct Run {
        int first = 0, last = 0;
    };
    struct RimCell {
        int col = 0;
        bool of_start = false;
    };

    [[nodiscard]] const std::vector<Run>& runs(int row) const {
        return runs_[static_cast<std::size_t>(row - extent_.row)];
    }
    /// Of a row whatever it is: beyond the grid it is all outside.
    [[nodiscard]] std::vector<Run> outside_of(int row) const;
    [[nodiscard]] std::vector<Run> inside_of(int row) const;

    Window extent_;
    std::vector<std::vector<Run>> runs_;    ///< of the outside, by row
    std::vector<std::vector<RimCell>> rim_; ///< by row
};

} // namespace swingroom
