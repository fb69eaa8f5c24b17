#pragma once

#include "swingroom/overlay/approach.hpp"
#include "swingroom/sea/georeference.hpp"

#include "overlay/search_grid.hpp"
#include "room/way_search.hpp"

#include <cstddef>
#include <functional>
#include <optional>
#include <span>
#include <vector>

namespace swingroom {

/// How far apart the lines may lie that are drawn between two positions: a geodesic, a rhumb line, and those
/// that are straight in longitude and latitude or on the raster. It grows with the square of their length.
class LineDoubt {
public:
    /// Measured all over the raster.
    LineDoubt(const Grid& raster, const Georeference& georeference);
    /// For a leg of that length, with what rounding its ends to the seventh decimal adds.
    [[nodiscard]] double of_length_m(double length_m) const;

private:
    double per_square_m_ = 0;
};

/// What may be seen from where, over cells that a way may go through.
class LineOfSight {
public:
    /// @param slack_cells  of the raster, how far its cells may lie beside where it says
    /// @param passing      by cell of the grid
    LineOfSight(const SearchGrid& grid, const LineDoubt& doubt, double slack_cells,
                std::span<const Passing> passing)
        : grid_(grid), doubt_(doubt), slack_cells_(slack_cells), passing_(passing) {}

    /// Whether every cell that a leg touches is open, wherever between its ends it is drawn.
    [[nodiscard]] bool sees(GridCell from, GridCell to) const;
    /// On the ground, by the metric.
    [[nodiscard]] double length_m(GridCell from, GridCell to) const;
    /// Calls take(cell number) for each cell of the grid that a leg touches.
    void touched(GridCell from, GridCell to, const std::function<void(CellNumber)>& take) const;
    [[nodiscard]] const SearchGrid& grid() const { return grid_; }
    [[nodiscard]] bool open(CellNumber cell) const { return passing_[cell] == Passing::open; }

private:
    [[nodiscard]] LegDoubt width(GridCell from, GridCell to) const;

    const SearchGrid& grid_;
    const LineDoubt& doubt_;
    double slack_cells_;
    std::span<const Passing> passing_;
};

/// A way that goes straight from turn to turn, over open cells only, and is no longer for any of its turns
/// moved a little or left out.
/// @param chain  cells of the raster, each of which sees the next
/// @param from_any_start  whether it may begin at another of the grid's starts
std::vector<GridCell> pulled_taut(const std::vector<GridCell>& chain, const LineOfSight& sight,
                                  bool from_any_start);

/// The shoalest place of a line.
struct LineSill {
    GridCell cell;
    std::optional<std::size_t> turn; ///< where it is one
};

/// Puts a turn on the line's shoalest place: of those that are as shoal where it makes the line longer by the
/// least, then the first. Not where it has one there, or one that is nearer than `near_m`: nobody steers legs
/// of a boat's length.
LineSill turn_at_sill(std::vector<GridCell>& turns, const LineOfSight& sight, double near_m);

/// The fewest of a line's turns, the first and the last among them, each of which sees the next; of as few
/// those that make the shortest line.
std::vector<GridCell> fewest_turns(const std::vector<GridCell>& turns, const LineOfSight& sight);

/// The line's shoalest place as turn_at_sill() finds it, with a turn put on it only where the line goes there
/// straight from the turn before it and on to the next.
LineSill single_turn_at_sill(std::vector<GridCell>& turns, const LineOfSight& sight, double near_m);

} // namespace swingroom
