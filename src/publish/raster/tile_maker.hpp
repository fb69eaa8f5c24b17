#pragma once

#include "swingroom/overlay/layers.hpp"

#include "publish/raster/cell_digest.hpp"
#include "publish/raster/tile_codec.hpp"
#include "publish/raster/waiting_cells.hpp"
#include "publish/raster/worst_of.hpp"

#include <cstddef>
#include <cstdint>
#include <map>
#include <memory>
#include <mutex>
#include <vector>

namespace swingroom {

/// A tile on its way to a file.
template <class T>
struct MadeTile {
    std::shared_ptr<const std::vector<std::byte>> compressed;
    TileCells<T> half; ///< its cells halved by the worst; without cells where no overview asks for them
};

/// Compresses and halves the tiles of a layer. Calls may come from several threads.
template <class T>
class TileMaker {
public:
    /// @param codec  outlives this
    TileMaker(const TileCodec& codec, Worst worst) : codec_(codec), worst_(worst) {}

    /// @param view  the tile's cells within the raster   @param halves  whether its half is asked for
    [[nodiscard]] MadeTile<T> made_of(const CellView<T>& view, bool halves) {
        MadeTile<T> tile;
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

private:
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

    const TileCodec& codec_;
    Worst worst_;
    std::mutex mutex_; ///< guards what follows
    std::map<std::uint32_t, std::shared_ptr<const std::vector<std::byte>>> of_one_value_; ///< by its bits
};

} // namespace swingroom
