#include "swingroom/publish/disk_need.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <sys/statvfs.h>
#include <unistd.h>
#include <vector>

namespace swingroom {
namespace {

/// In whole tiles, and what the file says of each.
double stored_bytes(Window cells, double bytes_of_cell) {
    constexpr int tile = 512;
    constexpr double index_bytes = 16;
    const double tiles = (cells.cols + tile - 1.0) / tile, tile_rows = (cells.rows + tile - 1.0) / tile;
    return std::floor(tiles) * std::floor(tile_rows) * (double{tile} * tile * bytes_of_cell + index_bytes);
}

/// A layer on its way: written as it is, then with overviews, then compressed, then drawn.
struct LayerNeed {
    double whole = 0, overviews = 0, compressed_most = 0, tiles_most = 0;
    bool is_of_numbers = false; ///< whose gaps are written too, before it is compressed
};

LayerNeed need_of(Window window, double bytes_of_cell, bool as_tiles) {
    // Description, plan, digests, styles, the names of classes.
    constexpr double texts_bytes = 200'000;
    // What cannot be compressed grows by five bytes in 16 kB.
    constexpr double deflate_growth = 1.001;
    // Of a picture of noise in the colours of a ramp, with the lower zooms: a pixel is at the least half as
    // long as a cell and takes less than a byte. Measured: see disk_need_test.
    constexpr double tile_bytes_of_cell = 4.0 * 4 / 3;
    LayerNeed need{stored_bytes(window, bytes_of_cell), 0, 0, 0};
    while (window.cols > 512 || window.rows > 512) {
        window = {0, 0, (window.cols + 1) / 2, (window.rows + 1) / 2};
        need.overviews += stored_bytes(window, bytes_of_cell);
    }
    need.compressed_most = deflate_growth * (need.whole + need.overviews) + texts_bytes;
    if (as_tiles) need.tiles_most = tile_bytes_of_cell * need.whole / bytes_of_cell + texts_bytes;
    return need;
}

} // namespace

DiskNeed disk_need(Window window, LayerSet wanted, const Outputs& outputs) {
    std::vector<LayerNeed> layers;
    double unfinished = 0; // what is written as it is and waits
    for (const Layer layer : raster_layers) {
        if (!wanted.has(layer)) continue;
        const CellType type = traits(layer).type;
        layers.push_back(need_of(window, bytes_of(type), outputs.formats.of(layer).has(Format::mbtiles)));
        layers.back().is_of_numbers = type == CellType::float32;
        unfinished += layers.back().whole;
    }
    DiskNeed need;
    double finished_most = 0;
    for (const LayerNeed& layer : layers) {
        need.surveyed_bytes = std::max(need.surveyed_bytes, unfinished + layer.overviews);
        if (layer.is_of_numbers) need.least_bytes = std::max(need.least_bytes, layer.whole + layer.overviews);
        const double compressing = unfinished + layer.overviews + layer.compressed_most;
        unfinished -= layer.whole;
        const double drawing = unfinished + layer.compressed_most + layer.tiles_most;
        need.most_bytes = std::max({need.most_bytes, finished_most + compressing, finished_most + drawing});
        finished_most += layer.compressed_most + layer.tiles_most;
    }
    return need;
}

std::optional<double> free_bytes(const std::filesystem::path& folder) {
    struct statvfs about {};
    // Some network and user-space file systems say that they have no blocks at all.
    if (::statvfs(folder.c_str(), &about) != 0 || about.f_blocks == 0) return std::nullopt;
    const auto blocks = ::geteuid() == 0 ? about.f_bfree : about.f_bavail; // a reserve is root's
    return static_cast<double>(blocks) * static_cast<double>(about.f_frsize);
}

} // namespace swingroom
