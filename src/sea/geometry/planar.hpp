#pragma once

#include "swingroom/base/grid.hpp"

#include <limits>
#include <vector>

// Plane geometry that the readers and drawers of hazards share.

namespace swingroom {

/// Vertices of a line, or of a ring whose first vertex is repeated last.
using Chain = std::vector<GridPoint>;

/// An axis-aligned box in any plane.
struct Bounds {
    /// Without a point it is empty: every first point becomes all four sides.
    double left = std::numeric_limits<double>::infinity(), low = left, right = -left, high = -left;
    /// Grows the box so that it holds the point.
    void add(GridPoint p) {
        left = std::min(left, p.x);
        right = std::max(right, p.x);
        low = std::min(low, p.y);
        high = std::max(high, p.y);
    }
    /// Whether there is no point in it; one of a single point is not empty.
    [[nodiscard]] bool empty() const { return !(left <= right && low <= high); }
    /// Whether the other box lies in it, edges included.
    [[nodiscard]] bool holds(const Bounds& o) const {
        return left <= o.left && o.right <= right && low <= o.low && o.high <= high;
    }
    /// Whether both have a point in common, edges included.
    [[nodiscard]] bool meets(const Bounds& o) const {
        return left <= o.right && o.left <= right && low <= o.high && o.low <= high;
    }
    /// Wider by x on either side, and higher by y; less where these are negative.
    [[nodiscard]] Bounds grown(double x, double y) const { return {left - x, low - y, right + x, high + y}; }
};

/// The least box around all vertices; empty without any.
Bounds bounds_of(const Chain& chain);

/// Twice the area of a triangle: positive if it turns to the left, from x to y.
double turn(GridPoint a, GridPoint b, GridPoint c);

/// From a point to the nearest one of the segment from a to b, in the units of the plane.
double distance_to_segment(GridPoint p, GridPoint a, GridPoint b);

/// A ring cut to a box; it keeps its inside: what is cut off is replaced by a run along the side.
Chain clipped_ring(Chain ring, const Bounds& box);
/// The parts of a line inside a box.
std::vector<Chain> clipped_line(const Chain& line, const Bounds& box);

/// Whether the segments of some chains cross or touch each other more than `most` times, neighbours aside, or
/// lie so that finding out would take long. What libraries spend on noding grows with the crossings, which
/// may be as many as the square of the vertices.
bool crosses_often(const std::vector<Chain>& chains, std::size_t most);

} // namespace swingroom
