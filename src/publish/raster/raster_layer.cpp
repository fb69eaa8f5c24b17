#include "swingroom/publish/raster_layer.hpp"

#include "swingroom/base/stop.hpp"

#include "publish/folder/guarded_files.hpp"
#include "publish/raster/cell_digest.hpp"
#include "publish/raster/cog_file.hpp"
#include "publish/raster/cog_pyramid.hpp"
#include "publish/raster/kept_tiles.hpp"
#include "publish/raster/layer_coding.hpp"
#include "publish/raster/layer_model.hpp"
#include "publish/raster/read_back.hpp"
#include "publish/raster/tile_codec.hpp"

#include <algorithm>
#include <atomic>
#include <map>
#include <mutex>
#include <optional>
#include <stdexcept>
#include <system_error>
#include <utility>

namespace swingroom {
namespace {

namespace fs = std::filesystem;

/// What a layer is asked to be.
struct Order {
    fs::path path;
    LayerSpec spec;
    const Grid& grid;
    const Provenance& provenance;
    int threads;
    GridCell first;
    RasterStorage storage;
};

/// Shares of what may wait in memory. Tiles wait for those before them, of which a run decides two rows at a
/// time; half cells of the second overview and above for the next such rows.
std::size_t for_half_cells(const RasterStorage& storage) { return storage.waiting_bytes / 8 * 3; }
std::size_t for_tiles(const RasterStorage& storage) { return storage.waiting_bytes / 8 * 3; }
/// For tiles of overviews, which wait until the end: so much that little is written twice of many layers.
std::size_t for_spool(const RasterStorage& storage) {
    return std::min(storage.waiting_bytes / 4, std::size_t{1} << 20);
}

} // namespace

/// What a layer needs whatever its cells are.
struct RasterLayer::State {
    explicit State(const Order& order)
        : spec(order.spec), path(order.path), extent(order.grid.extent()), first(order.first),
          threads(std::max(1, order.threads)),
          model(layer_model(path.string(), spec, order.grid, order.provenance)),
          codec(coding_of(spec.type, order.storage.compression)),
          spool({path.parent_path(), for_spool(order.storage)}),
          file(path,
               {extent, model.tags, codec.coding(), may_pass_4_gb(extent, bytes_of(spec.type)),
                guarded::PlacedFile::Room::inserted, for_tiles(order.storage)},
               spool) {}
    virtual ~State() {
        if (finished) return;
        std::error_code ignored;
        fs::remove(path, ignored);
        fs::remove(sidecar(), ignored);
    }
    State(const State&) = delete;
    State& operator=(const State&) = delete;

    /// As RasterLayer::put().
    virtual void put(Window plane, const KeptTiles& kept) = 0;
    /// Reads the file back.   @throws IoError  it is not what was written
    virtual void compare() = 0;

    void finish();
    [[nodiscard]] fs::path sidecar() const { return fs::path(path) += ".aux.xml"; }
    [[noreturn]] void refuse() const {
        throw std::logic_error("a plane that does not belong to the layer " + spec.name);
    }

    LayerSpec spec;
    fs::path path;
    Window extent;
    GridCell first; ///< of the extent, in the raster that planes count in
    int threads;
    LayerModel model;
    TileCodec codec;
    Spool spool;
    CogFile file;
    std::atomic<std::uint64_t> digest{0}, cells_written{0}; ///< of the raster itself
    bool finished = false;
};

void RasterLayer::State::finish() {
    if (cells_written != extent.cells()) {
        throw std::logic_error("not every cell of the layer " + spec.name + " was written once");
    }
    stop_if_asked();
    file.finish();
    compare();
    if (!model.sidecar.empty()) {
        guarded::Writer writer(sidecar());
        writer.write(model.sidecar);
        writer.close();
    }
    finished = true;
}

namespace {

/// The layer's tiles: those that a plane holds whole go on as they are, others are put together first.
template <class T>
class LayerOf final : public RasterLayer::State {
public:
    explicit LayerOf(const Order& order)
        : State(order), pyramid_(file, codec, spool, spec.worst, for_half_cells(order.storage)) {}

    void write(const Plane<T>& plane) {
        const Window seen = plane.window();
        const Window all{seen.col - first.col, seen.row - first.row, seen.cols, seen.rows};
        if (common(all, extent) != all) refuse();
        if (all.empty()) return;
        digest += CellDigest::of(plane.data(), all);
        for (const Window& part : cut_into_blocks(all, tile_side)) {
            const CellView<T> view{plane.row(part.row + first.row) + (part.col - all.col), all.cols,
                                   part.cols, part.rows};
            const int col = part.col / tile_side, row = part.row / tile_side;
            const Window tile = common({col * tile_side, row * tile_side, tile_side, tile_side}, extent);
            if (part == tile) {
                put(col, row, view);
            } else if (const std::optional<Piecemeal> whole = put_together(tile, part, view)) {
                put(col, row, {whole->cells.data(), tile.cols, tile.cols, tile.rows});
            }
        }
        cells_written += all.cells();
    }

    void put(Window plane, const KeptTiles& kept) override {
        const Window all{plane.col - first.col, plane.row - first.row, plane.cols, plane.rows};
        if (common(all, extent) != all) refuse();
        const std::vector<Window> tiles = cut_into_blocks(all, tile_side);
        if (tiles.size() != kept.tiles.size()) refuse();
        for (std::size_t i = 0; i < tiles.size(); ++i) {
            const int col = tiles[i].col / tile_side, row = tiles[i].row / tile_side;
            const Window tile = common({col * tile_side, row * tile_side, tile_side, tile_side}, extent);
            if (tiles[i] != tile) refuse();
            pyramid_.put(col, row, unpacked<T>(kept.tiles[i], tiles[i], codec));
        }
        digest += kept.digest;
        cells_written += all.cells();
    }

    void compare() override {
        std::vector<Window> levels;
        for (const CogLevel& level : file.levels()) {
            levels.push_back(level.extent);
        }
        const std::vector<std::uint64_t> read = digests_read_back<T>(path, levels, threads);
        for (std::size_t level = 0; level < levels.size(); ++level) {
            if (read[level] != (level == 0 ? digest.load() : pyramid_.digest_of_overview(level))) {
                guarded::fail(path, "reads otherwise than it was written");
            }
        }
    }

private:
    /// A tile that comes in pieces.
    struct Piecemeal {
        std::vector<T> cells;
        std::size_t there = 0;
    };

    void put(int col, int row, const CellView<T>& view) { pyramid_.put(col, row, pyramid_.made_of(0, view)); }

    /// @returns the tile, when that was its last piece
    std::optional<Piecemeal> put_together(Window tile, Window part, const CellView<T>& view) {
        const std::scoped_lock lock(mutex_);
        const auto at = piecemeal_.try_emplace({tile.row, tile.col}).first;
        Piecemeal& pieces = at->second;
        pieces.cells.resize(tile.cells());
        T* to = pieces.cells.data() +
                static_cast<std::size_t>(part.row - tile.row) * static_cast<std::size_t>(tile.cols) +
                static_cast<std::size_t>(part.col - tile.col);
        for (int r = 0; r < part.rows; ++r, to += tile.cols) {
            std::copy_n(view.row(r), part.cols, to);
        }
        pieces.there += part.cells();
        if (pieces.there < tile.cells()) return std::nullopt;
        Piecemeal whole = std::move(pieces);
        piecemeal_.erase(at);
        return whole;
    }

    CogPyramid<T> pyramid_;
    std::mutex mutex_;                                   ///< guards what follows
    std::map<std::pair<int, int>, Piecemeal> piecemeal_; ///< by the tile's first row and column
};

template <class T>
void write_to(RasterLayer::State& state, const Plane<T>& plane) {
    auto* const layer = dynamic_cast<LayerOf<T>*>(&state);
    if (layer == nullptr) state.refuse();
    layer->write(plane);
}

std::unique_ptr<RasterLayer::State> made_to(const Order& order) {
    switch (order.spec.type) {
    case CellType::uint8:
        return std::make_unique<LayerOf<std::uint8_t>>(order);
    case CellType::uint16:
        return std::make_unique<LayerOf<std::uint16_t>>(order);
    case CellType::uint32:
        return std::make_unique<LayerOf<std::uint32_t>>(order);
    case CellType::float32:
        return std::make_unique<LayerOf<float>>(order);
    }
    throw std::logic_error("unknown type of cell");
}

} // namespace

RasterLayer::RasterLayer(const std::filesystem::path& folder, LayerSpec spec, const Grid& grid,
                         const Provenance& provenance, int threads, GridCell first,
                         const RasterStorage& storage) {
    fs::path path = fs::absolute(folder / (spec.name + ".tif")).lexically_normal();
    state_ = made_to({std::move(path), std::move(spec), grid, provenance, threads, first, storage});
}

RasterLayer::~RasterLayer() = default;

void RasterLayer::write(const Plane<std::uint8_t>& plane) { write_to(*state_, plane); }
void RasterLayer::write(const Plane<std::uint16_t>& plane) { write_to(*state_, plane); }
void RasterLayer::write(const Plane<std::uint32_t>& plane) { write_to(*state_, plane); }
void RasterLayer::write(const Plane<float>& plane) { write_to(*state_, plane); }

void RasterLayer::put(Window plane, const KeptTiles& kept) { state_->put(plane, kept); }

void RasterLayer::finish() { state_->finish(); }
const LayerSpec& RasterLayer::spec() const { return state_->spec; }

} // namespace swingroom
