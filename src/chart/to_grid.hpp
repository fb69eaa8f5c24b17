#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/room/metric.hpp"

#include "planar.hpp"

#include <ogr_spatialref.h>

#include <array>
#include <memory>
#include <string>
#include <utility>
#include <vector>

namespace swingroom {

/// A CRS without its vertical part, x before y whatever its own axis order.
OGRSpatialReference horizontal(const OGRSpatialReference& given);

/// From a layer's CRS to grid space.
class ToGrid {
public:
    struct Unusable {}; ///< a vertex that has no place in the raster's CRS

    /// @param reach_m  the furthest that any hazard of the layer can reach
    /// @param where    file and layer, for messages
    /// @throws InputError  the two CRS cannot be tied to each other
    ToGrid(const OGRSpatialReference& from, const OGRSpatialReference& to, const Grid& grid,
           const GroundMetric& metric, double reach_m, const std::string& where);

    [[nodiscard]] bool from_degrees() const { return from_degrees_; }
    /// What of the layer's plane can matter; longitudes continuous around the raster.
    [[nodiscard]] const Bounds& box() const { return box_; }
    /// How far the edges that matter may stray from the true ones, of all chains mapped since the last call.
    double take_stray_m() { return std::exchange(strayed_m_, 0.0); }
    /// The longest edge, before any halving, of all chains mapped since the last call.
    double take_longest_m() { return std::exchange(longest_m_, 0.0); }

    /// A chain in the layer's plane to grid space, with vertices between where edges would not stay straight.
    /// @throws Unusable
    Chain mapped(const Chain& chain);

private:
    using Transformation = std::unique_ptr<OGRCoordinateTransformation>;

    /// Moves points from the layer's plane to grid space. @throws Unusable
    void place(Chain& points, const Chain& source);
    void transform(OGRCoordinateTransformation& transformation, Chain& points);
    /// The box in the layer's plane around all that lies near the raster, from a net of points over it. Where
    /// the net leaves the domain of the projection there is no box, and nothing is cut away.
    void find_box(OGRCoordinateTransformation* back);
    [[nodiscard]] double distance_m(GridPoint p, GridPoint a, GridPoint b) const;
    /// How far a chord lies from all that is near the raster, by its box.
    [[nodiscard]] double away_m(const Bounds& chord) const;
    /// Adds an edge's vertices after its first one, halving it until it is straight enough.
    /// @param on  where the points a quarter, a half and three quarters along it lie
    void edge(GridPoint from, GridPoint to, GridPoint a, GridPoint b, const std::array<GridPoint, 3>& on,
              int halvings, Chain& out);

    const Grid& grid_;
    bool from_degrees_, to_degrees_;
    CellSize cell_; ///< the largest
    double stray_m_ = 0, strayed_m_ = 0, longest_m_ = 0;
    Bounds near_; ///< the raster grown by the reach, in grid space
    Bounds box_;  ///< the same in the layer's plane
    Transformation forward_;
    std::vector<double> xs_, ys_;
    std::vector<int> good_;
};

} // namespace swingroom
