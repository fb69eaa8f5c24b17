#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/room/metric.hpp"

#include <cstdint>

namespace swingroom {

/// Bits of an unsafe plane.
namespace unsafe {
inline constexpr std::uint8_t hull = 1;   ///< a hull cannot be here
inline constexpr std::uint8_t ground = 2; ///< no anchor or chain may lie here
} // namespace unsafe

/// The room that RoomTransform finds beside a single unsafe cell, however far it looks: to the very digit.
/// @param cell  of the row that the room is of, the least within reach   @param cols, rows  how far off the
/// unsafe cell is, counted from cell to cell, >= 0
[[nodiscard]] float room_beside_m(CellSize cell, int cols, int rows);

/// The exact room of every cell of a window: the least distance on the ground between any point of the cell
/// and any point of an unsafe cell, up to a reach.
///
/// A cell is a square, and the anchor may fall anywhere in it. The gap between two squares i columns and j
/// rows apart is hypot(max(|i|-1, 0) dx, max(|j|-1, 0) dy): the distance transform below takes these gaps as
/// its costs, so it is exact for squares, and no margin is added for the raster. dx and dy are those of the
/// cell's own row, the least within the reach, so a room is never more than the one on the ground.
///
/// Columns are swept first (rows to the nearest unsafe cell above or below), then each row takes the least of
/// vertical plus horizontal cost within the reach. Costs are squared: integers, hence exact, where dx equals
/// dy; else floats rounded down.
class RoomTransform {
public:
    /// @param metric  the raster's own   @param reach_m  > 0; rooms beyond it come out as reach_m: "at least"
    RoomTransform(const GroundMetric& metric, double reach_m)
        : RoomTransform(metric, reach_m, 0, metric.rows() - 1) {}
    /// For windows within rows [first, last] only: the halo then follows from their cells, not from those of
    /// a raster that goes on to a pole.
    RoomTransform(const GroundMetric& metric, double reach_m, int first_row, int last_row);

    /// Halos beyond this are refused by whoever plans a run: gaps are counted in 16 bits, squares in 32.
    static constexpr int greatest_halo = 30000;

    /// How far is looked, in metres: a room of this value means so much or more.
    [[nodiscard]] double reach_m() const { return reach_m_; }
    /// The cell sizes that it measures by, row by row: the least within its reach.
    [[nodiscard]] const GroundMetric& metric() const { return metric_; }
    /// How many cells around a window decide about it.
    [[nodiscard]] int halo() const { return halo_; }

    /// @param unsafe  covers the room's window grown by halo() on all sides; cells outside the raster marked
    /// there
    /// @param bit     which of its bits makes a cell unsafe
    /// @param room_m  its window says what is asked for; filled, rounded down
    void run(const Plane<std::uint8_t>& unsafe, std::uint8_t bit, Plane<float>& room_m) const;

    /// Greatest relative amount by which rounding alone may understate a room.
    static constexpr double rounding_loss = 4e-7;

private:
    GroundMetric metric_; // the least within reach, row by row
    double reach_m_;
    int halo_;
};

} // namespace swingroom
