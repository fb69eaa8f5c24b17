#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/room/hazard_field.hpp"
#include "swingroom/room/metric.hpp"
#include "swingroom/sea/bathymetry.hpp"

#include <cstddef>
#include <vector>

namespace swingroom {

/// Where the data end on a grid over which it is known what charts cover. Outside are the cells that no chart
/// covers wholly and that have no depth, as far as they hang together, by edges, with the grid's border; what
/// lies beyond the grid is outside, too. A gap between charts that does not is none of the outside: there is
/// a hole in what is known. Land and unsurveyed water of a chart are none of it either. Memory: by the runs
/// of such cells in the rows, which are few, and by the cells along the edge.
class ChartEdge {
public:
    /// A cell inside that shares an edge with the outside.
    struct RimCell {
        GridCell cell;
        /// Whether a chart covers it or a cell that touches it: then what lies beside it is outside since the
        /// chart ends there. Beside any other cell it may be land as well as water.
        bool charted = false;
    };

    /// Whether any hazard tells what no chart covers (effect::uncharted); else there is no edge.
    [[nodiscard]] static bool is_known(const HazardField& hazards);
    /// @param extent  of the grid, that of the depths
    ChartEdge(const HazardField& hazards, const DepthSource& depths, Window extent);

    /// Whether any cell of the grid is outside.
    [[nodiscard]] bool any_outside() const;
    [[nodiscard]] bool outside(int col, int row) const;
    /// Row by row.
    [[nodiscard]] std::vector<RimCell> rim(const HazardField& hazards) const;
    /// Which of the cells of rim() she comes in over; none until it is said.
    /// @param of_start  by their order
    void begin_at(const std::vector<RimCell>& rim, const std::vector<bool>& of_start);

    /// Opens the outside in a window where the nearest cell of the rim is one that she comes in over, and no
    /// other is as near: by the size of the cells in the row of the outer cell, and no farther off than
    /// `reach` cells. In the grid that cell must be `charted`, beyond it any will do.
    void open_outside(const GroundMetric& metric, int reach, Plane<float>& floor_m) const;
    /// Whether any cell of a window is outside.
    [[nodiscard]] bool meets(Window window) const;

    /// What a cell of the rim opens beside it.
    struct Opening {
        bool in_grid = false, beyond_grid = false;
    };
    /// Calls take(cell, opening) for each cell of the rim, row by row, once it is said where she comes in.
    template <class Take>
    void each_of_rim(const Take& take) const {
        for (std::size_t row = 0; row < rim_.size(); ++row) {
            for (const Opener& opener : rim_[row]) {
                take(GridCell{opener.col, extent_.row + static_cast<int>(row)}, opener.opens);
            }
        }
    }

private:
    /// Columns from the first to the last.
    struct Run {
        int first = 0, last = 0;
    };
    struct Opener {
        int col = 0;
        Opening opens;
    };

    [[nodiscard]] const std::vector<Run>& runs(int row) const {
        return runs_[static_cast<std::size_t>(row - extent_.row)];
    }
    /// Of a row whatever it is: beyond the grid it is all outside.
    [[nodiscard]] std::vector<Run> outside_of(int row) const;
    [[nodiscard]] std::vector<Run> inside_of(int row) const;
    [[nodiscard]] std::vector<GridCell> cells_of_rim() const;

    Window extent_;
    std::vector<std::vector<Run>> runs_;   ///< of the outside, by row
    std::vector<std::vector<Opener>> rim_; ///< by row
};

} // namespace swingroom
