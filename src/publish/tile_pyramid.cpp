#include "publish/tile_pyramid.hpp"

#include "swingroom/base/error.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace swingroom {
namespace {

constexpr double pi = std::numbers::pi;
constexpr double earth_radius_m = 6378137;         // EPSG:3857
constexpr double most_latitude = 85.0511287798066; // where the square map ends: atan(sinh(pi))
/// Finer than any survey; keeps columns of pixels within 2^31.
constexpr int finest_zoom = 23;
/// What a footprint may miss of a cell, in cells: transforming there and back costs some 1e-8 of it, and a
/// pixel that fits its cells exactly must not be charged with their neighbours.
constexpr double hair = 1e-6;

double tiles_across(int zoom) { return std::ldexp(1.0, zoom); }

/// Position in tiles from the north-west corner of the map.
double tile_col(double lon, int zoom) { return (lon / 360 + 0.5) * tiles_across(zoom); }
double tile_row(double lat, int zoom) {
    return (0.5 - std::asinh(std::tan(lat * pi / 180)) / (2 * pi)) * tiles_across(zoom);
}
double longitude(double col, int zoom) { return (col / tiles_across(zoom) - 0.5) * 360; }
double latitude(double row, int zoom) {
    return std::atan(std::sinh((0.5 - row / tiles_across(zoom)) * 2 * pi)) * 180 / pi;
}

/// Points all around the raster, close enough together for its outline to be what lies between them.
std::vector<GridPoint> outline(const Grid& grid) {
    constexpr int pieces = 256;
    std::vector<GridPoint> points;
    for (int i = 0; i <= pieces; ++i) {
        const double x = static_cast<double>(grid.cols) * i / pieces,
                     y = static_cast<double>(grid.rows) * i / pieces;
        points.insert(
            points.end(),
            {{x, 0}, {x, static_cast<double>(grid.rows)}, {0, y}, {static_cast<double>(grid.cols), y}});
    }
    return points;
}

/// The lesser side on the ground of the cell in the middle of the raster.
double cell_m(const Grid& grid, const Georeference& georeference) {
    const GridPoint middle{grid.cols / 2.0, grid.rows / 2.0};
    const LonLat at = georeference.lonlat({middle.x - 0.5, middle.y - 0.5});
    return std::min(geodesic(at, georeference.lonlat({middle.x + 0.5, middle.y - 0.5})).distance_m,
                    geodesic(at, georeference.lonlat({middle.x - 0.5, middle.y + 0.5})).distance_m);
}

int zoom_for(double ground_m, double lat) {
    int zoom = 0;
    while (zoom < finest_zoom &&
           2 * pi * earth_radius_m * std::cos(lat * pi / 180) / tile_pixels / tiles_across(zoom) > ground_m) {
        ++zoom;
    }
    return zoom;
}

} // namespace

TileRange TilePyramid::range(int zoom) const {
    const auto last = static_cast<std::int64_t>(tiles_across(zoom)) - 1;
    // Edges of pixels may be edges of tiles, and then no tile begins there.
    constexpr double part_of_a_pixel = 1e-4 / tile_pixels;
    const auto first = [](double at) { return static_cast<std::int64_t>(std::floor(at + part_of_a_pixel)); };
    const auto end = [](double at) { return static_cast<std::int64_t>(std::floor(at - part_of_a_pixel)); };
    TileRange range{first(tile_col(west, zoom)),
                    std::clamp<std::int64_t>(first(tile_row(north, zoom)), 0, last),
                    end(tile_col(east, zoom)), std::clamp<std::int64_t>(end(tile_row(south, zoom)), 0, last)};
    range.east = std::min(range.east, range.west + last); // once round at the most
    return range;
}

TilePyramid pyramid_over(const Grid& grid, const Georeference& georeference, const std::string& source) {
    std::vector<GridPoint> points = outline(grid);
    georeference.to_lonlat_unwrapped(points);
    TilePyramid pyramid;
    const auto [west, east] =
        std::minmax_element(points.begin(), points.end(), [](GridPoint a, GridPoint b) { return a.x < b.x; });
    const auto [south, north] =
        std::minmax_element(points.begin(), points.end(), [](GridPoint a, GridPoint b) { return a.y < b.y; });
    pyramid.west = west->x;
    pyramid.east = std::min(east->x, west->x + 360);
    pyramid.south = std::max(south->y, -most_latitude);
    pyramid.north = std::min(north->y, most_latitude);
    if (pyramid.south >= pyramid.north)
        throw InputError(source, "lies beyond 85.05 degrees of latitude, where web maps and so MBTiles end",
                         "ask for .tif instead");
    pyramid.most_zoom =
        zoom_for(cell_m(grid, georeference), georeference.lonlat({grid.cols / 2.0, grid.rows / 2.0}).lat);
    const auto fits = [&](int zoom) {
        return tile_col(pyramid.east, zoom) - tile_col(pyramid.west, zoom) <= 1 &&
               tile_row(pyramid.south, zoom) - tile_row(pyramid.north, zoom) <= 1;
    };
    pyramid.least_zoom = pyramid.most_zoom;
    // Zoom 0 has one tile, where one that crosses the antimeridian would need two.
    while (pyramid.least_zoom > 1 && !fits(pyramid.least_zoom)) {
        --pyramid.least_zoom;
    }
    const int zoom = pyramid.least_zoom;
    const auto down = [](double tiles) { return std::floor(tiles * tile_pixels) / tile_pixels; };
    const auto up = [](double tiles) { return std::ceil(tiles * tile_pixels) / tile_pixels; };
    pyramid.west = longitude(down(tile_col(pyramid.west, zoom)), zoom);
    pyramid.east = std::min(longitude(up(tile_col(pyramid.east, zoom)), zoom), pyramid.west + 360);
    pyramid.north = latitude(std::max(0.0, down(tile_row(pyramid.north, zoom))), zoom);
    pyramid.south = latitude(std::min(tiles_across(zoom), up(tile_row(pyramid.south, zoom))), zoom);
    return pyramid;
}

CornerLine corner_line(const Georeference& georeference, TileAddress tile, int line) {
    CornerLine corners;
    const double lat =
        latitude(static_cast<double>(tile.row) + static_cast<double>(line) / tile_pixels, tile.zoom);
    for (std::size_t i = 0; i < corners.size(); ++i)
        corners[i] = georeference.grid_point(
            {longitude(static_cast<double>(tile.col) + static_cast<double>(i) / tile_pixels, tile.zoom),
             lat});
    return corners;
}

std::array<Window, tile_pixels> footprints(const Grid& grid, const CornerLine& upper,
                                           const CornerLine& lower) {
    std::array<Window, tile_pixels> windows;
    const double seam = std::max(8.0, grid.cols / 2.0);
    for (std::size_t i = 0; i < windows.size(); ++i) {
        const auto [left, right] = std::minmax({upper[i].x, upper[i + 1].x, lower[i].x, lower[i + 1].x});
        const auto [top, bottom] = std::minmax({upper[i].y, upper[i + 1].y, lower[i].y, lower[i + 1].y});
        if (right - left > seam) {
            windows[i] = {};
            continue;
        }
        const auto first = [](double v) {
            return static_cast<int>(std::clamp(std::floor(v + hair), -1e9, 1e9));
        };
        const auto end = [](double v) {
            return static_cast<int>(std::clamp(std::ceil(v - hair), -1e9, 1e9));
        };
        const int col = first(left), row = first(top);
        windows[i] = {col, row, std::max(1, end(right) - col), std::max(1, end(bottom) - row)};
    }
    return windows;
}

} // namespace swingroom
