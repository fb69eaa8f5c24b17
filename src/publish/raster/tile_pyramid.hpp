#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/sea/georeference.hpp"

#include <array>
#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

namespace swingroom {

/// Pixels a side of a tile of web maps.
inline constexpr int tile_pixels = 256;

/// A tile of the spherical Mercator projection by its zoom, column from 180 W and row from the north.
/// The column is continuous across the antimeridian: it may be below zero or beyond the last.
struct TileAddress {
    /// At zoom z the equator is 2^z tiles long.
    int zoom = 0;
    /// Row 0 is the northernmost, as in XYZ addresses; MBTiles counts from the south.
    std::int64_t col = 0, row = 0;
    /// The tile of the next lower zoom that it is a quarter of; below zero columns are halved downwards.
    [[nodiscard]] TileAddress parent() const { return {zoom - 1, col >> 1, row >> 1}; }
};

/// Tiles in a rectangle, ends included.
struct TileRange {
    /// The first and the last column, and the first and the last row, of one zoom.
    std::int64_t west = 0, north = 0, east = 0, south = 0;
    /// Whether a tile is among them, taken to be of the same zoom and in the same turn of the globe.
    [[nodiscard]] bool contains(TileAddress tile) const {
        return tile.col >= west && tile.col <= east && tile.row >= north && tile.row <= south;
    }
};

/// Which tiles stand for a raster. The highest zoom is the first whose pixels are, on the ground in the
/// middle of the raster, no longer than its cells; the lowest the first at which all of it fits a tile's
/// length.
struct TilePyramid {
    /// Both are made; all between them, too.
    int least_zoom = 0, most_zoom = 0;
    /// What the raster covers, in degrees, outwards to edges of pixels of the lowest zoom and so of all:
    /// readers count pixels from here. West is continuous with east.
    double west = 0, south = 0, east = 0, north = 0;
    /// The tiles of a zoom that the raster touches, at most once round the globe.
    [[nodiscard]] TileRange range(int zoom) const;
};

/// @param source  the raster's file, for messages
/// @throws InputError  the raster lies beyond the latitudes that web maps have
TilePyramid pyramid_over(const Grid& grid, const Georeference& georeference, const std::string& source);

/// Corners of pixels in grid space, along one of the lines between rows of them; not a number where a corner
/// has no place there.
struct CornerLine {
    /// From the west.
    std::array<double, tile_pixels + 1> x{}, y{};
};

/// Where the corners of a tile's pixels lie in grid space, to less than a millionth of a cell.
class TileCorners {
public:
    TileCorners(const Georeference& georeference, TileAddress tile);

    /// @param line  from 0, the northern edge, to tile_pixels, the southern one
    [[nodiscard]] CornerLine line(int line) const;

private:
    bool each_is_placed_;           ///< by itself; else lines between are found by cubics
    std::vector<CornerLine> lines_; ///< all, or those that cubics go through
};

/// Windows of the pixels of a row, from the west: those of a row's footprints.
struct PixelWindows {
    /// As in Window: the first cell, and how many.
    std::array<int, tile_pixels> col{}, row{}, cols{}, rows{};
    [[nodiscard]] Window operator[](std::size_t pixel) const {
        return {col[pixel], row[pixel], cols[pixel], rows[pixel]};
    }
};

/// The cells that the pixels between two lines of corners touch: for each of them, a window that may reach
/// outside the raster. Empty where that is not known, at the seam of a raster that goes all round.
PixelWindows footprints(const Grid& grid, const CornerLine& upper, const CornerLine& lower);

} // namespace swingroom
