#include "publish/raster/tile_pyramid.hpp"

#include "swingroom/base/error.hpp"

#include "room/vectorised.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <vector>

namespace swingroom {
namespace {

constexpr double pi = std::numbers::pi;
constexpr double earth_radius_m = 6378137;         // EPSG:3857
constexpr double most_latitude = 85.0511287798066; // where the square map ends: atan(sinh(pi))
/// Finer than any survey; keeps columns of pixels within 2^31.
constexpr int finest_zoom = 23;
/// What a footprint may miss of a cell, in cells: transforming there and back costs some 1e-8 of it, and a
/// pixel that fits its cells exactly must not be charged with their neighbours.
constexpr double rounding_tolerance = 1e-6;

/// Of the corners in a tile every so manyth is placed by PROJ, and one more beyond either end: a cubic
/// through four in a line tells where those between them are.
constexpr int node_step = 16, nodes = tile_pixels / node_step + 3;
/// In cells. A cubic is off by 3/128 of the fourth differences at the most, in either direction: together
/// half the tolerance.
constexpr double greatest_fourth_difference = 1e-5;

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

/// The longitude, or the edge of the map that it is at, but for what transforming it has cost.
double at_edge(double lon) {
    constexpr double half_turn = 180, tolerance = 1e-9; // a tenth of a millimetre
    const double edge = half_turn * std::round(lon / half_turn);
    return std::abs(lon - edge) < tolerance ? edge : lon;
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

/// Where a corner lies in grid space, counted in pixels from the tile's north-western one; not a number where
/// it has no place there.
GridPoint corner(const Georeference& georeference, TileAddress tile, int col, int line) {
    try {
        return georeference.grid_point(
            {longitude(static_cast<double>(tile.col) + static_cast<double>(col) / tile_pixels, tile.zoom),
             latitude(static_cast<double>(tile.row) + static_cast<double>(line) / tile_pixels, tile.zoom)});
    } catch (const InputError&) {
        return {std::numeric_limits<double>::quiet_NaN(), std::numeric_limits<double>::quiet_NaN()};
    }
}

using NodeLine = std::array<GridPoint, nodes>;
using Nodes = std::array<NodeLine, nodes>;

/// Whether cubics through the nodes are as good as PROJ: not across a seam, or where the CRS bends too much.
bool are_smooth(const Nodes& placed) {
    const auto smooth = [](double a, double b, double c, double d, double e) {
        return std::abs(a - 4 * b + 6 * c - 4 * d + e) <= greatest_fourth_difference; // false for NaN
    };
    const auto smooth_points = [&](GridPoint a, GridPoint b, GridPoint c, GridPoint d, GridPoint e) {
        return smooth(a.x, b.x, c.x, d.x, e.x) && smooth(a.y, b.y, c.y, d.y, e.y);
    };
    for (std::size_t i = 0; i < nodes; ++i) {
        for (std::size_t k = 0; k + 4 < nodes; ++k) {
            if (!smooth_points(placed[i][k], placed[i][k + 1], placed[i][k + 2], placed[i][k + 3],
                               placed[i][k + 4]) ||
                !smooth_points(placed[k][i], placed[k + 1][i], placed[k + 2][i], placed[k + 3][i],
                               placed[k + 4][i])) {
                return false;
            }
        }
    }
    return true;
}

/// What a corner takes of four nodes in a line.
struct Cubic {
    std::size_t first = 0; ///< of the nodes
    std::array<double, 4> weights{};

    explicit Cubic(int pixel) {
        const int piece = std::min(pixel / node_step, tile_pixels / node_step - 1);
        const double t =
            static_cast<double>(pixel) / node_step - piece; // of the way from the second to the third
        first = static_cast<std::size_t>(piece);
        weights = {-t * (t - 1) * (t - 2) / 6, (t + 1) * (t - 1) * (t - 2) / 2, -(t + 1) * t * (t - 2) / 2,
                   (t + 1) * t * (t - 1) / 6};
    }
    [[nodiscard]] double of(double a, double b, double c, double d) const {
        return weights[0] * a + weights[1] * b + weights[2] * c + weights[3] * d;
    }
};

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
    // Longitudes may be counted from 0 to 360. From here on the west lies within the map, and only what
    // really crosses the antimeridian reaches beyond its eastern edge.
    const double turns = 360 * std::floor((at_edge(west->x) + 180) / 360);
    pyramid.west = at_edge(west->x) - turns;
    pyramid.east = std::min(at_edge(east->x) - turns, pyramid.west + 360);
    pyramid.south = std::max(south->y, -most_latitude);
    pyramid.north = std::min(north->y, most_latitude);
    if (pyramid.south >= pyramid.north) {
        throw InputError(source, "lies beyond 85.05 degrees of latitude, where web maps and so MBTiles end",
                         "ask for .tif instead");
    }
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

TileCorners::TileCorners(const Georeference& georeference, TileAddress tile) : each_is_placed_(false) {
    Nodes placed;
    for (int line = 0; line < nodes; ++line) {
        for (int col = 0; col < nodes; ++col) {
            placed.at(static_cast<std::size_t>(line)).at(static_cast<std::size_t>(col)) =
                corner(georeference, tile, (col - 1) * node_step, (line - 1) * node_step);
        }
    }
    if (!are_smooth(placed)) {
        each_is_placed_ = true;
        lines_.resize(tile_pixels + 1);
        for (int line = 0; line <= tile_pixels; ++line) {
            CornerLine& corners = lines_[static_cast<std::size_t>(line)];
            for (std::size_t col = 0; col <= tile_pixels; ++col) {
                const GridPoint at = corner(georeference, tile, static_cast<int>(col), line);
                corners.x.at(col) = at.x;
                corners.y.at(col) = at.y;
            }
        }
        return;
    }
    lines_.resize(nodes);
    for (std::size_t col = 0; col <= tile_pixels; ++col) {
        const Cubic cubic(static_cast<int>(col));
        const std::size_t k = cubic.first;
        for (std::size_t line = 0; line < nodes; ++line) {
            const NodeLine& at = placed[line];
            lines_[line].x[col] = cubic.of(at[k].x, at[k + 1].x, at[k + 2].x, at[k + 3].x);
            lines_[line].y[col] = cubic.of(at[k].y, at[k + 1].y, at[k + 2].y, at[k + 3].y);
        }
    }
}

CornerLine TileCorners::line(int line) const {
    if (each_is_placed_) return lines_[static_cast<std::size_t>(line)];
    const Cubic cubic(line);
    const CornerLine* const at = &lines_[cubic.first];
    CornerLine corners;
    for (std::size_t col = 0; col <= tile_pixels; ++col) {
        corners.x[col] = cubic.of(at[0].x[col], at[1].x[col], at[2].x[col], at[3].x[col]);
        corners.y[col] = cubic.of(at[0].y[col], at[1].y[col], at[2].y[col], at[3].y[col]);
    }
    return corners;
}

namespace {

// By value, since a choice between references is a branch. Where b is not a number, they are a.
inline double lesser(double a, double b) { return b < a ? b : a; }
inline double greater(double a, double b) { return a < b ? b : a; }
inline double within_ints(double v) { return lesser(1e9, greater(-1e9, v)); }

/// What footprints() says. Written so that it is compiled for several pixels at a time: without branches, and
/// for figures of one size in each loop.
/// @param seam  columns that no pixel reaches over
SWINGROOM_VECTORISED void find_footprints(const CornerLine& upper, const CornerLine& lower, double seam,
                                          PixelWindows& windows) {
    std::array<double, tile_pixels> col, row, cols, rows, known;
    for (std::size_t i = 0; i < tile_pixels; ++i) {
        const double ax = upper.x[i], bx = upper.x[i + 1], cx = lower.x[i], dx = lower.x[i + 1];
        const double ay = upper.y[i], by = upper.y[i + 1], cy = lower.y[i], dy = lower.y[i + 1];
        const double left = lesser(lesser(ax, bx), lesser(cx, dx)),
                     right = greater(greater(ax, bx), greater(cx, dx)),
                     top = lesser(lesser(ay, by), lesser(cy, dy)),
                     bottom = greater(greater(ay, by), greater(cy, dy));
        const double reach = // not a number if any of them is
            right - left + 0 * (ax + bx + cx + dx + ay + by + cy + dy);
        known[i] = reach <= seam ? 1 : 0;
        col[i] = within_ints(std::floor(left + rounding_tolerance));
        row[i] = within_ints(std::floor(top + rounding_tolerance));
        cols[i] = greater(1, within_ints(std::ceil(right - rounding_tolerance)) - col[i]);
        rows[i] = greater(1, within_ints(std::ceil(bottom - rounding_tolerance)) - row[i]);
    }
    for (std::size_t i = 0; i < tile_pixels; ++i) {
        windows.col[i] = static_cast<int>(known[i] * col[i]);
        windows.row[i] = static_cast<int>(known[i] * row[i]);
        windows.cols[i] = static_cast<int>(known[i] * cols[i]);
        windows.rows[i] = static_cast<int>(known[i] * rows[i]);
    }
}

} // namespace

PixelWindows footprints(const Grid& grid, const CornerLine& upper, const CornerLine& lower) {
    PixelWindows windows;
    find_footprints(upper, lower, std::max(8.0, grid.cols / 2.0), windows);
    return windows;
}

} // namespace swingroom
