#include "publish/raster/kept_tiles.hpp"

#include "publish/raster/layer_coding.hpp"

#include <algorithm>
#include <cstddef>
#include <span>
#include <stdexcept>
#include <utility>
#include <variant>

namespace swingroom {

struct TileKeeper::State {
    State(CellType type, Compression compression) : codec(coding_of(type, compression)) {}
    virtual ~State() = default;
    State(const State&) = delete;
    State& operator=(const State&) = delete;

    TileCodec codec;
};

namespace {

template <class T>
class KeeperOf final : public TileKeeper::State {
public:
    KeeperOf(const LayerTraits& layer, Compression compression)
        : State(layer.type, compression), maker_(codec, layer.worst) {}

    [[nodiscard]] KeptTiles kept(const Plane<T>& plane, GridCell first) {
        const Window seen = plane.window(),
                     all{seen.col - first.col, seen.row - first.row, seen.cols, seen.rows};
        KeptTiles kept;
        kept.digest = CellDigest::of(plane.data(), all);
        for (const Window& tile : cut_into_blocks(all, tile_side)) {
            const CellView<T> view{plane.row(tile.row + first.row) + (tile.col - all.col), all.cols,
                                   tile.cols, tile.rows};
            kept.tiles.push_back(packed(maker_.made_of(view, true)));
        }
        return kept;
    }

private:
    [[nodiscard]] KeptTile packed(const MadeTile<T>& made) const {
        const TileCells<T>& half = made.half;
        const bool one = half.is_of_one_value();
        const CellView<T> view = one ? CellView<T>{half.cells.data(), 1, 1, 1} : half.view();
        return {*made.compressed, codec.encode(view, view.cols, view.rows), one};
    }

    TileMaker<T> maker_;
};

template <class T>
std::unique_ptr<TileKeeper::State> keeper_of(const Plane<T>&, const LayerTraits& layer,
                                             Compression compression) {
    return std::make_unique<KeeperOf<T>>(layer, compression);
}

} // namespace

TileKeeper::TileKeeper(Layer layer, Compression compression)
    : state_(std::visit([&](const auto& plane) { return keeper_of(plane, traits(layer), compression); },
                        BlockAnswers().plane(layer))) {}
TileKeeper::~TileKeeper() = default;
TileKeeper::TileKeeper(TileKeeper&&) noexcept = default;
TileKeeper& TileKeeper::operator=(TileKeeper&&) noexcept = default;

template <class T>
KeptTiles TileKeeper::kept(const Plane<T>& plane, GridCell first) const {
    auto* const keeper = dynamic_cast<KeeperOf<T>*>(state_.get());
    if (keeper == nullptr) throw std::logic_error("a plane that does not belong to the layer");
    return keeper->kept(plane, first);
}

template <class T>
MadeTile<T> unpacked(const KeptTile& kept, Window tile, const TileCodec& codec) {
    MadeTile<T> made;
    made.compressed = std::make_shared<const std::vector<std::byte>>(kept.compressed);
    made.half.cols = (tile.cols + 1) / 2;
    made.half.rows = (tile.rows + 1) / 2;
    const int cols = kept.half_is_of_one_value ? 1 : made.half.cols;
    const int rows = kept.half_is_of_one_value ? 1 : made.half.rows;
    made.half.cells.resize(static_cast<std::size_t>(cols) * static_cast<std::size_t>(rows));
    codec.decode(kept.half, std::span<T>(made.half.cells), cols);
    return made;
}

Plane<std::uint16_t> unpacked_plane(const KeptTiles& kept, Window plane, Compression compression) {
    const TileCodec codec(coding_of(CellType::uint16, compression));
    Plane<std::uint16_t> cells(plane);
    std::vector<std::uint16_t> whole(std::size_t{tile_side} * tile_side);
    const Window all{0, 0, plane.cols, plane.rows};
    const std::vector<Window> tiles = cut_into_blocks(all, tile_side);
    for (std::size_t i = 0; i < tiles.size(); ++i) {
        codec.decode(kept.tiles.at(i).compressed, std::span<std::uint16_t>(whole), tile_side);
        for (int row = 0; row < tiles[i].rows; ++row) {
            std::copy_n(whole.data() + std::ptrdiff_t{row} * tile_side, tiles[i].cols,
                        cells.row(plane.row + tiles[i].row + row) + tiles[i].col);
        }
    }
    return cells;
}

template KeptTiles TileKeeper::kept(const Plane<std::uint8_t>&, GridCell) const;
template KeptTiles TileKeeper::kept(const Plane<std::uint16_t>&, GridCell) const;
template KeptTiles TileKeeper::kept(const Plane<std::uint32_t>&, GridCell) const;
template KeptTiles TileKeeper::kept(const Plane<float>&, GridCell) const;
template MadeTile<std::uint8_t> unpacked(const KeptTile&, Window, const TileCodec&);
template MadeTile<std::uint16_t> unpacked(const KeptTile&, Window, const TileCodec&);
template MadeTile<std::uint32_t> unpacked(const KeptTile&, Window, const TileCodec&);
template MadeTile<float> unpacked(const KeptTile&, Window, const TileCodec&);

} // namespace swingroom
