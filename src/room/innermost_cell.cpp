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

double beside_m2(int half_columns, CellSize size) {
    const double dx_m = half_columns * 0.5 * size.dx_m;
    return dx_m * dx_m;
}
/// Square of the distance to the nearer end of a row, so many rows off.
double beyond_m2(double rows, CellSize size) {
    const double dy_m = rows * size.dy_m;
    return dy_m * dy_m;
}

/// Square of the distance from a cell's centre to the nearest edge of the zone, unless that is no more than
/// `least_m2`: then any that is not.
/// @param cell  in a plane whose rows are so far apart
double distance_m2(const HalfColumns* cell, std::ptrdiff_t next_row, CellSize size, double least_m2) {
    double nearest_m2 = beside_m2(*cell, size);
    const HalfColumns *above = cell, *below = cell;
    for (double rows = 0.5; nearest_m2 > least_m2; ++rows) {
        const double dy_m2 = beyond_m2(rows, size);
        if (dy_m2 >= nearest_m2) break; // at the latest by the rows around the zone, which have none of it
        above -= next_row;
        below += next_row;
        nearest_m2 = std::min(nearest_m2, beside_m2(std::min(*above, *below), size) + dy_m2);
    }
    return nearest_m2;
}

/// What a cell must have at the least to be farther inside than another: most have not, and need no search.
class Farther {
public:
    /// @param least_m2  square of the other's distance   @param size  of the row's cells
    Farther(double least_m2, CellSize size) : least_m2_(least_m2), size_(size) {
        const double least_m = std::sqrt(least_m2);
        half_columns_ = static_cast<int>(std::min(2 * least_m / size.dx_m, 2.0 * most_columns));
        while (half_columns_ > 0 && beside_m2(half_columns_ - 1, size) > least_m2) {
            --half_columns_;
        }
        while (half_columns_ <= 2 * most_columns && !(beside_m2(half_columns_, size) > least_m2)) {
            ++half_columns_;
        }
        rows_ = static_cast<int>(std::lround(least_m / size.dy_m));
        while (rows_ > 0 && !(beyond_m2(rows_ - 0.5, size) < least_m2)) {
            --rows_;
        }
    }
    /// So many half columns to the nearer end of its run at the least.
    [[nodiscard]] int half_columns() const { return half_columns_; }
    /// Whether it may be so by the rows that are just less far off than the other's distance.
    /// @param above, below  how many rows there are before none is of the zone
    [[nodiscard]] bool may_be(const HalfColumns* cell, std::ptrdiff_t next_row, int above, int below) const {
        if (rows_ == 0) return true;
        if (rows_ > above || rows_ > below) return false;
        const HalfColumns nearer = std::min(cell[-rows_ * next_row], cell[rows_ * next_row]);
        return beside_m2(nearer, size_) + beyond_m2(rows_ - 0.5, size_) > least_m2_;
    }

private:
    double least_m2_;
    CellSize size_;
    int half_columns_ = 0, rows_ = 0;
};

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
        const int above = row - zone.row + 1, below = zone.row_end() - row;
        Farther farther(best_m2, size);
        for (int i = 0; i < zone.cols; ++i) {
            if (cells[i] < farther.half_columns()) continue; // all that are none of the zone's, too
            if (!farther.may_be(cells + i, plane.window().cols, above, below)) continue;
            const double inner_m2 = distance_m2(cells + i, plane.window().cols, size, best_m2);
            if (!(inner_m2 > best_m2)) continue;
            // Of cells with the same distance the first counts, though their squares may differ.
            if (const double inner_m = std::sqrt(inner_m2); inner_m > best.inner_m) {
                best = {{zone.col + i, row}, inner_m};
                best_m2 = inner_m2;
                farther = Farther(best_m2, size);
            }
        }
    }
    return best;
}

} // namespace swingroom
