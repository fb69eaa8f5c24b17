#include "publish/raster/read_back.hpp"

#include "base/parallel.hpp"
#include "publish/folder/guarded_files.hpp"
#include "publish/raster/cell_digest.hpp"
#include "publish/raster/cog_head.hpp"
#include "sea/gdal/gdal_messages.hpp"

#include <atomic>
#include <cstddef>
#include <string>
#include <utility>

namespace swingroom {
namespace {

[[noreturn]] void fail(const std::filesystem::path& file, const GdalMessages& errors) {
    guarded::throw_if_failed(file);
    guarded::fail(file, "could not be read back" + (errors.failure().empty() ? "" : ": " + errors.failure()));
}

GDALRasterBand& band_of_level(GDALDataset& dataset, std::size_t level) {
    GDALRasterBand* const band = dataset.GetRasterBand(1);
    return level == 0 ? *band : *band->GetOverview(static_cast<int>(level) - 1);
}

bool has_extents(GDALDataset& dataset, const std::vector<Window>& levels) {
    if (dataset.GetRasterBand(1)->GetOverviewCount() != static_cast<int>(levels.size()) - 1) return false;
    for (std::size_t level = 0; level < levels.size(); ++level) {
        GDALRasterBand& band = band_of_level(dataset, level);
        int across = 0, down = 0;
        band.GetBlockSize(&across, &down);
        if (band.GetXSize() != levels[level].cols || band.GetYSize() != levels[level].rows ||
            across != tile_side || down != tile_side) {
            return false;
        }
    }
    return true;
}

} // namespace

template <class T>
std::vector<std::uint64_t> digests_read_back(const std::filesystem::path& file,
                                             const std::vector<Window>& levels, int threads) {
    const std::string name = guarded::gdal_name(file);
    std::vector<std::pair<std::size_t, Window>> strips; // rows of tiles, as they stand in the file
    for (std::size_t level = levels.size(); level-- > 0;) {
        for (int row = 0; row < levels[level].rows; row += tile_side) {
            strips.emplace_back(level, common({0, row, levels[level].cols, tile_side}, levels[level]));
        }
    }
    std::vector<std::atomic<std::uint64_t>> read(levels.size());
    parallel_for(strips.size(), threads, [&](const auto& next) {
        const GdalMessages errors;
        const GDALDatasetUniquePtr dataset(
            GDALDataset::Open(name.c_str(), GDAL_OF_RASTER | GDAL_OF_VERBOSE_ERROR));
        if (!dataset || dataset->GetRasterCount() != 1 || !has_extents(*dataset, levels)) fail(file, errors);
        std::vector<T> tile(std::size_t{tile_side} * tile_side);
        while (const auto i = next()) {
            const auto& [level, strip] = strips[*i];
            GDALRasterBand& band = band_of_level(*dataset, level);
            for (int col = 0; col < strip.cols; col += tile_side) {
                // Past GDAL's cache of blocks, which would keep what nobody asks for again.
                if (band.ReadBlock(col / tile_side, strip.row / tile_side, tile.data()) != CE_None) {
                    fail(file, errors);
                }
                const Window seen = common({col, strip.row, tile_side, tile_side}, strip);
                read[level] += CellDigest::of(tile.data(), tile_side, seen);
            }
        }
    });
    guarded::throw_if_failed(file);
    return {read.begin(), read.end()};
}

template std::vector<std::uint64_t> digests_read_back<std::uint8_t>(const std::filesystem::path&,
                                                                    const std::vector<Window>&, int);
template std::vector<std::uint64_t> digests_read_back<std::uint16_t>(const std::filesystem::path&,
                                                                     const std::vector<Window>&, int);
template std::vector<std::uint64_t> digests_read_back<std::uint32_t>(const std::filesystem::path&,
                                                                     const std::vector<Window>&, int);
template std::vector<std::uint64_t> digests_read_back<float>(const std::filesystem::path&,
                                                             const std::vector<Window>&, int);

} // namespace swingroom
