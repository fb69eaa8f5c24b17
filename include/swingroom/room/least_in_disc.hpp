#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/room/metric.hpp"

#include <memory>
#include <span>

namespace swingroom {

/// The least value within a circle around each cell of a row: where RoomTransform asks how far off the
/// nearest unsafe cell is, this asks how little water there is within a given distance.
///
/// Cells are squares, the circle is around any point of the cell, and the distance is the very one of the
/// rooms (room_beside_m): a cell belongs to the circle if its room distance is less than the radius. So no
/// unsafe cell belongs to the circle exactly where the room is at least the radius.
///
/// Exact for radii that differ from cell to cell. For each row the least over 1, 3, 5 ... rows is made,
/// column by column; the least over a circle is the least of these over its columns. Circles with the same
/// cells are looked at for many cells at once, and a circle that is somewhat larger than another only by its
/// additional columns. An object keeps what it has found out about circles from row to row; one thread uses
/// it.
class LeastInDisc {
public:
    LeastInDisc();
    ~LeastInDisc();
    LeastInDisc(LeastInDisc&&) noexcept;
    LeastInDisc& operator=(LeastInDisc&&) noexcept;

    /// What is asked for in a row of cells.
    struct Row {
        /// Of each cell, in metres; nothing is asked for where it is not greater than 0.
        std::span<const float> radius_m;
        /// The least values found, as many; left as they are where nothing is asked for.
        std::span<float> least;
    };

    /// @param values  none is NaN; it covers the row's cells and every cell that belongs to their circles,
    ///                whatever lies outside a raster
    /// @param cell    the row's cell size, the least within reach: RoomTransform::metric()
    /// @param row, first_col  where the rows of cells that are asked for begin, in cells of the raster
    /// @param asked   several answers for the same row of cells share what can be shared
    void run(const Plane<float>& values, CellSize cell, int row, int first_col, std::span<const Row> asked);

private:
    struct Work;
    std::unique_ptr<Work> work_;
};

} // namespace swingroom
