#include "swingroom/base/error.hpp"

#include "sea/cells/chart_gaps.hpp"
#include "sea/cells/charted.hpp"
#include "sea/cells/enc_cells.hpp"
#include "sea/cells/opened_files.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>
#include <vector>

namespace swingroom {
namespace {

/// Metres of a degree of longitude on the WGS 84 ellipsoid.
double lon_degree_m(double lat) {
    constexpr double radius_m = 6378137, eccentricity2 = 0.00669437999014;
    const double phi = lat * std::numbers::pi / 180;
    const double s = std::sin(phi);
    return std::numbers::pi / 180 * radius_m * std::cos(phi) / std::sqrt(1 - eccentricity2 * s * s);
}

/// No degree of latitude is longer, at the poles.
constexpr double longest_lat_degree_m = 111694;

} // namespace

Grid chart_grid(const EncCells& cells, double cell_m) {
    OGREnvelope all;
    for (const auto& cell : cells.cells()) {
        if (!cell->covered()) {
            throw InputError(cell->path(), "does not say what it covers (M_COVR)",
                             "give depths as a raster with " + Setting::bathymetry);
        }
        OGREnvelope one;
        cell->covered()->getEnvelope(&one);
        if (!(one.MinY >= -90 && one.MaxY <= 90 && one.MinX >= -540 && one.MaxX <= 540)) {
            throw InputError(cell->path(),
                             "says that it covers " + std::to_string(one.MinX) + " to " +
                                 std::to_string(one.MaxX) + " E, " + std::to_string(one.MinY) + " to " +
                                 std::to_string(one.MaxY) + " N, which is not on the earth",
                             "get the cell again");
        }
        // Cells on both sides of 180 degrees belong together.
        const double turn =
            all.IsInit() ? 360 * std::round(((all.MinX + all.MaxX) - (one.MinX + one.MaxX)) / 720) : 0;
        all.Merge(one.MinX + turn, one.MinY);
        all.Merge(one.MaxX + turn, one.MaxY);
    }
    const double step_y = cell_m / longest_lat_degree_m;
    // Of the outermost row, which may reach a little further than the charts.
    const double nearest_lat = all.MinY > step_y    ? all.MinY - step_y
                               : all.MaxY < -step_y ? all.MaxY + step_y
                                                    : 0;
    const double step_x = cell_m / lon_degree_m(nearest_lat);
    constexpr double most = 2e9; // windows count in int, and reach a swinging circle beyond the grid
    const double first_col = std::floor(all.MinX / step_x), first_row = std::floor(-all.MaxY / step_y);
    const double cols = std::ceil(all.MaxX / step_x) - first_col,
                 rows = std::ceil(-all.MinY / step_y) - first_row;
    if (!(cols < most && rows < most)) {
        throw InputError(Setting::cell, "is so small that cells cannot be counted", "give a greater one");
    }
    Grid grid;
    grid.cols = std::max(1, static_cast<int>(cols));
    grid.rows = std::max(1, static_cast<int>(rows));
    grid.origin_x = first_col * step_x;
    grid.origin_y = -first_row * step_y;
    grid.step_x = step_x;
    grid.step_y = -step_y;
    char* text = nullptr;
    wgs84_lonlat().exportToWkt(&text);
    grid.crs_wkt = text ? text : "";
    CPLFree(text);
    return grid;
}

Grid chart_grid(const std::vector<std::string>& charts, double cell_m) {
    return chart_grid(OpenedFiles(charts, {}).chart_cells(), cell_m);
}

} // namespace swingroom
