#include "swingroom/base/error.hpp"

#include "publish/raster/pixel_cells.hpp"
#include "publish/raster/tile_pyramid.hpp"

#include <gtest/gtest.h>
#include <ogr_spatialref.h>

#include <array>
#include <cmath>

namespace swingroom {
namespace {

std::string wkt(int epsg) {
    OGRSpatialReference crs;
    crs.importFromEPSG(epsg);
    char* text = nullptr;
    crs.exportToWkt(&text);
    std::string result = text;
    CPLFree(text);
    return result;
}

// Published ground resolutions of web maps at the equator: 156543.03 m at zoom 0, halved with each.
TEST(TilePyramid, TakesTheFirstZoomThatIsNoCoarserThanTheCellsOnTheGround) {
    // 5 m at 49 N: zoom 15 has 4.777 m at the equator, 3.13 m here; zoom 14 has 6.27 m.
    const Grid at_49{400, 400, 450000, 5430000, 5, -5, wkt(32631)};
    const TilePyramid tiles = pyramid_over(at_49, Georeference(at_49, "a"), "a");
    EXPECT_EQ(tiles.most_zoom, 15);
    EXPECT_LE(tiles.least_zoom, 13);
    const Grid at_0{400, 400, 450000, 1000, 5, -5, wkt(32631)};
    EXPECT_EQ(pyramid_over(at_0, Georeference(at_0, "a"), "a").most_zoom, 15);
    const Grid finer{400, 400, 450000, 1000, 4.7, -4.7, wkt(32631)};
    EXPECT_EQ(pyramid_over(finer, Georeference(finer, "a"), "a").most_zoom, 16);
}

TEST(TilePyramid, CrossesTheAntimeridianInOneGo) {
    const Grid grid{400, 400, 179.99, -17, 5e-5, -5e-5, wkt(4326)};
    const TilePyramid tiles = pyramid_over(grid, Georeference(grid, "a"), "a");
    EXPECT_GE(tiles.east - tiles.west, 0.02);
    EXPECT_LT(tiles.east - tiles.west, 0.021) << "outwards to pixels of the lowest zoom";
    const TileRange range = tiles.range(tiles.most_zoom);
    EXPECT_LT(range.east - range.west, 5);
    EXPECT_GE(tiles.least_zoom, 1);
}

// Models of the whole ocean count longitudes from 0 to 360.
TEST(TilePyramid, LiesWhereItsTwinLiesWhicheverWayLongitudesAreCounted) {
    for (const double lon : {190.0, 180.0, 359.99, 200.5}) {
        SCOPED_TRACE(lon);
        const Grid beyond{400, 400, lon, -17, 5e-5, -5e-5, wkt(4326)};
        const Grid twin{400, 400, lon - 360, -17, 5e-5, -5e-5, wkt(4326)};
        const TilePyramid tiles = pyramid_over(beyond, Georeference(beyond, "a"), "a"),
                          wanted = pyramid_over(twin, Georeference(twin, "a"), "a");
        EXPECT_NEAR(tiles.west, wanted.west, 1e-9);
        EXPECT_NEAR(tiles.east, wanted.east, 1e-9);
        EXPECT_GE(tiles.west, -180);
        EXPECT_LE(tiles.east, 180) << "it does not cross the antimeridian";
        EXPECT_EQ(tiles.range(tiles.most_zoom).west, wanted.range(wanted.most_zoom).west);
        EXPECT_EQ(tiles.range(tiles.most_zoom).east, wanted.range(wanted.most_zoom).east);
    }
    const Grid edge{400, 400, 179.98, -17, 5e-5, -5e-5, wkt(4326)};
    EXPECT_LE(pyramid_over(edge, Georeference(edge, "a"), "a").east, 180);
    const Grid across{400, 400, -180.01, -17, 5e-5, -5e-5, wkt(4326)};
    const TilePyramid crossing = pyramid_over(across, Georeference(across, "a"), "a");
    EXPECT_NEAR(crossing.west, 179.99, 1e-3);
    EXPECT_NEAR(crossing.east, 180.01, 1e-3);
}

TEST(TilePyramid, RefusesWhatWebMapsDoNotHave) {
    const Grid pole{100, 100, 5, 87, 1e-3, -1e-3, wkt(4326)};
    EXPECT_THROW(pyramid_over(pole, Georeference(pole, "a"), "a"), InputError);
}

TEST(Footprints, OfPixelsThatAreCellsAreThoseCellsAlone) {
    // One tile of zoom 15 in its own projection, cut into its pixels.
    const double size = 2 * M_PI * 6378137 / 32768, west = -M_PI * 6378137 + 15000 * size,
                 north = M_PI * 6378137 - 11000 * size;
    const Grid grid{tile_pixels,        tile_pixels,         west,     north,
                    size / tile_pixels, -size / tile_pixels, wkt(3857)};
    const Georeference georeference(grid, "a");
    const TileCorners corners(georeference, {15, 15000, 11000});
    for (const int row : {0, 100, 255}) {
        const PixelWindows windows = footprints(grid, corners.line(row), corners.line(row + 1));
        for (int col = 0; col < tile_pixels; ++col) {
            ASSERT_EQ(windows[static_cast<std::size_t>(col)], (Window{col, row, 1, 1})) << col << ',' << row;
        }
    }
}

// The corner's place by the projection's own formula: 180 degrees are pi earth radii.
LonLat corner_of(TileAddress tile, std::size_t col, std::size_t line) {
    const double across = std::ldexp(1.0, tile.zoom);
    const double turns =
                     (static_cast<double>(tile.col) + static_cast<double>(col) / tile_pixels) / across - 0.5,
                 up =
                     0.5 - (static_cast<double>(tile.row) + static_cast<double>(line) / tile_pixels) / across;
    return {turns * 360, std::atan(std::sinh(2 * M_PI * up)) * 180 / M_PI};
}

// Most are not placed one by one. Far north, far from a zone's meridian, at large cells, over the seam of a
// raster that goes all round: wherever they bend too much for that, or jump, each must be.
TEST(TileCorners, AreWhereEachOfThemWouldBePlacedByItself) {
    const std::array<Grid, 6> grids = {{{400, 400, 450000, 5430000, 5, -5, wkt(32631)},
                                        {400, 400, 1200000, 8650000, 500, -500, wkt(32631)},
                                        {400, 400, 20000, 622000, 3, -3, wkt(3995)},
                                        {400, 400, 20000, 622000, 900, -900, wkt(3995)},
                                        {400, 400, 179.99, 79, 5e-5, -5e-5, wkt(4326)},
                                        {3600, 1600, -180, 80, 0.1, -0.1, wkt(4326)}}};
    for (const Grid& grid : grids) {
        SCOPED_TRACE(grid.origin_x);
        const Georeference georeference(grid, "a");
        const TilePyramid tiles = pyramid_over(grid, georeference, "a");
        const TileRange range = tiles.range(tiles.most_zoom);
        for (const TileAddress tile : {TileAddress{tiles.most_zoom, range.west, range.north},
                                       TileAddress{tiles.most_zoom, range.east, range.south}}) {
            const TileCorners corners(georeference, tile);
            for (std::size_t line = 0; line <= tile_pixels; line += 5) {
                const CornerLine found = corners.line(static_cast<int>(line));
                for (std::size_t col = 0; col <= tile_pixels; col += 3) {
                    const GridPoint wanted = georeference.grid_point(corner_of(tile, col, line));
                    ASSERT_NEAR(found.x.at(col), wanted.x, 6e-7) << col << ',' << line;
                    ASSERT_NEAR(found.y.at(col), wanted.y, 6e-7) << col << ',' << line;
                }
            }
        }
    }
}

TEST(Footprints, OfWhatHasNoPlaceInTheGridAreEmpty) {
    CornerLine upper{}, lower{};
    for (std::size_t i = 0; i < upper.x.size(); ++i) {
        upper.x.at(i) = lower.x.at(i) = static_cast<double>(i);
        lower.y.at(i) = 1;
    }
    lower.x[7] = lower.y[7] = std::nan("");
    const PixelWindows windows = footprints(Grid{400, 400, 0, 0, 1, 1, {}}, upper, lower);
    EXPECT_EQ(windows[5], (Window{5, 0, 1, 1}));
    EXPECT_TRUE(windows[6].empty());
    EXPECT_TRUE(windows[7].empty());
    EXPECT_EQ(windows[8], (Window{8, 0, 1, 1}));
}

// Pixels that reach over the edge of the raster have none: each one's footprint says which those are.
TEST(PixelCells, AreTheFootprintsThatLieInTheRaster) {
    const std::array<Grid, 3> grids = {{{300, 200, 450000, 5430000, 5, -5, wkt(32631)},
                                        {300, 200, 450000, 5430000, 5, 5, wkt(32631)},
                                        {70, 90, 5, 53, 1e-3, -1e-3, wkt(4326)}}};
    for (const Grid& grid : grids) {
        SCOPED_TRACE(grid.step_y);
        const Georeference georeference(grid, "a");
        const TilePyramid tiles = pyramid_over(grid, georeference, "a");
        const TileRange range = tiles.range(tiles.most_zoom);
        int inside = 0, outside = 0;
        for (std::int64_t row = range.north; row <= range.south; ++row) {
            const TileAddress tile{tiles.most_zoom, range.west, row};
            const PixelCells cells = pixel_cells(grid, georeference, tile);
            const TileCorners corners(georeference, tile);
            for (int line = 0; line < tile_pixels; ++line) {
                const PixelWindows of_line = footprints(grid, corners.line(line), corners.line(line + 1));
                for (std::size_t col = 0; col < std::size_t{tile_pixels}; ++col) {
                    const bool lies_in_raster = common(of_line[col], grid.extent()) == of_line[col];
                    ++(lies_in_raster ? inside : outside);
                    if (cells.window.empty()) {
                        ASSERT_FALSE(lies_in_raster);
                        continue;
                    }
                    const Window found = cells.rows.at(static_cast<std::size_t>(line))[col];
                    ASSERT_EQ(found, lies_in_raster ? of_line[col] : Window{}) << line << ',' << col;
                    ASSERT_TRUE(found.empty() || common(found, cells.window) == found) << line << ',' << col;
                }
            }
        }
        EXPECT_GT(inside, 0);
        EXPECT_GT(outside, 0);
    }
}

TEST(PixelCells, OfATileBesideTheRasterAreNone) {
    const Grid grid{300, 200, 450000, 5430000, 5, -5, wkt(32631)};
    const Georeference georeference(grid, "a");
    const TilePyramid tiles = pyramid_over(grid, georeference, "a");
    const TileRange range = tiles.range(tiles.most_zoom);
    const PixelCells cells = pixel_cells(grid, georeference, {tiles.most_zoom, range.east + 3, range.north});
    EXPECT_TRUE(cells.window.empty());
    EXPECT_TRUE(cells.rows.empty());
}

} // namespace
} // namespace swingroom
