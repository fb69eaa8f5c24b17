#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/overlay/block_answers.hpp"
#include "swingroom/overlay/layers.hpp"
#include "swingroom/publish/compression.hpp"

#include "publish/raster/tile_codec.hpp"
#include "publish/raster/tile_maker.hpp"

#include <cstddef>
#include <cstdint>
#include <memory>
#include <vector>

namespace swingroom {

/// A tile that is kept apart from its layer until that is written.
struct KeptTile {
    std::vector<std::byte> compressed; ///< as it stands in the layer
    /// The tile's cells halved by the worst, in the layer's coding; where all are the same, one of them.
    std::vector<std::byte> half;
    bool half_is_of_one_value = false; ///< whether `half` holds one cell
};

/// What a layer gets of a plane: its tiles, row by row, and the CellDigest of its cells.
struct KeptTiles {
    std::vector<KeptTile> tiles;
    std::uint64_t digest = 0;
};

/// The tile that was kept.
/// @param tile  its window in the layer   @param codec  of the layer   @throws std::runtime_error  it is none
template <class T>
[[nodiscard]] MadeTile<T> unpacked(const KeptTile& kept, Window tile, const TileCodec& codec);

/// The plane that TileKeeper::kept() was given, of a layer of sets of bits.
/// @param plane  its window   @throws std::runtime_error  it is none
[[nodiscard]] Plane<std::uint16_t> unpacked_plane(const KeptTiles& kept, Window plane,
                                                  Compression compression);

/// Makes tiles of the planes of a layer. Calls may come from several threads.
class TileKeeper {
public:
    /// @param layer  a raster
    TileKeeper(Layer layer, Compression compression);
    ~TileKeeper();
    TileKeeper(TileKeeper&&) noexcept;
    TileKeeper& operator=(TileKeeper&&) noexcept;

    /// @param plane  of the layer and of its type, which holds whole tiles of it
    /// @param first  the cell of the plane's raster that is the layer's (0, 0)
    template <class T>
    [[nodiscard]] KeptTiles kept(const Plane<T>& plane, GridCell first) const;

    struct State; ///< the implementation's own

private:
    std::unique_ptr<State> state_;
};

} // namespace swingroom
