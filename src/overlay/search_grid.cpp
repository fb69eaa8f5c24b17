#include "overlay/search_grid.hpp"

#include "swingroom/base/block_cut.hpp"
#include "swingroom/base/rounding.hpp"
#include "swingroom/room/distance.hpp"

#include "base/parallel.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <mutex>
#include <utility>

namespace swingroom {
namespace {

constexpr float infinite = std::numeric_limits<float>::infinity();

int parts(int cells, int together) { return (cells + together - 1) / together; }

/// Each row's cells are as small as the smallest of the rows that it is made of.
GroundMetric metric_of(const GroundMetric& of_raster, Window part, int together) {
    std::vector<CellSize> sizes;
    for (int row = part.row; row < part.row_end(); row += together) {
        const CellSize least = of_raster.least(row, std::min(row + together, part.row_end()) - 1);
        sizes.push_back({least.dx_m * together, least.dy_m * together});
    }
    return GroundMetric(std::move(sizes));
}

/// A start in each cell that has one, the first.
void add_starts(SearchGrid& grid, const RimStart* start, std::span<const GridCell> places) {
    std::vector<std::pair<CellNumber, GridCell>> found;
    const auto add = [&](GridCell cell) {
        if (grid.part.contains(cell.col, cell.row)) found.emplace_back(grid.number_of(cell), cell);
    };
    if (start == nullptr) {
        std::for_each(places.begin(), places.end(), add);
    } else if (start->charts) {
        std::for_each(start->cells.begin(), start->cells.end(), add);
    } else {
        const Rim rim(grid.raster);
        for (std::size_t i = 0; i < start->of_start.size(); ++i) {
            if (start->of_start[i]) add(rim.cell(i));
        }
    }
    const auto number = [](const auto& of) { return of.first; };
    std::stable_sort(found.begin(), found.end(),
                     [&](const auto& a, const auto& b) { return number(a) < number(b); });
    found.erase(std::unique(found.begin(), found.end(),
                            [&](const auto& a, const auto& b) { return number(a) == number(b); }),
                found.end());
    for (const auto& [cell, of_raster] : found) {
        grid.starts.push_back(cell);
        grid.start_cells.push_back(of_raster);
    }
}

/// The sea goes on beyond a cell of the rim if it does so beyond all that are put together in it.
void open_rim(SearchGrid& grid, const RimStart* start) {
    grid.rim_cells = {0, 0, parts(grid.raster.cols, grid.together), parts(grid.raster.rows, grid.together)};
    if (start == nullptr || start->charts) return;
    const Rim rim(grid.raster), rim_of_cells(grid.rim_cells);
    grid.sea_beyond.assign(rim_of_cells.size(), true);
    for (std::size_t i = 0; i < rim.size(); ++i) {
        const GridCell cell = rim.cell(i);
        if (start->of_start[i]) continue;
        grid.sea_beyond[rim_of_cells.index({cell.col / grid.together, cell.row / grid.together})] = false;
    }
}

/// A cell is outside of the charts if all of the raster's cells in it are; it is one that she comes in over
/// if any is and no other cell of their edge is in it.
void mark_edge_of_charts(SearchGrid& grid, const RimStart* start) {
    if (start == nullptr || !start->charts) return;
    using Edge = SearchGrid::Edge;
    grid.at_charts.assign(grid.cells.cells(), Edge::outside);
    const Window part = grid.part;
    for (int row = part.row; row < part.row_end(); ++row) {
        for (int col = part.col; col < part.col_end(); ++col) {
            if (start->charts->outside(col, row)) continue;
            std::uint8_t& marks = grid.at_charts[grid.number_of({col, row})];
            marks = static_cast<std::uint8_t>(marks & ~Edge::outside);
        }
    }
    start->charts->each_of_rim([&](GridCell cell, ChartEdge::Opening opens) {
        if (!part.contains(cell.col, cell.row)) return;
        grid.at_charts[grid.number_of(cell)] |= opens.in_grid       ? Edge::start
                                                : opens.beyond_grid ? Edge::border
                                                                    : Edge::other;
    });
}

/// Takes what counts of the cells that are outside of the charts, where it is open there at all.
/// @param outside_m  of a block   @param floor_m  of that and more
void keep_outside_alone(const SearchGrid& grid, const Plane<float>& outside_m, Plane<float>& floor_m) {
    const Window block = outside_m.window();
    for (int row = block.row; row < block.row_end(); ++row) {
        for (int col = block.col; col < block.col_end(); ++col) {
            if ((grid.at_charts[grid.number_of({col, row})] & SearchGrid::Edge::outside) == 0) continue;
            floor_m.at(col, row) = outside_m.at(col, row);
        }
    }
}

/// Outside of the charts is no way, but in a cell of the grid that she comes in over: what is known of the
/// raster's cells in it is not shut by those beside them, over which the sea goes on.
void shut_outside(const SearchGrid& grid, const ChartEdge& charts, Plane<float>& needed_m) {
    using Edge = SearchGrid::Edge;
    const Window block = needed_m.window();
    for (int row = block.row; row < block.row_end(); ++row) {
        for (int col = block.col; col < block.col_end(); ++col) {
            const std::uint8_t at = grid.at_charts[grid.number_of({col, row})];
            const bool comes_in = (at & Edge::start) != 0 && (at & Edge::other) == 0;
            if (!comes_in && charts.outside(col, row)) needed_m.at(col, row) = infinite;
        }
    }
}

/// Puts a block of the raster into the cells that it is a part of, no part of which another block has.
/// @param needed_m  of the block, which begins where a cell does   @param floor_m  of that and more
void take_block(SearchGrid& grid, const Plane<float>& needed_m, const Plane<float>& floor_m) {
    const Window block = needed_m.window();
    for (int row = block.row; row < block.row_end(); ++row) {
        const float *const needed = needed_m.row(row), *const floor = &floor_m.at(block.col, row);
        CellNumber cell = grid.number_of({block.col, row});
        for (int i = 0; i < block.cols; ++cell) {
            float most_m = grid.needed_m[cell], least_m = grid.floor_m[cell];
            for (const int end = std::min(i + grid.together, block.cols); i < end; ++i) {
                most_m = std::max(most_m, needed[i]);
                least_m = std::min(least_m, floor[i]);
            }
            grid.needed_m[cell] = most_m;
            grid.floor_m[cell] = least_m;
        }
    }
}

/// Of cells that the raster's edge cuts off, a part lies outside of it.
void bar_cut_off(const SearchGrid& grid, Plane<std::uint8_t>& unsafe) {
    const Window cells = grid.cells;
    const Rim rim(grid.rim_cells);
    const auto bar = [&](int col, int row) {
        const bool open = !grid.sea_beyond.empty() && grid.sea_beyond[rim.nearest({col, row})];
        if (!open) unsafe.at(col, row) = 1;
    };
    for (int row = 0; row < cells.rows && grid.part.cols % grid.together != 0; ++row) {
        bar(cells.cols - 1, row);
    }
    for (int col = 0; col < cells.cols && grid.part.rows % grid.together != 0; ++col) {
        bar(col, cells.rows - 1);
    }
}

/// Outside of the charts, and of the raster, the sea goes on where a cell of their edge that she comes in
/// over is nearer than all the others; elsewhere it is barred. Dangers bar it everywhere.
/// @param marks  1 where it is barred, by what lies in the cells of the grid themselves
void open_beyond_charts(const SearchGrid& grid, const RoomTransform& transform, Plane<std::uint8_t>& marks) {
    using Edge = SearchGrid::Edge;
    constexpr std::uint8_t start = 1, border = 2, other = 4; // bits, as the transform asks for them
    const Window seen = marks.window();
    Plane<std::uint8_t> edge(grown(seen, transform.halo()));
    for (CellNumber cell = 0; cell < grid.at_charts.size(); ++cell) {
        const std::uint8_t at = grid.at_charts[cell];
        if ((at & (Edge::start | Edge::border | Edge::other)) == 0) continue;
        const int col = static_cast<int>(cell) % grid.cells.cols,
                  row = static_cast<int>(cell) / grid.cells.cols;
        // Of several cells that are put together some may be the one and some the other.
        edge.at(col, row) = (at & Edge::other) != 0 ? other : (at & Edge::border) != 0 ? border : start;
    }
    const auto to = [&](std::uint8_t mark) {
        Plane<float> to_m;
        to_m.reshape(seen);
        transform.run(edge, mark, to_m);
        return to_m;
    };
    const Plane<float> to_start_m = to(start), to_border_m = to(border), to_other_m = to(other);
    // Distances are from square to square here. From centre to centre, by which it is nearer, they are at the
    // most a diagonal longer.
    double diagonal_m = 0;
    for (int row = 0; row < grid.cells.rows; ++row) {
        const CellSize cell = grid.metric.at(row);
        diagonal_m = std::max(diagonal_m, std::hypot(cell.dx_m, cell.dy_m));
    }
    const auto nearer = [diagonal_m](float one_m, float than_m) {
        return double{one_m} + diagonal_m * (1 + 1e-6) < double{than_m};
    };
    const bool all_of_it = grid.part == grid.raster;
    for (int row = seen.row; row < seen.row_end(); ++row) {
        for (int col = seen.col; col < seen.col_end(); ++col) {
            const float start_m = to_start_m.at(col, row), border_m = to_border_m.at(col, row),
                        other_m = to_other_m.at(col, row);
            if (!grid.cells.contains(col, row)) {
                if (all_of_it && nearer(std::min(start_m, border_m), other_m)) marks.at(col, row) = 0;
                continue;
            }
            const auto cell = static_cast<std::size_t>(row) * static_cast<std::size_t>(grid.cells.cols) +
                              static_cast<std::size_t>(col);
            if ((grid.at_charts[cell] & Edge::outside) == 0) continue;
            if (!nearer(start_m, std::min(border_m, other_m))) marks.at(col, row) = 1;
        }
    }
}

} // namespace

CellNumber SearchGrid::number_of(GridCell of_raster) const {
    const int col = (of_raster.col - part.col) / together, row = (of_raster.row - part.row) / together;
    return static_cast<CellNumber>(row) * static_cast<CellNumber>(cells.cols) + static_cast<CellNumber>(col);
}

GridCell SearchGrid::middle_of(CellNumber cell) const {
    const auto middle = [this](CellNumber at, int first, int end) {
        return std::min(first + static_cast<int>(at) * together + together / 2, end - 1);
    };
    const auto cols = static_cast<CellNumber>(cells.cols);
    return {middle(cell % cols, part.col, part.col_end()), middle(cell / cols, part.row, part.row_end())};
}

Window SearchGrid::of_raster(CellNumber cell) const {
    const auto cols = static_cast<CellNumber>(cells.cols);
    return common({part.col + static_cast<int>(cell % cols) * together,
                   part.row + static_cast<int>(cell / cols) * together, together, together},
                  part);
}

GridPoint SearchGrid::point_of(GridCell of_raster) const {
    return {(of_raster.col - part.col + 0.5) / together, (of_raster.row - part.row + 0.5) / together};
}

int put_together(Window raster, std::int64_t most_cells) {
    int together = 1;
    while (std::int64_t{parts(raster.cols, together)} * parts(raster.rows, together) > most_cells) {
        ++together;
    }
    return together;
}

SearchGrid read_search_grid(const OverlayJob& job, const AccessFloor& floor, const RimStart* start,
                            std::span<const GridCell> places, Window part, int together,
                            const std::function<void(double)>& progress) {
    SearchGrid grid;
    grid.raster = floor.extent();
    grid.part = part;
    grid.together = together;
    grid.cells = {0, 0, parts(part.cols, together), parts(part.rows, together)};
    grid.metric = metric_of(*job.metric, part, together);
    grid.needed_m.assign(grid.cells.cells(), -infinite);
    grid.floor_m.assign(grid.cells.cells(), infinite);
    add_starts(grid, start, places);
    open_rim(grid, start);
    mark_edge_of_charts(grid, start);

    constexpr int about = 512; // cells along the side of a block, of whole cells of this grid
    const Window whole{0, 0, part.cols, part.rows};
    const BlockCut blocks(whole, std::max(1, about / together) * together);
    std::mutex mutex; // guards what follows and the progress
    std::size_t done = 0;
    parallel_for(blocks.count(), job.threads, [&](const auto& next) {
        AccessFloor::Scratch scratch;
        AccessFloor::Scratch outside;
        Plane<float> needed_m;
        while (const std::optional<std::size_t> i = next()) {
            Window block = blocks[*i];
            block.col += part.col;
            block.row += part.row;
            floor.needed(block, start, scratch, needed_m, AccessFloor::Outside::as_water);
            if (!grid.at_charts.empty() && start->charts->meets(block)) {
                shut_outside(grid, *start->charts, needed_m);
                floor.read_outside(block, outside);
                keep_outside_alone(grid, outside.floor_m, scratch.floor_m);
            }
            take_block(grid, needed_m, scratch.floor_m);
            const std::lock_guard lock(mutex);
            ++done;
            if (progress) progress(static_cast<double>(done) / static_cast<double>(blocks.count()));
        }
    });
    return grid;
}

std::vector<float> rooms_at(const SearchGrid& grid, float level_m, double required_depth_m, float clear_way_m,
                            double reach_m) {
    const RoomTransform transform(grid.metric, reach_m);
    const Window cells = grid.cells, seen = grown(cells, transform.halo());
    constexpr std::uint8_t barred = 1;
    Plane<std::uint8_t> unsafe(seen, barred);
    const Rim rim(grid.rim_cells);
    // Beyond the part that is looked at nothing is known, but beyond the raster.
    const int first_col = grid.part.col / grid.together, first_row = grid.part.row / grid.together;
    if (!grid.sea_beyond.empty()) {
        for (int row = seen.row; row < seen.row_end(); ++row) {
            for (int col = seen.col; col < seen.col_end(); ++col) {
                const GridCell of_raster{first_col + col, first_row + row};
                if (grid.rim_cells.contains(of_raster.col, of_raster.row)) continue;
                if (grid.sea_beyond[rim.nearest(of_raster)]) unsafe.at(col, row) = 0;
            }
        }
    }
    for (int row = 0; row < cells.rows; ++row) {
        const float* const floor_m =
            grid.floor_m.data() + static_cast<std::size_t>(row) * static_cast<std::size_t>(cells.cols);
        std::uint8_t* const out = &unsafe.at(0, row);
        for (int col = 0; col < cells.cols; ++col) { // the sum is exact: see AccessFloor::needed()
            out[col] = double{floor_m[col]} + double{level_m} >= required_depth_m ? 0 : barred;
        }
    }
    bar_cut_off(grid, unsafe);
    if (!grid.at_charts.empty()) open_beyond_charts(grid, transform, unsafe);
    Plane<float> room_m;
    room_m.reshape(cells);
    transform.run(unsafe, barred, room_m);
    std::vector<float> rooms(room_m.data(), room_m.data() + room_m.size());
    for (std::size_t i = 0; i < rooms.size(); ++i) {
        rooms[i] = grid.needed_m[i] <= level_m ? std::max(rooms[i], clear_way_m) : -infinite;
    }
    return rooms;
}

} // namespace swingroom
