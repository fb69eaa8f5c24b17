#pragma once

#include "swingroom/publish/compression.hpp"

#include <cpl_compressor.h>
#include <cpl_string.h>

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

namespace swingroom {

/// Cells a side of the tiles of every level.
inline constexpr int tile_side = 512;

/// A rectangle of cells amid those of a larger one, row by row.
template <class T>
struct CellView {
    const T* cells = nullptr;
    std::ptrdiff_t stride = 0; ///< from a row to the next, in cells
    int cols = 0, rows = 0;    ///< at least 1

    [[nodiscard]] const T* row(int r) const { return cells + r * stride; }
    /// Whether all cells have the same bits. Most that are not are told by their first row.
    [[nodiscard]] bool is_of_one_value() const;
};

/// How the tiles of a layer are stored.
struct TileCoding {
    Compression compression = Compression::deflate;
    /// Of GDAL's compressor. Differences of four bytes go through deflated_words(), which has no levels.
    int level = 1;
    /// Of each cell of a row the difference from the one before it, as of whole numbers: predictor 2 of TIFF
    /// 6.0, section 14. Of floats the bits are taken for a number, which is what GDAL and libtiff do, too.
    bool differences = false;
};

/// Cells to the bytes of a TIFF tile and back. Safe from any thread.
class TileCodec {
public:
    explicit TileCodec(TileCoding coding);

    /// The cells of a rectangle of cols x rows, of which those at hand are the first; the last column and row
    /// are repeated beyond them, which costs least and depends on nothing but the cells.
    template <class T>
    [[nodiscard]] std::vector<std::byte> encode(const CellView<T>& view, int cols, int rows) const;
    /// What encode() was given, of as many cells as there is room for, in rows of `cols`.
    template <class T>
    void decode(std::span<const std::byte> bytes, std::span<T> cells, int cols) const;

    [[nodiscard]] const TileCoding& coding() const { return coding_; }

private:
    [[nodiscard]] std::vector<std::byte> compressed(std::span<const std::byte> raw) const;

    TileCoding coding_;
    const CPLCompressor* compressor_;
    const CPLCompressor* decompressor_;
    CPLStringList options_;
};

} // namespace swingroom
