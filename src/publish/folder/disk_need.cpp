#include "swingroom/publish/disk_need.hpp"

#include <algorithm>
#include <cmath>
#include <sys/statvfs.h>
#include <unistd.h>
#include <vector>

namespace swingroom {
namespace {

/// Its frame, and what the file says of it.
constexpr double bytes_with_a_tile = 8 + 16;

double across(Window cells) { return std::ceil(cells.cols / 512.0); }
double down(Window cells) { return std::ceil(cells.rows / 512.0); }
double count(Window cells) { return static_cast<double>(cells.cols) * cells.rows; }

/// Tiles of cells that do not compress. What an edge's tiles hold beyond the raster repeats, row by row.
double bytes_of_noise(Window cells, double bytes_of_cell, Compression compression) {
    // It grows by five bytes in 10 kB, or by one in 256.
    const double growth = compression == Compression::deflate ? 1.001 : 1.004;
    constexpr double bytes_of_repeated_row = 40;
    return growth * (count(cells) * bytes_of_cell + across(cells) * down(cells) * bytes_with_a_tile +
                     (across(cells) + down(cells)) * 512 * bytes_of_repeated_row);
}

/// Tiles that hold one value each.
double bytes_of_calm(Window cells, double bytes_of_cell, Compression compression) {
    // By a match of 258 bytes in two bits at the best (RFC 1951); of zstd there is no such bound that
    // matters.
    const double best = compression == Compression::deflate ? 1032 : 100'000;
    return across(cells) * down(cells) * (512.0 * 512 * bytes_of_cell / best + bytes_with_a_tile / 2);
}

/// A layer on its way: its tiles as they come, those of overviews kept aside; then whole, then drawn.
struct LayerNeed {
    double raster_most = 0; ///< its file, until it is finished
    double aside_most = 0;  ///< in a file without a name, until then
    double whole_most = 0, least = 0;
    double tiles_most = 0; ///< of a map
};

LayerNeed need_of(Window window, double bytes_of_cell, Compression compression, bool as_tiles) {
    // Description, plan, digests, styles, the names of classes.
    constexpr double texts_bytes = 200'000;
    // Of a picture of noise in the colours of a ramp, with the lower zooms: a pixel is at the least half as
    // long as a cell and takes less than a byte. Measured: see disk_need_test.
    constexpr double tile_bytes_of_cell = 4.0 * 4 / 3;
    LayerNeed need;
    if (as_tiles) {
        need.tiles_most = tile_bytes_of_cell * 512 * 512 * across(window) * down(window) + texts_bytes;
    }
    need.raster_most = bytes_of_noise(window, bytes_of_cell, compression) + texts_bytes;
    need.least = bytes_of_calm(window, bytes_of_cell, compression);
    double overviews_most = 0;
    while (window.cols > 512 || window.rows > 512) {
        window = {0, 0, (window.cols + 1) / 2, (window.rows + 1) / 2};
        overviews_most += bytes_of_noise(window, bytes_of_cell, compression);
        need.least += bytes_of_calm(window, bytes_of_cell, compression);
    }
    // The tiles of overviews, and of what they are halved from the half that waits for the other.
    need.aside_most = 1.5 * overviews_most;
    need.whole_most = need.raster_most + overviews_most;
    return need;
}

} // namespace

DiskNeed disk_need(Window window, LayerSet wanted, const Outputs& outputs) {
    if (window.empty()) return {};
    std::vector<LayerNeed> layers;
    double unfinished = 0;
    DiskNeed need;
    for (const Layer layer : raster_layers) {
        if (!wanted.has(layer)) continue;
        layers.push_back(need_of(window, bytes_of(traits(layer).type), outputs.compression,
                                 outputs.formats.of(layer).has(Format::mbtiles)));
        unfinished += layers.back().raster_most + layers.back().aside_most;
        need.least_bytes += layers.back().least;
    }
    double finished = 0;
    for (const LayerNeed& layer : layers) {
        unfinished -= layer.raster_most + layer.aside_most;
        const double finishing = layer.whole_most + layer.aside_most,
                     drawing = layer.whole_most + layer.tiles_most;
        need.most_bytes = std::max(need.most_bytes, finished + unfinished + std::max(finishing, drawing));
        finished += drawing;
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
