#include "swingroom/base/error.hpp"

#include "publish/tile_pyramid.hpp"

#include <gtest/gtest.h>
#include <ogr_spatialref.h>

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
    for (const int row : {0, 100, 255}) {
        const auto windows = footprints(grid, corner_line(georeference, {15, 15000, 11000}, row),
                                        corner_line(georeference, {15, 15000, 11000}, row + 1));
        for (int col = 0; col < tile_pixels; ++col)
            ASSERT_EQ(windows[static_cast<std::size_t>(col)], (Window{col, row, 1, 1})) << col << ',' << row;
    }
}

} // namespace
} // namespace swingroom
