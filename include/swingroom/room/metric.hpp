#pragma once

#include <cstddef>
#include <utility>
#include <vector>

namespace swingroom {

/// Ground size of one cell, in metres: lower bounds, so that a distance of i columns and j rows computed as
/// hypot(i dx, j dy) is never more than the distance on the ground.
struct CellSize {
    /// From one column to the next, and from one row to the next.
    double dx_m = 0, dy_m = 0;
};

/// Lower bounds of the cell size, row by row, over the whole width of a raster. Pure: chart/ground makes it
/// from a CRS, tests make it by hand. Rows outside the raster take the nearest row's size.
class GroundMetric {
public:
    GroundMetric() = default;
    /// @param rows  one size per raster row; at least one, all > 0
    explicit GroundMetric(std::vector<CellSize> rows)
        : sizes_(std::move(rows)), rows_(static_cast<int>(sizes_.size())) {}
    /// Of a raster of so many rows that neighbours share a size, so that memory does not grow with them.
    /// @param sizes  one for each `rows_each` rows, the last for what is left: good for all of them
    GroundMetric(std::vector<CellSize> sizes, int rows_each, int rows)
        : sizes_(std::move(sizes)), rows_each_(rows_each), rows_(rows) {}
    /// The same size everywhere.
    static GroundMetric uniform(int rows, double dx_m, double dy_m) {
        return GroundMetric(std::vector<CellSize>(static_cast<std::size_t>(rows), {dx_m, dy_m}));
    }

    /// How many rows the raster has.
    [[nodiscard]] int rows() const { return rows_; }
    /// The sizes as they are kept, and which of them is a row's.
    [[nodiscard]] const std::vector<CellSize>& sizes() const { return sizes_; }
    /// Which of sizes() is that of a row; a row outside the raster has the nearest row's.
    [[nodiscard]] std::size_t index(int row) const;
    /// The size of the cells of a row; the nearest row's where the row is outside the raster.
    [[nodiscard]] CellSize at(int row) const;
    /// The least dx and the least dy over rows [first, last].
    [[nodiscard]] CellSize least(int first, int last) const;
    /// The greatest dx and the greatest dy over rows [first, last].
    [[nodiscard]] CellSize greatest(int first, int last) const;
    /// The least over the whole raster.
    [[nodiscard]] CellSize least() const { return least(0, rows() - 1); }
    /// Every row takes the least size of all rows that a distance of `reach_m` from it can touch.
    [[nodiscard]] GroundMetric within(double reach_m) const;

private:
    std::vector<CellSize> sizes_;
    int rows_each_ = 1, rows_ = 0;
};

} // namespace swingroom
