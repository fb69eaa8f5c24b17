#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/room/metric.hpp"

#include <cstddef>
#include <memory>
#include <optional>
#include <vector>

namespace swingroom {

/// A cell of a zone, and how far its centre is from the nearest point of the zone's outline, holes too: in
/// metres, never more than it is on the ground.
struct InnerPlace {
    GridCell cell;      ///< counted from the raster's first column and first row
    double inner_m = 0; ///< the inner distance, as doubles have it
};

/// No place of an area has a greater inner distance: a circle of it about the place lies in the area, and the
/// disc is the largest that can.   @param area_m2  as ZoneTracer sums it up, row by row
double greatest_inner_m(double area_m2);

/// A lower bound of the distance on the ground between the centres of two cells.
double least_distance_m(const GroundMetric& metric, GridCell a, GridCell b);

/// The cells of a zone, those farthest inside first: of all that are left, next() gives the one with the
/// greatest inner distance, of equals the first in row order, then in column order. The first of all is the
/// zone's pole of inaccessibility among cell centres. It is exact, to the rounding of doubles: boxes of cells
/// are looked at in the order of what their cells can have at the most (what the box's middle has and the way
/// from there to its corner), and halved until they are single cells. Which edge is nearest to a middle is
/// found in a tree of boxes. So time goes with the outline, n log n for n corners, not with the area, and
/// memory is some 10 bytes a corner. In a window of few cells the first place is found by a look at all of
/// them: a narrow zone has no way past most of its cells.
/// Distances are those of the row's cell size, the least of all rows of the zone that count there, so that
/// the metric's lower bounds bound them too.
class InnerPlaces {
public:
    /// @param rings   a zone's as ZoneTracer gives them, not shrunk or smoothed;
    ///                they outlive this   @param metric  of the raster
    InnerPlaces(const std::vector<std::vector<GridPoint>>& rings, const GroundMetric& metric);
    ~InnerPlaces();

    /// The best cell that was not given yet and that nothing keeps clear of; nothing when there is none.
    std::optional<InnerPlace> next();
    /// From now on only cells whose centres are at least so far from that of `cell`, for certain.
    void keep_clear_of(GridCell cell, double distance_m);

private:
    struct State;
    std::unique_ptr<State> state_;
};

/// The best places of a zone: the one farthest inside, then always the one farthest inside of those that are
/// at least `apart_m` from all before it.   @returns at most `most`
std::vector<InnerPlace> inner_places(const std::vector<std::vector<GridPoint>>& rings,
                                     const GroundMetric& metric, double apart_m, std::size_t most);

} // namespace swingroom
