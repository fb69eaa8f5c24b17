#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/base/message.hpp"
#include "swingroom/room/metric.hpp"

#include <memory>
#include <span>
#include <string>

namespace swingroom {

/// The horizontal part of a reference system, as WKT2:2019: without the vertical part of a
/// compound one and without the shift that a bound one carries (BAG files wrap theirs in a null shift).
/// @throws InputError  when it is neither geographic nor projected: local, geocentric, unreadable
std::string horizontal_crs_wkt(const std::string& wkt, const Message& source);

/// WGS 84 longitude and latitude in degrees.
struct LonLat {
    double lon = 0, lat = 0; ///< east and north positive
};

/// A geodesic on the WGS 84 ellipsoid: distance in metres, azimuth at the start in degrees from true north,
/// [0, 360).
struct Geodesic {
    double distance_m = 0, azimuth_deg = 0; ///< along the ellipsoid; at the start
};
/// The shortest line between two positions, by Karney's algorithm as PROJ has it.
Geodesic geodesic(LonLat from, LonLat to);

/// The position at the end of a geodesic, with its longitude within half a turn of where it starts.
/// @param azimuth_deg  at the start, from true north
LonLat destination(LonLat from, double azimuth_deg, double distance_m);

/// Between a grid's cells and WGS 84, both ways; one object per thread. Longitudes come back in [-180, 180]
/// except that `lonlat` keeps one raster's cells continuous across 180 when asked to (`unwrapped`).
class Georeference {
public:
    /// @throws InputError when the grid's CRS cannot be tied to WGS 84 (local, geocentric, unknown datum: no
    ///         ballpark transformation is accepted)
    explicit Georeference(const Grid& grid, const std::string& source);
    ~Georeference();
    Georeference(Georeference&&) noexcept;
    Georeference& operator=(Georeference&&) noexcept;

    /// Position of a point in grid space (cell centres are at + 0.5).
    /// @throws InputError if it lies nowhere on the earth
    [[nodiscard]] LonLat lonlat(GridPoint p) const;
    /// Many at once, in place: x becomes longitude, y latitude; longitudes unwrapped to be within 180 degrees
    /// of the raster's centre. @throws InputError if one cannot be transformed
    void to_lonlat_unwrapped(std::span<GridPoint> points) const;
    /// The point in grid space of a position, whichever turn of 360 degrees brings it nearest to the raster.
    /// @throws InputError if the grid's CRS has no place for it
    [[nodiscard]] GridPoint grid_point(LonLat position) const;

private:
    struct Handles;
    std::unique_ptr<Handles> handles_;
};

/// Lower bounds of the ground size of the grid's cells, row by row, from geodesics on WGS 84; skew is paid
/// for by shrinking. For any two points i columns and j rows apart, hypot(i dx, j dy) with the least dx and
/// dy of the rows between them is never more than their geodesic distance. The loss against the true local
/// size is bounded by `ground_metric_loss`.
GroundMetric ground_metric(const Grid& grid, const std::string& source);

/// Greatest relative amount by which a distance by the metric falls short of the true one, in any direction
/// and anywhere in the raster: what the row-wise lower bound costs. Across a UTM zone up to 0.14 %. For
/// degrees it grows with the span of latitudes and with the cells: with cells of 15" 0.002 % from the equator
/// to 10 N, 0.05 % from 70 to 80 N, 0.12 % from the equator to 84 N, 1 % there with cells of 3' 45"; a row
/// that ends in a pole loses all of its width. For Web Mercator about a tenth of that.
/// @param reach_m  how far the two points may be apart, the metric being taken at either one's row; 0: in one
///                 row of cells or in neighbouring ones
double ground_metric_loss(const Grid& grid, const GroundMetric& metric, const std::string& source,
                          double reach_m = 0);

} // namespace swingroom
