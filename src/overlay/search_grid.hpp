#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/overlay/overlay.hpp"
#include "swingroom/room/metric.hpp"

#include "overlay/access_floor.hpp"
#include "room/way_search.hpp"

#include <cstdint>
#include <functional>
#include <span>
#include <vector>

namespace swingroom {

/// The cells of a part of a raster that a way is searched in. Where there are too many, squares of them are
/// looked at as one cell each, by the worst of them: what leads through such cells leads through the raster's
/// own. With them, where the way in begins, so far as it does in that part.
struct SearchGrid {
    Window raster, part; ///< all of it, and what is looked at of it
    int together = 1;    ///< cells of the raster along a side of a cell
    Window cells;        ///< from 0, 0 on
    GroundMetric metric; ///< of its own rows
    /// By cell, its number counted row by row: the level at which she floats clear in it, infinite at none;
    /// and the least depth in it, dangers counted.
    std::vector<float> needed_m, floor_m;
    std::vector<CellNumber> starts;    ///< each once
    std::vector<GridCell> start_cells; ///< of the raster, one in each of them
    Window rim_cells;                  ///< what the next is the rim of; those of the whole raster
    std::vector<bool> sea_beyond;      ///< by number on the rim: the start goes on there
    /// Where it begins on the edge of charts: by cell what of them it is, bits of Edge; else empty.
    std::vector<std::uint8_t> at_charts;
    struct Edge {
        /// The border is of the start, too, but opens only what lies beyond the grid.
        static constexpr std::uint8_t outside = 1, start = 2, border = 4, other = 8;
    };

    [[nodiscard]] CellNumber number_of(GridCell of_raster) const;
    /// The middle one of the raster's cells in a cell.
    [[nodiscard]] GridCell middle_of(CellNumber cell) const;
    /// Those of the raster's cells that are in a cell.
    [[nodiscard]] Window of_raster(CellNumber cell) const;
    /// The centre of one of the raster's cells, in columns and rows of these cells.
    [[nodiscard]] GridPoint point_of(GridCell of_raster) const;
};

/// Reads what a way is searched in, block by block.
/// @param start   of the rim; null: it is `places`
/// @param progress  called with the fraction done, from one thread at a time; may be empty
SearchGrid read_search_grid(const OverlayJob& job, const AccessFloor& floor, const RimStart* start,
                            std::span<const GridCell> places, Window part, int together,
                            const std::function<void(double)>& progress);

/// So many cells a side are put together that there are no more than so many.
int put_together(Window raster, std::int64_t most_cells);

/// By cell the least distance on the ground from any of its points to what she must not meet at a level of
/// the water, rounded down, up to a reach: "at least" then. Cells that are not hers at that level have
/// negative infinity.
/// @param clear_way_m  no cell that she floats clear in has less
std::vector<float> rooms_at(const SearchGrid& grid, float level_m, double required_depth_m, float clear_way_m,
                            double reach_m);

} // namespace swingroom
