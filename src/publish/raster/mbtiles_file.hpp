#pragma once

#include "publish/raster/tile_pyramid.hpp"

#include <gdal_priv.h>

#include <array>
#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <string>
#include <utility>
#include <vector>

namespace swingroom {

/// Red, green, blue, alpha.
using TileColour = std::array<std::uint8_t, 4>;

/// A tile's pixels, row by row: the numbers of their colours in the palette of the file.
using TilePicture = std::vector<std::uint8_t>;

/// A tile as it goes into the file, and what it is known by when it is read back.
struct CompressedTile {
    std::string address; ///< zoom, column and row as the specification has them: rows from the south
    std::string png;
    std::string digest; ///< of address, pixels and palette
};

/// An MBTiles file (version 1.3 of the specification) of PNG tiles with a palette being written: a database
/// of SQLite, made by GDAL's driver for that, since its driver for MBTiles has no attribution, and blends.
class MbtilesFile {
public:
    /// @param palette  256 colours at the most
    /// @throws IoError, here and in all that follows
    MbtilesFile(std::filesystem::path path, const std::vector<std::pair<std::string, std::string>>& metadata,
                std::vector<TileColour> palette);
    MbtilesFile(const MbtilesFile&) = delete;
    MbtilesFile& operator=(const MbtilesFile&) = delete;
    ~MbtilesFile();
    /// What costs; from any thread.
    [[nodiscard]] CompressedTile compressed(TileAddress tile, const TilePicture& picture) const;
    /// Each tile once, from one thread: in the order of the calls they stand in the file.
    void add(const CompressedTile& tile);
    /// Closes; then reads every tile back on so many threads and compares its pixels.
    void finish(int threads);

private:
    /// A tile as it was read.
    struct ReadTile {
        std::string address, png;
    };
    void run(const std::string& sql);
    [[nodiscard]] bool reads_as_written(const std::vector<ReadTile>& tiles, std::size_t first,
                                        int threads) const;
    [[noreturn]] void fail(const std::string& why) const;

    std::filesystem::path path_, working_;
    std::vector<TileColour> palette_;
    GDALDatasetUniquePtr file_;
    std::vector<std::string> digests_; ///< of the tiles, in the order written
};

} // namespace swingroom
