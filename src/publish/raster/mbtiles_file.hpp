#pragma once

#include "publish/raster/tile_pyramid.hpp"

#include <gdal_priv.h>

#include <cstdint>
#include <filesystem>
#include <string>
#include <utility>
#include <vector>

namespace swingroom {

/// Red, green, blue, alpha of a tile's pixels, row by row.
using TilePicture = std::vector<std::array<std::uint8_t, 4>>;

/// An MBTiles file (version 1.3 of the specification) of PNG tiles being written: a database of SQLite, made
/// by GDAL's driver for that, since its driver for MBTiles has no attribution, and blends.
class MbtilesFile {
public:
    /// @throws IoError, here and in all that follows
    MbtilesFile(std::filesystem::path path, const std::vector<std::pair<std::string, std::string>>& metadata);
    MbtilesFile(const MbtilesFile&) = delete;
    MbtilesFile& operator=(const MbtilesFile&) = delete;
    ~MbtilesFile();
    /// Each tile once.
    void add(TileAddress tile, const TilePicture& picture);
    /// Closes; then reads every tile back and compares its pixels.
    void finish();

private:
    void run(const std::string& sql);
    [[noreturn]] void fail(const std::string& why) const;
    void open(unsigned flags);

    std::filesystem::path path_, working_;
    GDALDatasetUniquePtr file_;
    std::vector<std::uint64_t> digests_; ///< of the tiles' pixels, in the order written
};

} // namespace swingroom
