#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/room/metric.hpp"

#include "sea/geometry/planar.hpp"
#include "sea/ground/operations.hpp"

#include <array>
#include <mutex>
#include <optional>
#include <string>

namespace swingroom {

/// Where a rectangle of cells of one grid lies in another: its corners, and bilinearly what is between them.
struct PlacedCells {
    /// The rectangle, in cells of the grid that is placed.
    Window cells;
    std::array<GridPoint, 4> corners; ///< of the first row from left to right, then of the last
    GridPoint bent; ///< how far any point may lie beside where it would be placed by itself, columns and rows
    GridPoint off; ///< how far beside its true place: the same, and what the tie of the datums and the grids'
                   ///< slack leave open

    /// The corner of a cell of the rectangle, or the end of its last column or row.
    [[nodiscard]] GridPoint at(int col, int row) const;
};

/// Two grids on the earth, here and there. Const calls may come from several threads.
class GridLink {
public:
    /// @param here_name, there_name  for messages
    /// @throws InputError  the two CRS cannot be tied to each other, or nobody knows how well
    GridLink(const Grid& here, const Grid& there, const std::string& here_name,
             const std::string& there_name);

    /// Where cells lie there, in the turn of the globe that brings them nearest to the other grid's middle.
    /// Nothing where a point of them has no place there. What is between the corners is measured at a net of
    /// points: twice the greatest deviation seen counts.
    [[nodiscard]] std::optional<PlacedCells> placed(Window cells) const;
    /// All of the other grid in this one's grid space, as far as it can matter here: no farther from its
    /// middle than half the globe, or beyond a pole.
    /// @throws InputError  parts of it have no place here
    [[nodiscard]] Bounds other() const;

    /// Both have the same CRS: what is straight here is straight there.
    [[nodiscard]] bool straight() const { return !operation_; }
    /// How well their datums are tied to each other, in metres.
    [[nodiscard]] double accuracy_m() const { return accuracy_m_; }
    /// Whether the other grid goes all round the globe in whole columns, so that its last one borders on its
    /// first.
    [[nodiscard]] bool wraps_around() const;

private:
    /// How far the cells of either grid may lie beside their places, together, in columns and rows there.
    [[nodiscard]] GridPoint slack_of(const PlacedCells& placed) const;
    /// A point from one grid space to the other; not finite where it has no place.
    [[nodiscard]] GridPoint there(GridPoint p) const;
    [[nodiscard]] GridPoint here(GridPoint p) const;
    [[nodiscard]] GridPoint transform(PJ_DIRECTION direction, double x, double y) const;

    Grid here_, there_;
    std::string here_name_, there_name_;
    Context context_;
    Pj operation_; ///< forward: from here to there; none if they share a CRS
    double accuracy_m_ = 0;
    GroundMetric metric_there_;                 ///< only where the accuracy has to be paid for
    double turn_here_ = 0, turn_there_ = 0;     ///< 360 degrees, in columns; 0: it does not repeat itself
    double beyond_pole_low_, beyond_pole_high_; ///< rows here; endless where there is no pole in sight
    mutable std::mutex one_at_a_time_;          ///< an operation serves one thread at a time
};

} // namespace swingroom
