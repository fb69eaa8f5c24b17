#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/room/metric.hpp"

#include "sea/geometry/planar.hpp"
#include "sea/ground/operations.hpp"

#include <ogr_spatialref.h>

#include <array>
#include <string>
#include <utility>

namespace swingroom {

/// A CRS without its vertical part, x before y whatever its own axis order.
OGRSpatialReference horizontal(const OGRSpatialReference& given);

/// From a layer's CRS to grid space: by one operation of PROJ, the best one known around the raster, whose
/// accuracy is part of the placement allowance.
///
/// Degrees and cylindrical planes repeat themselves every 360 degrees. Between two such planes longitudes go
/// on across 180; from any other plane a vertex is put into the turn that brings it nearest to the raster.
/// Chains in degrees are to be given in all turns that meet the box; a chain in metres is put into the right
/// one here.
class ToGrid {
public:
    struct Unusable {}; ///< a vertex that has no place in the raster's CRS

    /// @param reach_m  the furthest that any hazard of the layer can reach
    /// @param where    file and layer, for messages
    /// @throws InputError  the two CRS cannot be tied to each other, or nobody knows how well
    ToGrid(const OGRSpatialReference& from, const OGRSpatialReference& to, const Grid& grid,
           const GroundMetric& metric, double reach_m, const std::string& where);

    /// Whether the layer's plane is in degrees of longitude and latitude.
    [[nodiscard]] bool from_degrees() const { return from_degrees_; }
    /// A whole turn around the globe in the layer's plane; 0 where it does not repeat itself.
    [[nodiscard]] double turn() const { return from_turn_; }
    /// What of the layer's plane can matter; longitudes continuous around the raster. Endless from east to
    /// west where chains come in any turn.
    [[nodiscard]] const Bounds& box() const { return box_; }
    /// How far the layer may lie beside the raster because their datums are tied to each other no better.
    [[nodiscard]] double accuracy_m() const { return accuracy_m_; }
    /// How far what matters may lie from its true place: the accuracy, and how far the edges stray from the
    /// true ones, of all chains mapped since the last call.
    double take_placement_error_m() { return accuracy_m_ + std::exchange(deviation_m_, 0.0); }
    /// The longest edge, before any halving, of all chains mapped since the last call.
    double take_longest_m() { return std::exchange(longest_m_, 0.0); }

    /// A chain in the layer's plane to grid space, with vertices between where edges would not stay straight.
    /// @throws Unusable; UnusableGeometry if a chain in metres meets the raster in two turns of the globe
    Chain mapped(const Chain& chain);

private:
    /// Finds the operation from the layer's CRS to the raster's, and how accurate it is.
    void find_operation(const PJ& from, const PJ& to, const std::string& where);
    [[nodiscard]] Chain placed(const Chain& chain);
    /// Finds how short an edge must be to be straight beyond doubt, from edges all over what is near the
    /// raster.
    void find_straight();
    [[nodiscard]] bool surely_straight(GridPoint from, GridPoint to, GridPoint a, GridPoint b) const;
    /// Moves points from the layer's plane to grid space. @throws Unusable
    void place(Chain& points, const Chain& source);
    /// Not finite where a point has no place.
    void transform(PJ_DIRECTION direction, Chain& points);
    /// The box in the layer's plane around all that lies near the raster, from a net of points over it. Where
    /// the net leaves the domain of the projection there is no box, and nothing is cut away.
    void find_box();
    /// A chain in the turn of the layer's plane in which it is near the raster. @throws UnusableGeometry
    [[nodiscard]] Chain turned(Chain chain) const;
    [[nodiscard]] bool around_a_pole() const;
    /// A chain that is already in that turn, without what is far to the east and west where that can be left
    /// out.
    [[nodiscard]] Chain cut(Chain chain) const;
    [[nodiscard]] double distance_m(GridPoint p, GridPoint a, GridPoint b) const;
    /// How far a chord lies from all that is near the raster, by its box.
    [[nodiscard]] double away_m(const Bounds& chord) const;
    /// Adds an edge's vertices after its first one, halving it until it is straight enough.
    /// @param on  where the points a quarter, a half and three quarters along it lie
    void edge(GridPoint from, GridPoint to, GridPoint a, GridPoint b, const std::array<GridPoint, 3>& on,
              int halvings, Chain& out);

    const Grid& grid_;
    bool from_degrees_ = false;
    double from_turn_ = 0, to_turn_ = 0;     ///< 360 degrees in either plane; 0: it does not repeat itself
    double from_centre_ = 0, to_centre_ = 0; ///< eastings of the raster's centre in either plane
    double accuracy_m_ = 0;
    CellSize cell_; ///< the largest
    double most_deviation_m_ = 0, deviation_m_ = 0, longest_m_ = 0;
    double straight_m_ = 0, straight_units_ = 0; ///< of such edges: on the ground and in the layer's plane
    Bounds near_;                                ///< the raster grown by the reach, in grid space
    Bounds box_;                                 ///< the same in the layer's plane
    double box_left_ = 0, box_right_ = 0;        ///< also where the box is endless
    Context context_;
    Pj operation_; ///< forward: layer to raster; none if they share a CRS
};

} // namespace swingroom
