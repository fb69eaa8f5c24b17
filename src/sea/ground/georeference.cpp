#include "swingroom/sea/georeference.hpp"

#include "swingroom/base/error.hpp"

#include "sea/ground/operations.hpp"

#include <algorithm>
#include <cmath>
#include <geodesic.h>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace swingroom {

std::string horizontal_crs_wkt(const std::string& wkt, const Message& source) {
    const Context context = quiet_context();
    const Pj crs = horizontal_crs(context.get(), wkt, source);
    const char* const one_line[] = {"MULTILINE=NO", nullptr};
    const char* const text = proj_as_wkt(context.get(), crs.get(), PJ_WKT2_2019, one_line);
    if (!text) {
        throw InputError(source, "its CRS cannot be written as WKT", "give it a CRS with an EPSG code");
    }
    return text;
}

namespace {

const geod_geodesic& wgs84() {
    static const geod_geodesic ellipsoid = [] {
        geod_geodesic g;
        geod_init(&g, 6378137, 1 / 298.257223563); // NGA.STND.0036: the defining constants of WGS 84
        return g;
    }();
    return ellipsoid;
}

} // namespace

Geodesic geodesic(LonLat from, LonLat to) {
    Geodesic line;
    geod_inverse(&wgs84(), from.lat, from.lon, to.lat, to.lon, &line.distance_m, &line.azimuth_deg, nullptr);
    if (line.azimuth_deg < 0) line.azimuth_deg += 360;
    if (line.azimuth_deg >= 360) line.azimuth_deg = 0; // -1e-17 + 360 rounds to 360
    return line;
}

LonLat destination(LonLat from, double azimuth_deg, double distance_m) {
    LonLat to;
    geod_direct(&wgs84(), from.lat, from.lon, azimuth_deg, distance_m, &to.lat, &to.lon, nullptr);
    to.lon = from.lon + std::remainder(to.lon - from.lon, 360);
    return to;
}

struct Georeference::Handles {
    Context context;
    Pj operation; // forward: the grid's CRS to longitude, latitude
    Grid grid;
    std::string source;
    double centre_lon = 0;                 // of the raster
    std::optional<double> turn_in_columns; // 360 degrees of longitude, where that is the same everywhere

    [[nodiscard]] PJ_COORD position_of(GridPoint p) const {
        return transformed(operation.get(), PJ_FWD, grid.x_of(p.x), grid.y_of(p.y));
    }
    [[noreturn]] void refuse(GridPoint p) const {
        throw InputError(source,
                         "column " + std::to_string(p.x) + ", row " + std::to_string(p.y) +
                             " lies nowhere on the earth by the raster's CRS",
                         "correct its georeference or cut it to where its CRS is meant for");
    }
};

Georeference::Georeference(const Grid& grid, const std::string& source)
    : handles_(std::make_unique<Handles>()) {
    Handles& h = *handles_;
    h.grid = grid;
    h.source = source;
    h.context = quiet_context();

    require_proj_database();
    h.operation = best_to_wgs84(h.context.get(), grid, source);
    if (!h.operation) {
        throw InputError(source, "no known transformation ties its CRS to WGS 84 (unknown datum)",
                         "warp it to a CRS on a known datum");
    }

    const GridPoint middle{grid.cols / 2.0, grid.rows / 2.0};
    const PJ_COORD centre = h.position_of(middle);
    if (!is_position(centre)) h.refuse(middle);
    h.centre_lon = centre.xy.x;
    const auto turn = turn_of([&](GridPoint p) {
        const PJ_COORD c = transformed(h.operation.get(), PJ_INV, p.x, p.y);
        return GridPoint{c.xy.x, c.xy.y};
    });
    if (turn) h.turn_in_columns = *turn / grid.step_x;
}

Georeference::~Georeference() = default;
Georeference::Georeference(Georeference&&) noexcept = default;
Georeference& Georeference::operator=(Georeference&&) noexcept = default;

LonLat Georeference::lonlat(GridPoint p) const {
    const PJ_COORD c = handles_->position_of(p);
    if (!is_position(c)) handles_->refuse(p);
    return {wrapped(c.xy.x, 0), std::clamp(c.xy.y, -90.0, 90.0)};
}

void Georeference::to_lonlat_unwrapped(std::span<GridPoint> points) const {
    for (GridPoint& p : points) {
        const PJ_COORD c = handles_->position_of(p);
        if (!is_position(c)) handles_->refuse(p);
        p = {wrapped(c.xy.x, handles_->centre_lon), std::clamp(c.xy.y, -90.0, 90.0)};
    }
}

GridPoint Georeference::grid_point(LonLat position) const {
    const Handles& h = *handles_;
    const PJ_COORD c = std::abs(position.lat) <= 90
                           ? transformed(h.operation.get(), PJ_INV, wrapped(position.lon, 0), position.lat)
                           : proj_coord(HUGE_VAL, HUGE_VAL, 0, 0);
    if (!std::isfinite(c.xy.x) || !std::isfinite(c.xy.y)) {
        throw InputError(h.source,
                         "position " + std::to_string(position.lon) + ", " + std::to_string(position.lat) +
                             " has no place in the raster's CRS",
                         "give longitude and latitude in degrees, near the raster");
    }
    GridPoint p{h.grid.col_of(c.xy.x), h.grid.row_of(c.xy.y)};
    if (h.turn_in_columns) {
        p.x -= *h.turn_in_columns * std::round((p.x - h.grid.cols / 2.0) / *h.turn_in_columns);
    }
    return p;
}

} // namespace swingroom
