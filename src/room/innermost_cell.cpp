#include "room/innermost_cell.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <limits>

namespace swingroom {
namespace {

/// How many half columns a cell's centre is from the nearest end of its run of the zone's cells.
using HalfColumns = std::uint16_t;
constexpr int most_columns = std::numeric_limits<HalfColumns>::max() / 2;
/// Above so many, many of which are none of the zone's, time would go with the area.
constexpr std::size_t most_cells = std::size_t{1} << 18;

/// Of the cells of the zone, with a row more on either side; 0 outside.
Plane<HalfColumns> to_ends_of_runs(const std::vector<std::vector<GridPoint>>& rings, Window zone) {
    Plane<HalfColumns> plane({zone.col, zone.row - 1, zone.cols + 1, zone.rows + 2});
    for (const auto& ring : rings) {
        for (std::size_t i = 0; i + 1 < ring.size(); ++i) {
            const GridPoint a = ring[i], b = ring[i + 1];
            const auto first = static_cast<int>(std::min(a.y, b.y)),
                       end = static_cast<int>(std::max(a.y, b.y));
            for (int row = first; row < end; ++row) { // none of a level edge
                plane.at(static_cast<int>(a.x), row) = 1;
            }
        }
    }
    // Runs begin and end by turns.
    for (int row = zone.row; row < zone.row_end(); ++row) {
        HalfColumns *const begin = plane.row(row), *const end = begin + plane.window().cols;
        for (HalfColumns* at = std::find(begin, end, 1); at != end; at = std::find(at, end, 1)) {
            HalfColumns *const first = at, *const past = std::find(first + 1, end, 1);
            for (int left = 0, cells = static_cast<int>(past - first); left < cells; ++left) {
                *at++ = static_cast<HalfColumns>(2 * std::min(left, cells - 1 - left) + 1);
            }
            *at++ = 0;
        }
    }
    return plane;
}

/// Square of the distance from a cell's centre to the nearest edge of the zone, unless that is no more than
/// `least_m2`: then any that is not.
/// @param cell  in a plane whose rows are so far apart
double distance_m2(const HalfColumns* cell, std::ptrdiff_t next_row, CellSize size, double least_m2) {
    const auto beside_m2 = [size](HalfColumns half_columns) {
        const double dx_m = half_columns * 0.5 * size.dx_m;
        return dx_m * dx_m;
    };
    double nearest_m2 = beside_m2(*cell);
    const HalfColumns *above = cell, *below = cell;
    for (double rows = 0.5; nearest_m2 > least_m2; ++rows) {
        const double dy_m = rows * size.dy_m, dy_m2 = dy_m * dy_m;
        if (dy_m2 >= nearest_m2) break; // at the latest by the rows around the zone, which have none of it
        above -= next_row;
        below += next_row;
        nearest_m2 = std::min(nearest_m2, beside_m2(std::min(*above, *below)) + dy_m2);
    }
    return nearest_m2;
}

} // namespace

bool has_few_cells(Window zone) { return zone.cells() <= most_cells && zone.cols <= most_columns; }

InnerPlace innermost_cell(const std::vector<std::vector<GridPoint>>& rings, Window zone,
                          const GroundMetric& sizes) {
    const Plane<HalfColumns> plane = to_ends_of_runs(rings, zone);
    InnerPlace best;
    double best_m2 = 0;
    for (int row = zone.row; row < zone.row_end(); ++row) {
        const CellSize size = sizes.at(row - zone.row);
        const HalfColumns* const cells = plane.row(row);
        for (int i = 0; i < zone.cols; ++i) {
            if (cells[i] == 0) continue;
            const double inner_m2 = distance_m2(cells + i, plane.window().cols, size, best_m2);
            if (!(inner_m2 > best_m2)) continue;
            // Of cells with the same distance the first counts, though their squares may differ.
            if (const double inner_m = std::sqrt(inner_m2); inner_m > best.inner_m) {
                best = {{zone.col + i, row}, inner_m};
                best_m2 = inner_m2;
            }
        }
    }
    return best;
}

} // namespace swingroom
