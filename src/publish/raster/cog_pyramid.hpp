#pragma once

#include "swingroom/publish/raster_layer.hpp"

#include "base/spool.hpp"
#include "publish/raster/cell_digest.hpp"
#include "publish/raster/cog_file.hpp"
#include "publish/raster/tile_codec.hpp"
#include "publish/raster/waiting_cells.hpp"
#include "publish/raster/worst_of.hpp"

#include <atomic>
#include <cstddef>
#include <cstdint>
#include <map>
#include <memory>
#include <mutex>
#include <optional>
#include <utility>
#include <vector>

namespace swingroom {

/// Tiles of a raster to a CogFile, and with them the tiles of its overviews, each as soon as the four below
/// it have come. Whoever brings a tile compresses it, outside of any lock. Safe from any thread.
template <class T>
class CogPyramid {
public:
    /// A tile of the raster on its way to the file.
    struct Tile {
        std::shared_ptr<const std::vector<std::byte>> compressed;
        TileCells<T> half; ///< its cells halved by the worst; empty where no overview asks for them
    };

    /// @param in_memory_bytes  of cells that wait for others   @param file, spool  outlive this
    CogPyramid(CogFile& file, const TileCodec& codec, Spool& spool, Worst worst, std::size_t in_memory_bytes)
        : file_(file), codec_(codec), worst_(worst), digests_(file.levels().size()),
          waiting_(extents_of(file), codec, spool, in_memory_bytes) {}

    /// Compresses and halves a tile.   @param view  its cells within the raster
    [[nodiscard]] Tile made_of(std::size_t level, const CellView<T>& view) {
        Tile tile;
        const bool halves = level + 1 < digests_.size();
        if (view.is_of_one_value()) {
            const T value = *view.cells;
            tile.compressed = of_one_value(value);
            if (halves) {
                tile.half.cells = {worse(worse(value, value, worst_), worse(value, value, worst_), worst_)};
            }
        } else {
            tile.compressed =
                std::make_shared<std::vector<std::byte>>(codec_.encode(view, tile_side, tile_side));
            if (halves) tile.half.cells = halved_by_worst(view, worst_);
        }
        tile.half.cols = (view.cols + 1) / 2;
        tile.half.rows = (view.rows + 1) / 2;
        return tile;
    }

    /// Takes a tile of the raster, compressed by made_of() or elsewhere with the same coding, each once.
    /// @param col, row  counted in tiles   @throws IoError
    void put(int col, int row, Tile tile) {
        for (std::size_t level = 0;; ++level, col /= 2, row /= 2) {
            const Window extent = file_.levels()[level].extent;
            file_.put(level,
                      static_cast<std::size_t>(row) * static_cast<std::size_t>(tiles_across(extent)) +
                          static_cast<std::size_t>(col),
                      *tile.compressed);
            if (level + 1 == digests_.size()) return;
            const std::optional<TileCells<T>> whole = waiting_.put(level + 1, col, row, std::move(tile.half));
            if (!whole) return;
            const Window cells{col / 2 * tile_side, row / 2 * tile_side, whole->cols, whole->rows};
            if (whole->is_of_one_value()) {
                digests_[level + 1] += CellDigest::of_one(whole->cells.front(), cells);
                tile = made_of(level + 1, {whole->cells.data(), 1, 1, 1});
                tile.half.cols = (cells.cols + 1) / 2;
                tile.half.rows = (cells.rows + 1) / 2;
            } else {
                digests_[level + 1] += CellDigest::of(whole->cells.data(), cells);
                tile = made_of(level + 1, whole->view());
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

    /// Nothing surveyed, all no: most tiles of most seas. Two threads may both compress one; the bytes are
    /// the same.
    std::shared_ptr<const std::vector<std::byte>> of_one_value(T value) {
        constexpr std::size_t most = 64;
        const auto key = CellDigest::bits(value);
        {
            const std::scoped_lock lock(mutex_);
            const auto found = of_one_value_.find(key);
            if (found != of_one_value_.end()) return found->second;
        }
        auto made = std::make_shared<const std::vector<std::byte>>(
            codec_.encode(CellView<T>{&value, 1, 1, 1}, tile_side, tile_side));
        const std::scoped_lock lock(mutex_);
        if (of_one_value_.size() < most) of_one_value_.emplace(key, made);
        return made;
    }

    CogFile& file_;
    const TileCodec& codec_;
    Worst worst_;
    std::vector<std::atomic<std::uint64_t>> digests_; ///< by level
    WaitingCells<T> waiting_;
    std::mutex mutex_; ///< guards what follows
    std::map<std::uint32_t, std::shared_ptr<const std::vector<std::byte>>> of_one_value_; ///< by its bits
};

} // namespace swingroom
