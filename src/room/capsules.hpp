#pragma once

#include "swingroom/room/metric.hpp"
#include "swingroom/room/shape.hpp"

#include "room/box_tree.hpp"

#include <cmath>
#include <cstdint>
#include <vector>

/// Outlines of shapes, cut into capsules: a segment and everything within a reach of it.
namespace swingroom {

/// How far, in cells, rounding can move a computed outline: a fixed part that is generous for anything near
/// the raster, and a part for far ends of segments, whose cut points carry the error of their size.
inline double rounding_allowance_cells(GridPoint a, GridPoint b) {
    return 1e-6 + 4e-15 * std::max({std::abs(a.x), std::abs(a.y), std::abs(b.x), std::abs(b.y)});
}

/// A segment and its reach. Ends in grid space with a.y <= b.y; the reach holds margin, placement allowance
/// and guards.
struct Capsule {
    /// Its two ends; of a point both are the same.
    GridPoint a, b;
    /// In metres on the ground.
    double reach_m = 0;
    std::uint32_t shape = 0; ///< its index
    /// Of which sizes of cells that over all rows that the reach can touch is: neighbours mostly share one.
    std::uint32_t size = 0;
};

/// The right-hand outline of a capsule in metres from its lower end, as x over y. It is concave.
class RightOutline {
public:
    /// @param x_m, y_m  the upper end seen from the lower one, y_m >= 0
    RightOutline(double x_m, double y_m, double reach_m) : x_m_(x_m), y_m_(y_m), reach_m_(reach_m) {
        const double length_m = std::hypot(x_m, y_m);
        if (length_m > 0) {
            offset_x_m_ = reach_m * (y_m / length_m);
            offset_y_m_ = -reach_m * (x_m / length_m);
        }
    }
    /// Greatest x with y in [from_m, to_m], a range that meets the capsule: its summit, or where the range
    /// comes closest to the summit.
    [[nodiscard]] double greatest(double from_m, double to_m) const {
        return at(std::clamp(x_m_ > 0 ? y_m_ : 0.0, from_m, to_m));
    }

private:
    [[nodiscard]] double at(double y) const {
        if (y < offset_y_m_ || y_m_ <= 0) {
            // A level segment's outline is that of its right end.
            return (y_m_ <= 0 ? std::max(x_m_, 0.0) : 0.0) + half_chord(y);
        }
        if (y > offset_y_m_ + y_m_) return x_m_ + half_chord(y - y_m_);
        return offset_x_m_ + x_m_ * ((y - offset_y_m_) / y_m_);
    }
    [[nodiscard]] double half_chord(double y) const {
        return std::sqrt(std::max(0.0, (reach_m_ - y) * (reach_m_ + y)));
    }

    double x_m_, y_m_, reach_m_;
    double offset_x_m_ = 0, offset_y_m_ = 0;
};

/// Calls mark(row, first column, last column) for the rows and columns of `within` that the capsule touches.
/// Its reach is wider than the danger's by the guard; every error of the arithmetic below amounts to moving
/// the outline by less than that, so what the true danger touches is never missed.
/// @param size  CapsuleCutter::sizes, at its place
template <class Mark>
void each_row(const Capsule& c, CellSize size, const Box& within, Mark&& mark) {
    const double dx = size.dx_m, dy = size.dy_m;
    const double x_m = (c.b.x - c.a.x) * dx, y_m = (c.b.y - c.a.y) * dy;
    const RightOutline right(x_m, y_m, c.reach_m), left(-x_m, y_m, c.reach_m);
    const double rounding_allowance = rounding_allowance_cells(c.a, c.b);
    const Cells rows =
        cells_touched(c.a.y - c.reach_m / dy, c.b.y + c.reach_m / dy, within.row_first, within.row_last);
    const int end = std::min(rows.last, within.row_last);
    for (int row = std::max(rows.first, within.row_first); row <= end; ++row) {
        const double from_m = (row - c.a.y) * dy, to_m = (row + 1 - c.a.y) * dy;
        const double least = c.a.x - left.greatest(from_m, to_m) / dx - rounding_allowance;
        const double greatest = c.a.x + right.greatest(from_m, to_m) / dx + rounding_allowance;
        const Cells cols = cells_touched(least, greatest, within.col_first, within.col_last);
        const int first = std::max(cols.first, within.col_first);
        const int last = std::min(cols.last, within.col_last);
        if (first <= last) mark(row, first, last);
    }
}

/// The least cell size of any range of rows in constant time, and the greatest of all: minima of stretches of
/// a few rows, and of all runs of such stretches whose length is a power of two, which take little memory
/// beside the metric's. It lives no longer than its metric.
class SizeBounds {
public:
    explicit SizeBounds(const GroundMetric& metric);
    /// The least over all rows.
    [[nodiscard]] CellSize least() const { return least_; }
    /// The greatest over all rows.
    [[nodiscard]] CellSize greatest() const { return greatest_; }
    /// Over rows [first, last]; rows outside the raster take the nearest row's size.
    [[nodiscard]] CellSize least(double first, double last) const;

private:
    const GroundMetric& metric_;
    std::vector<std::vector<CellSize>> runs_; ///< of stretches, by the power of two
    CellSize least_, greatest_;
};

/// Cuts outlines into capsules.
class CapsuleCutter {
public:
    /// @param of_raster  the sizes of its cells; must outlive it
    /// @param extent  of the raster   @param within  the only cells that are asked for
    CapsuleCutter(const SizeBounds& of_raster, Window extent, Window within)
        : sizes_(of_raster), extent_(extent), within_(within) {}
    /// The outlines of a shape.
    void add(const Shape& shape, std::uint32_t index);

    /// All so far, in the order in which outlines were added.
    std::vector<Capsule> capsules;
    std::vector<Box> boxes;      ///< what cells each may touch
    std::vector<CellSize> sizes; ///< that they are reckoned with

private:
    struct Merged {
        std::size_t end;
        double deviation_m;
    };
    void add_chain(const std::vector<GridPoint>& points);
    [[nodiscard]] Merged mergeable(const std::vector<GridPoint>& points, std::size_t i) const;
    void add_segment(GridPoint a, GridPoint b, double deviation_m);
    [[nodiscard]] bool may_touch(GridPoint a, GridPoint b, double deviation_m) const;
    void add_piece(GridPoint a, GridPoint b, double deviation_m);
    [[nodiscard]] std::uint32_t number_of(CellSize size);

    const SizeBounds& sizes_;
    Window extent_, within_;
    std::uint32_t index_ = 0;
    double reach_m_ = 0; ///< of the shape at hand: margin and placement allowance
};

/// Upper bound of how much wider than margin + placement allowance a burnt shape can be (beyond the cells it
/// touches), in metres: the guard against rounding, and what the metric's lower bounds lose over one piece of
/// an outline.
double burnt_excess_m(const Shape& shape, const GroundMetric& metric);

} // namespace swingroom
