#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/base/message.hpp"

#include <proj.h>

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

/// PROJ at arm's length: reference systems and the operations between them.
namespace swingroom {

/// Gives a context back to PROJ; all that was made in it must be gone before.
struct DestroyContext {
    /// As std::unique_ptr calls it.
    void operator()(PJ_CONTEXT* c) const noexcept { proj_context_destroy(c); }
};
/// Gives a reference system or an operation back to PROJ.
struct DestroyPj {
    /// As std::unique_ptr calls it.
    void operator()(PJ* p) const noexcept { proj_destroy(p); }
};
/// A context of PROJ with its owner: one thread at a time may use it.
using Context = std::unique_ptr<PJ_CONTEXT, DestroyContext>;
/// A reference system or an operation with its owner; null where there is none.
using Pj = std::unique_ptr<PJ, DestroyPj>;

/// One that prints nothing, and opens no files but PROJ's own.
Context quiet_context();

/// @throws IoError  when PROJ has no database: without it every CRS seems to be a bad one
void require_proj_database();

/// The horizontal part of a CRS given as text: of a compound one its first part, of a bound one its source.
/// @throws InputError unless geographic or projected
Pj horizontal_crs(PJ_CONTEXT* context, const std::string& wkt, const Message& source);
/// Whether its coordinates are longitudes and latitudes, with heights or without.
bool is_geographic(const PJ* crs);

/// Longitude and latitude bounds, degrees, of where a transformation must be good; across 180 degrees the
/// west is more than the east.
struct Area {
    /// The whole earth unless something else is put in.
    double west = -180, south = -90, east = 180, north = 90;
};

/// Single operations between two reference systems over an area, x before y, the best first: one for the
/// whole raster, so that no seam runs through it. Operations that would only copy the numbers of an unknown
/// datum ("ballpark") and those whose shift grids are not installed are left out.
std::vector<Pj> operations(PJ_CONTEXT* context, const PJ* from, const PJ* to,
                           const std::optional<Area>& area);

/// Where a grid lies, in the longitudes and latitudes of its own datum; nothing when that cannot be had or
/// reaches around the earth.
std::optional<Area> area_of(PJ_CONTEXT* context, const PJ* crs, const Grid& grid);

/// 360 degrees of longitude in a plane, where that is the same everywhere: in degrees and in the cylindrical
/// projections. Told by the numbers: the same step of longitude is the same step eastwards at two latitudes,
/// and no step northwards.
/// @param place  longitude and latitude to the plane
std::optional<double> turn_of(const std::function<GridPoint(GridPoint)>& place);

/// The same of the plane of a CRS given as text; 0 where it does not repeat itself.
/// @throws InputError  as horizontal_crs
double turn_in_plane(const std::string& wkt, const Message& source);

/// The best operation from the CRS of a grid to WGS 84 around the grid; none if no known one ties them.
/// @param context  that it will belong to   @throws InputError  as horizontal_crs
Pj best_to_wgs84(PJ_CONTEXT* context, const Grid& grid, const Message& source);

/// One point through an operation; infinite where it has no place on the other side.
PJ_COORD transformed(PJ* operation, PJ_DIRECTION direction, double x, double y);

/// A longitude in the turn of 360 degrees around another.
double wrapped(double lon, double centre);
/// Whether it is a longitude and a latitude in degrees: finite, and not beyond a pole by more than rounding.
bool is_position(const PJ_COORD& c);

/// How two reference systems are tied to each other around a grid.
struct CoordinateOperation {
    Pj operation;           ///< none if no known operation ties their datums
    double accuracy_m = -1; ///< as its authors state it, 0 within a datum; below 0 if nobody knows
};

/// The best operation to the CRS of a grid of those that have a place for all of the grid, since one by a
/// grid of shifts may end within it; else the best of all.
CoordinateOperation best_operation(PJ_CONTEXT* context, const PJ* from, const PJ* to, const Grid& grid);

/// Points along the outline and through the middle of a grid, in its CRS.
template <class Visit>
void visit_frame(const Grid& grid, Visit visit) {
    constexpr int steps = 8;
    for (int i = 0; i <= steps; ++i) {
        for (int j = 0; j <= steps; ++j) {
            visit(grid.x_of(grid.cols * static_cast<double>(i) / steps),
                  grid.y_of(grid.rows * static_cast<double>(j) / steps));
        }
    }
}

} // namespace swingroom
