#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/room/metric.hpp"
#include "swingroom/room/shape.hpp"

#include "sea/ground/to_grid.hpp"

#include <ogr_geometry.h>
#include <ogr_spatialref.h>

#include <map>
#include <memory>
#include <string>
#include <vector>

namespace swingroom {

/// Puts geometries from any CRS into the grid space of one raster.
class Placer {
public:
    /// @throws InputError  the grid's CRS cannot be read
    Placer(const Grid& grid, const GroundMetric& metric);

    /// From one CRS, for features that reach no further than `reach_m`.
    class From {
    public:
        /// @param where  file and layer, for messages   @throws InputError  the CRS cannot be tied to the
        /// raster's
        From(const Placer& placer, const OGRSpatialReference& crs, double reach_m, const std::string& where);

        /// Shapes in grid space with their placement allowance and without a margin, cut to what is near the
        /// raster. One for the paths and the first group of rings, further ones for further groups and turns
        /// of the globe. Broken polygons keep all their area.
        /// @param feature  what to call it in messages: "cables.gpkg, layer cables, feature #3"
        /// @throws InputError  an empty geometry, one with a vertex or an edge that has no certain place
        [[nodiscard]] std::vector<Shape> place(const OGRGeometry& given, const std::string& feature);

    private:
        ToGrid to_grid_;
    };

    /// Gives a placed shape a margin, with the placement allowance that one reaching out of the raster needs.
    /// @param reach_m  that of whatever it is placed with: how much it needs is found out once for each
    /// @returns whether it can touch the raster
    [[nodiscard]] bool give_margin(Shape& shape, double margin_m, double reach_m);

    /// The raster's, in whose space shapes are placed.
    [[nodiscard]] const Grid& grid() const { return grid_; }
    /// The ground size of its cells, by which margins are measured.
    [[nodiscard]] const GroundMetric& metric() const { return metric_; }

private:
    /// How much more than its margin a shape that reaches beyond the raster must be given, as a fraction:
    /// outside, the metric takes the nearest row's size, and cells there may be smaller.
    [[nodiscard]] double outside_loss(double reach_m);

    const Grid& grid_;
    const GroundMetric& metric_;
    CellSize least_;
    OGRSpatialReference target_;
    std::map<double, double> losses_; ///< by reach
};

} // namespace swingroom
