#include "publish/raster/tiles.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/stop.hpp"
#include "swingroom/base/version.hpp"

#include "base/json.hpp"
#include "base/parallel.hpp"
#include "publish/folder/guarded_files.hpp"
#include "publish/raster/mbtiles_file.hpp"
#include "publish/raster/pixel_cells.hpp"
#include "publish/raster/tile_palette.hpp"
#include "publish/raster/tile_pyramid.hpp"
#include "publish/raster/worst_of.hpp"
#include "sea/gdal/gdal_messages.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <map>
#include <memory>
#include <mutex>
#include <type_traits>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t pixels_of_a_tile = std::size_t{tile_pixels} * tile_pixels;

GDALDatasetUniquePtr opened(const fs::path& layer) {
    const GdalMessages errors;
    GDALDatasetUniquePtr cells(
        GDALDataset::Open(guarded::gdal_name(layer).c_str(), GDAL_OF_RASTER | GDAL_OF_VERBOSE_ERROR));
    guarded::throw_if_failed(layer);
    if (!cells) guarded::fail(layer, "cannot be read back: " + errors.failure());
    return cells;
}

template <class T>
using Values = std::vector<T>; ///< of a tile's pixels; none where nothing is known of all of them

/// The quarters of a tile in the order in which they are made: from the north, each row from the west.
std::array<TileAddress, 4> quarters_of(TileAddress tile) {
    const std::int64_t col = 2 * tile.col, row = 2 * tile.row;
    const int zoom = tile.zoom + 1;
    return {{{zoom, col, row}, {zoom, col + 1, row}, {zoom, col, row + 1}, {zoom, col + 1, row + 1}}};
}

/// A tile that nothing is known of yet, to be put together from its quarters.
template <class T>
Values<T> nothing_known(const LayerSpec& spec) {
    return Values<T>(pixels_of_a_tile, unsurveyed_cell<T>(spec));
}

/// Puts a quarter into the tile that it is of.   @param place  as in quarters_of()
template <class T>
void put_quarter(const Values<T>& finer, std::size_t place, Worst worst, Values<T>& to) {
    if (finer.empty()) return;
    constexpr std::size_t half = tile_pixels / 2;
    const Values<T> coarser = halved_by_worst(finer, tile_pixels, tile_pixels, worst);
    for (std::size_t row = 0; row < half; ++row) {
        std::copy_n(coarser.data() + row * half, half,
                    to.data() + (place / 2 * half + row) * tile_pixels + place % 2 * half);
    }
}

/// What tiles are made of, for all layers and threads.
struct TilesToMake {
    fs::path folder;
    Grid grid;
    std::string source;
    TilePyramid pyramid;
};

/// Which cells the pixels of tiles of the highest zoom stand for, those of one subtree at a time: found when
/// the first layer asks for them. Each thread has one.
class PixelsOfSubtree {
public:
    explicit PixelsOfSubtree(const TilesToMake& make)
        : grid_(make.grid), georeference_(make.grid, make.source) {}

    /// Forgets what is known of another subtree.
    void begin() { tiles_.clear(); }
    const PixelCells& of(TileAddress tile) {
        const auto [at, is_new] = tiles_.try_emplace({tile.row, tile.col});
        if (is_new) at->second = pixel_cells(grid_, georeference_, tile);
        return at->second;
    }

private:
    const Grid& grid_;
    Georeference georeference_;
    std::map<std::pair<std::int64_t, std::int64_t>, PixelCells> tiles_; ///< by row and column
};

/// A tile and all below it that there are, each after those that it is made of.
template <class T>
struct Subtree {
    Values<T> values; ///< of the tile itself
    std::vector<CompressedTile> tiles;
};

/// The tiles of a layer on their way into its file.
class LayerTiles {
public:
    LayerTiles() = default;
    LayerTiles(const LayerTiles&) = delete;
    LayerTiles& operator=(const LayerTiles&) = delete;
    virtual ~LayerTiles() = default;

    /// Room for so many subtrees.
    virtual void make_room(std::size_t subtrees) = 0;
    /// Makes a subtree; from any thread.   @param slot  of the room that was made
    virtual void make(std::size_t slot, TileAddress root, PixelsOfSubtree& pixels) = 0;

    // What follows comes from the one thread that writes.

    /// Writes the subtree of a slot, and puts its root into the tile that is begun, if any is.
    /// @param place  among the quarters of that   @returns how many tiles were written
    virtual std::size_t take(std::size_t slot, std::size_t place) = 0;
    /// Begins a tile, inside of the one begun before.
    virtual void begin() = 0;
    /// Ends it: writes it, and puts it into the one begun before, in the same way.
    virtual std::size_t end(TileAddress tile, std::size_t place) = 0;
    virtual void finish(int threads) = 0;
};

template <class T>
class LayerTilesOf final : public LayerTiles {
public:
    LayerTilesOf(const TilesToMake& make, const LayerSpec& spec, const Provenance& provenance);

    void make_room(std::size_t subtrees) override { made_.assign(subtrees, {}); }
    void make(std::size_t slot, TileAddress root, PixelsOfSubtree& pixels) override {
        Cells cells = cells_at_hand();
        made_[slot].values = values(root, pixels, *cells, made_[slot].tiles);
        const std::lock_guard lock(cells_mutex_);
        cells_.push_back(std::move(cells));
    }

    std::size_t take(std::size_t slot, std::size_t place) override {
        const Subtree<T> made = std::move(made_[slot]);
        for (const CompressedTile& one : made.tiles) {
            file_.add(one);
        }
        put_into_begun(made.values, place);
        return made.tiles.size();
    }
    void begin() override { begun_.push_back(nothing_known<T>(spec_)); }
    std::size_t end(TileAddress tile, std::size_t place) override {
        const Values<T> values = std::move(begun_.back());
        begun_.pop_back();
        std::vector<CompressedTile> drawn;
        if (!draw(tile, values, drawn)) return 0;
        file_.add(drawn.front());
        put_into_begun(values, place);
        return 1;
    }
    void finish(int threads) override { file_.finish(threads); }

private:
    using Cells = GDALDatasetUniquePtr; ///< of the layer; for one thread at a time, as datasets of GDAL's are

    void put_into_begun(const Values<T>& values, std::size_t place) {
        if (!begun_.empty()) put_quarter(values, place, spec_.worst, begun_.back());
    }

    Values<T> values(TileAddress tile, PixelsOfSubtree& pixels, GDALDataset& cells,
                     std::vector<CompressedTile>& to) const {
        if (!make_.pyramid.range(tile.zoom).contains(tile)) return {};
        stop_if_asked();
        Values<T> values;
        if (tile.zoom == make_.pyramid.most_zoom) {
            values = from_cells(pixels.of(tile), cells);
        } else {
            values = nothing_known<T>(spec_);
            std::size_t place = 0;
            for (const TileAddress quarter : quarters_of(tile)) {
                put_quarter(this->values(quarter, pixels, cells, to), place++, spec_.worst, values);
            }
        }
        if (!draw(tile, values, to)) return {};
        return values;
    }

    /// Draws and compresses a tile of given values.   @returns false where nothing is known in all of it
    bool draw(TileAddress tile, const Values<T>& values, std::vector<CompressedTile>& to) const {
        if (std::all_of(values.begin(), values.end(), [&](T value) { return is_unsurveyed(value, spec_); })) {
            return false;
        }
        TilePicture picture(pixels_of_a_tile);
        for (std::size_t i = 0; i < picture.size(); ++i) {
            // Figures have no hatch, and most neighbours have the same: then the colour is that of the last.
            const bool same = std::is_floating_point_v<T> && i > 0 && values[i] == values[i - 1];
            picture[i] = same ? picture[i - 1]
                              : palette_.of(values[i], static_cast<int>(i) % tile_pixels,
                                            static_cast<int>(i) / tile_pixels);
        }
        to.push_back(file_.compressed(tile, picture));
        return true;
    }

    Values<T> from_cells(const PixelCells& of, GDALDataset& dataset) const {
        if (of.window.empty()) return {};
        const Plane<T> cells = read(of.window, dataset);
        Values<T> values;
        values.reserve(pixels_of_a_tile);
        with_worst(spec_.worst, [&](auto worst) {
            for (const PixelWindows& of_row : of.rows) {
                for (std::size_t i = 0; i < tile_pixels; ++i) {
                    const Window pixel = of_row[i];
                    values.push_back(pixel.empty() ? unsurveyed_cell<T>(spec_)
                                                   : worst_of<decltype(worst)::value>(
                                                         &cells.at(pixel.col, pixel.row), of.window.cols,
                                                         pixel.cols, pixel.rows));
                }
            }
        });
        return values;
    }

    /// The worst of a rectangle of cells.   @param first  its first cell   @param stride  from a row to the
    /// next
    template <Worst worst>
    static T worst_of(const T* first, std::ptrdiff_t stride, int cols, int rows) {
        if (cols <= 2 &&
            rows <= 2) { // most: pixels are no longer than cells; a cell taken twice changes nothing
            const std::ptrdiff_t right = cols - 1, below = (rows - 1) * stride;
            return worse(worse(first[0], first[right], worst),
                         worse(first[below], first[below + right], worst), worst);
        }
        T value = *first;
        for (int row = 0; row < rows; ++row, first += stride) {
            for (int col = 0; col < cols; ++col) {
                value = worse(value, first[col], worst);
            }
        }
        return value;
    }

    Plane<T> read(Window window, GDALDataset& dataset) const {
        Plane<T> cells(window);
        const GdalMessages errors;
        if (dataset.GetRasterBand(1)->RasterIO(GF_Read, window.col, window.row, window.cols, window.rows,
                                               cells.data(), window.cols, window.rows,
                                               std::is_floating_point_v<T> ? GDT_Float32 : GDT_Byte, 0, 0,
                                               nullptr) != CE_None) {
            guarded::fail(layer_, "cannot be read back: " + errors.failure());
        }
        guarded::throw_if_failed(layer_); // what could not be read may look like cells without data
        return cells;
    }

    Cells cells_at_hand() {
        {
            const std::lock_guard lock(cells_mutex_);
            if (!cells_.empty()) {
                Cells cells = std::move(cells_.back());
                cells_.pop_back();
                return cells;
            }
        }
        return opened(layer_);
    }

    const TilesToMake& make_;
    const LayerSpec& spec_;
    fs::path layer_;
    TilePalette palette_;
    MbtilesFile file_;
    std::vector<Subtree<T>> made_;
    std::vector<Values<T>> begun_; ///< tiles that are put together, each a quarter of the one before
    std::mutex cells_mutex_;
    std::vector<Cells> cells_; ///< that no thread has
};

/// All tiles of all layers, each after those that it is made of: so they stand in the files, whoever makes
/// them. Threads make subtrees, some at a time; what stands above these is little, and made by the one that
/// writes.
class Tiler {
public:
    using Layers = std::vector<std::unique_ptr<LayerTiles>>;

    Tiler(const TilesToMake& make, Layers& layers, int threads, const std::function<void()>& step)
        : make_(make), layers_(layers), threads_(threads), step_(step),
          subtree_zoom_(std::max(make.pyramid.least_zoom, make.pyramid.most_zoom - zooms_below)) {}

    void write_all() {
        each_at_top([&](TileAddress tile) { list(tile); });
        each_at_top([&](TileAddress tile) { write(tile, 0); });
    }

private:
    /// Of a subtree below its own tile: up to 21 tiles are worth a thread's while.
    static constexpr int zooms_below = 2;
    static constexpr std::size_t subtrees_a_thread = 4; ///< in memory meanwhile

    template <class Take>
    void each_at_top(const Take& take) const {
        const TileRange top = make_.pyramid.range(make_.pyramid.least_zoom);
        for (std::int64_t row = top.north; row <= top.south; ++row) {
            for (std::int64_t col = top.west; col <= top.east; ++col) {
                take({make_.pyramid.least_zoom, col, row});
            }
        }
    }

    [[nodiscard]] bool touches(TileAddress tile) const {
        return make_.pyramid.range(tile.zoom).contains(tile);
    }

    /// The roots of subtrees, in the order in which write() comes to them.
    void list(TileAddress tile) {
        if (!touches(tile)) return;
        if (tile.zoom == subtree_zoom_) {
            roots_.push_back(tile);
            return;
        }
        for (const TileAddress quarter : quarters_of(tile)) {
            list(quarter);
        }
    }

    /// @param place  among the quarters of the tile that is begun
    void write(TileAddress tile, std::size_t place) {
        if (!touches(tile)) return;
        if (tile.zoom == subtree_zoom_) {
            const std::size_t slot = next_slot();
            for (const auto& layer : layers_) {
                tell(layer->take(slot, place));
            }
            return;
        }
        for (const auto& layer : layers_) {
            layer->begin();
        }
        std::size_t quarter_place = 0;
        for (const TileAddress quarter : quarters_of(tile)) {
            write(quarter, quarter_place++);
        }
        for (const auto& layer : layers_) {
            tell(layer->end(tile, place));
        }
    }

    void tell(std::size_t tiles) const {
        for (std::size_t i = 0; step_ && i < tiles; ++i) {
            step_();
        }
    }

    /// Where the next subtree is, which is made if need be, and some after it.
    std::size_t next_slot() {
        if (taken_ == made_) {
            const std::size_t first = begun_;
            made_ = std::min(roots_.size() - first, subtrees_a_thread * static_cast<std::size_t>(threads_));
            for (const auto& layer : layers_) {
                layer->make_room(made_);
            }
            parallel_for(made_, threads_, [&](const auto& next) {
                PixelsOfSubtree pixels(make_);
                while (const auto i = next()) {
                    pixels.begin();
                    for (const auto& layer : layers_) {
                        layer->make(*i, roots_[first + *i], pixels);
                    }
                }
            });
            begun_ += made_;
            taken_ = 0;
        }
        return taken_++;
    }

    const TilesToMake& make_;
    Layers& layers_;
    int threads_;
    const std::function<void()>& step_;
    int subtree_zoom_;
    std::vector<TileAddress> roots_;
    std::size_t begun_ = 0;            ///< of the roots
    std::size_t made_ = 0, taken_ = 0; ///< of those that are made at once
};

std::vector<std::pair<std::string, std::string>>
metadata_of(const LayerSpec& spec, const TilePyramid& pyramid, const Provenance& provenance) {
    const auto degrees = [](double value) { return json_number(value, 12); };
    const auto wrapped = [](double lon) { return lon > 180 ? lon - 360 : lon < -180 ? lon + 360 : lon; };
    // Readers take a west beyond its east for a mistake, so what crosses the antimeridian is bounded by all.
    const bool crosses = pyramid.west < -180 || pyramid.east > 180;
    const std::string west = crosses ? "-180" : degrees(pyramid.west),
                      east = crosses ? "180" : degrees(pyramid.east);
    return {{"name", "swingroom: " + spec.name},
            {"format", "png"},
            {"bounds", west + "," + degrees(pyramid.south) + "," + east + "," + degrees(pyramid.north)},
            {"center", degrees(wrapped((pyramid.west + pyramid.east) / 2)) + "," +
                           degrees((pyramid.south + pyramid.north) / 2) + "," +
                           std::to_string(pyramid.least_zoom)},
            {"minzoom", std::to_string(pyramid.least_zoom)},
            {"maxzoom", std::to_string(pyramid.most_zoom)},
            {"attribution", std::string(caution)},
            {"description", spec.description + ". " + std::string(caution)},
            {"type", "overlay"},
            {"version", "1"},
            {"generator", "swingroom " + std::string(version())},
            {"provenance", provenance_json(provenance)}};
}

template <class T>
LayerTilesOf<T>::LayerTilesOf(const TilesToMake& make, const LayerSpec& spec, const Provenance& provenance)
    : make_(make), spec_(spec), layer_(make.folder / (spec.name + ".tif")), palette_(spec),
      file_(make.folder / (spec.name + ".mbtiles"), metadata_of(spec, make.pyramid, provenance),
            palette_.colours()) {}

} // namespace

void write_tiles(const fs::path& folder, const std::vector<LayerSpec>& specs, const Grid& grid,
                 const std::string& source, const Provenance& provenance, int threads,
                 const std::function<void()>& step) {
    const TilesToMake make{fs::absolute(folder).lexically_normal(), grid, source,
                           pyramid_over(grid, Georeference(grid, source), source)};
    Tiler::Layers layers;
    for (const LayerSpec& spec : specs) {
        if (spec.type == CellType::float32) {
            layers.push_back(std::make_unique<LayerTilesOf<float>>(make, spec, provenance));
        } else {
            layers.push_back(std::make_unique<LayerTilesOf<std::uint8_t>>(make, spec, provenance));
        }
    }
    Tiler(make, layers, threads, step).write_all();
    for (const auto& layer : layers) {
        layer->finish(threads);
    }
}

void check_tiles(const Grid& grid, const std::string& source) {
    pyramid_over(grid, Georeference(grid, source), source);
    constexpr int most_cells_a_side = 1'000'000'000; // see footprints()
    if (std::max(grid.cols, grid.rows) > most_cells_a_side) {
        throw InputError(source, "is too long for map tiles",
                         "give " + Setting::bounds + ", or another " + Setting::format);
    }
}

} // namespace swingroom
