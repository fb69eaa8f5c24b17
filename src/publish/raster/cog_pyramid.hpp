#pragma once

#include "swingroom/publish/raster_layer.hpp"

#include "base/spool.hpp"
#include "publish/raster/cell_digest.hpp"
#include "publish/raster/cog_file.hpp"
#include "publish/raster/tile_codec.hpp"
#include "publish/raster/tile_maker.hpp"
#include "publish/raster/waiting_cells.hpp"

#include <atomic>
#include <cstddef>
#include <cstdint>
#include <utility>
#include <vector>

namespace swingroom {

/// Tiles of a raster to a CogFile, and with them the tiles of its overviews, each as soon as the four below
/// it have come. Whoever brings a tile compresses it, outside of any lock. Safe from any thread.
template <class T>
class CogPyramid {
public:
    using Tile = MadeTile<T>;

    /// @param in_memory_bytes  of cells that wait for others   @param file, spool  outlive this
    CogPyramid(CogFile& file, const TileCodec& codec, Spool& spool, Worst worst, std::size_t in_memory_bytes)
        : file_(file), maker_(codec, worst), digests_(file.levels().size()),
          waiting_(extents_of(file), codec, spool, in_memory_bytes) {}

    /// Compresses and halves a tile.   @param view  its cells within the raster
    [[nodiscard]] Tile made_of(std::size_t level, const CellView<T>& view) {
        return maker_.made_of(view, level + 1 < digests_.size());
    }

    /// Takes a tile of the raster, compressed by made_of() or elsewhere with the same coding, each once.
    /// @param col, row  counted in tiles   @throws IoError
    void put(int col, int row, Tile tile) {
        // Kept, since memory that is new for each tile costs more than to fill it.
        thread_local TileCells<T> whole;
        for (std::size_t level = 0;; ++level, col /= 2, row /= 2) {
            const Window extent = file_.levels()[level].extent;
            file_.put(level,
                      static_cast<std::size_t>(row) * static_cast<std::size_t>(tiles_across(extent)) +
                          static_cast<std::size_t>(col),
                      *tile.compressed);
            if (level + 1 == digests_.size()) return;
            if (!waiting_.put(level + 1, col, row, std::move(tile.half), whole)) return;
            const Window cells{col / 2 * tile_side, row / 2 * tile_side, whole.cols, whole.rows};
            if (whole.is_of_one_value()) {
                digests_[level + 1] += CellDigest::of_one(whole.cells.front(), cells);
                tile = made_of(level + 1, {whole.cells.data(), 1, 1, 1});
                tile.half.cols = (cells.cols + 1) / 2;
                tile.half.rows = (cells.rows + 1) / 2;
            } else {
                digests_[level + 1] += CellDigest::of(whole.cells.data(), cells);
                tile = made_of(level + 1, whole.view());
            }
        }
    }

    /// The CellDigest of the tiles of an overview that have come; of the raster itself, which is put from
    /// outside, there is none.
    [[nodiscard]] std::uint64_t digest_of_overview(std::size_t level) const { return digests_.at(level); }

private:
    static std::vector<Window> extents_of(const CogFile& file) {
        std::vector<Window> extents;
        for (const CogLevel& level : file.levels()) {
            extents.push_back(level.extent);
        }
        return extents;
    }

    CogFile& file_;
    TileMaker<T> maker_;
    std::vector<std::atomic<std::uint64_t>> digests_; ///< by level
    WaitingCells<T> waiting_;
};

} // namespace swingroom
