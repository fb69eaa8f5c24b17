#include "publish/raster/tiles.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/stop.hpp"
#include "swingroom/base/version.hpp"

#include "base/json.hpp"
#include "base/parallel.hpp"
#include "publish/folder/guarded_files.hpp"
#include "publish/raster/mbtiles_file.hpp"
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
#include <memory>
#include <mutex>
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

/// A tile from its quarters.   @param values_of  says the values of a tile of the next zoom
template <class T, class ValuesOf>
Values<T> from_quarters(TileAddress tile, const LayerSpec& spec, const ValuesOf& values_of) {
    Values<T> values(pixels_of_a_tile, unsurveyed_cell<T>(spec));
    constexpr int half = tile_pixels / 2;
    int place = 0;
    for (const TileAddress quarter : quarters_of(tile)) {
        const int first_row = place / 2 * half, first_col = place % 2 * half;
        ++place;
        const Values<T> finer = values_of(quarter);
        if (finer.empty()) continue;
        const Values<T> coarser = halved_by_worst(finer, tile_pixels, tile_pixels, spec.worst);
        for (int row = 0; row < half; ++row) {
            std::copy_n(coarser.begin() + row * half, half,
                        values.begin() + (first_row + row) * tile_pixels + first_col);
        }
    }
    return values;
}

/// What is made of the tiles of one layer, for all threads.
struct TilesToMake {
    fs::path layer;
    const LayerSpec& spec;
    Grid grid;
    std::string source;
    TilePyramid pyramid;
    const TilePalette& palette;
    const MbtilesFile& file;
};

/// A tile and all below it that there are, each after those that it is made of.
template <class T>
struct Subtree {
    Values<T> values; ///< of the tile itself
    std::vector<CompressedTile> tiles;
};

/// Draws and compresses a tile of given values.   @returns false where nothing is known in all of it
template <class T>
bool draw(const TilesToMake& make, TileAddress tile, const Values<T>& values,
          std::vector<CompressedTile>& to) {
    if (std::all_of(values.begin(), values.end(), [&](T value) { return is_unsurveyed(value, make.spec); })) {
        return false;
    }
    TilePicture picture(pixels_of_a_tile);
    for (std::size_t i = 0; i < picture.size(); ++i) {
        picture[i] =
            make.palette.of(values[i], static_cast<int>(i) % tile_pixels, static_cast<int>(i) / tile_pixels);
    }
    to.push_back(make.file.compressed(tile, picture));
    return true;
}

/// Makes tiles from the cells of the layer; each thread has one, since a dataset of GDAL's is for one.
template <class T>
class TileMaker {
public:
    explicit TileMaker(const TilesToMake& make)
        : make_(make), grid_(make.grid), georeference_(make.grid, make.source), cells_(opened(make.layer)) {}

    Subtree<T> subtree(TileAddress tile) {
        Subtree<T> made;
        made.values = values(tile, made.tiles);
        return made;
    }

private:
    Values<T> values(TileAddress tile, std::vector<CompressedTile>& to) {
        if (!make_.pyramid.range(tile.zoom).contains(tile)) return {};
        stop_if_asked();
        Values<T> values = tile.zoom == make_.pyramid.most_zoom
                               ? from_cells(tile)
                               : from_quarters<T>(tile, make_.spec,
                                                  [&](TileAddress below) { return this->values(below, to); });
        if (!draw(make_, tile, values, to)) return {};
        return values;
    }

    Values<T> from_cells(TileAddress tile) {
        const std::vector<CornerLine> lines = tile_corners(georeference_, tile);
        std::vector<Window> windows(pixels_of_a_tile); // empty where a pixel has not all of its cells
        Window all;
        for (std::size_t row = 0; row + 1 < lines.size(); ++row) {
            const std::array<Window, tile_pixels> of_row = footprints(grid_, lines[row], lines[row + 1]);
            for (std::size_t col = 0; col < of_row.size(); ++col) {
                // A pixel that reaches over the raster's edge stands for what is not known, too.
                if (common(of_row[col], grid_.extent()) != of_row[col]) continue;
                windows[row * tile_pixels + col] = of_row[col];
                all = joined(all, of_row[col]);
            }
        }
        if (all.empty()) return {};
        const Plane<T> cells = read(all);
        Values<T> values(pixels_of_a_tile, unsurveyed_cell<T>(make_.spec));
        with_worst(make_.spec.worst, [&](auto worst) {
            for (std::size_t i = 0; i < values.size(); ++i) {
                if (!windows[i].empty()) values[i] = worst_in<decltype(worst)::value>(cells, windows[i]);
            }
        });
        return values;
    }

    static Window joined(Window a, Window b) {
        if (b.empty()) return a;
        if (a.empty()) return b;
        const int col = std::min(a.col, b.col), row = std::min(a.row, b.row);
        return {col, row, std::max(a.col_end(), b.col_end()) - col, std::max(a.row_end(), b.row_end()) - row};
    }

    template <Worst worst>
    static T worst_in(const Plane<T>& cells, Window window) {
        T value = cells.at(window.col, window.row);
        for (int row = window.row; row < window.row_end(); ++row) {
            const T* const of_row = &cells.at(window.col, row);
            for (int col = 0; col < window.cols; ++col) {
                value = worse(value, of_row[col], worst);
            }
        }
        return value;
    }

    Plane<T> read(Window window) {
        Plane<T> cells(window);
        const GdalMessages errors;
        if (cells_->GetRasterBand(1)->RasterIO(GF_Read, window.col, window.row, window.cols, window.rows,
                                               cells.data(), window.cols, window.rows,
                                               std::is_floating_point_v<T> ? GDT_Float32 : GDT_Byte, 0, 0,
                                               nullptr) != CE_None) {
            guarded::fail(make_.layer, "cannot be read back: " + errors.failure());
        }
        guarded::throw_if_failed(make_.layer); // what could not be read may look like cells without data
        return cells;
    }

    const TilesToMake& make_;
    const Grid& grid_;
    Georeference georeference_;
    GDALDatasetUniquePtr cells_;
};

/// All tiles of a layer, each after those that it is made of: so they stand in the file, whoever makes them.
/// Threads make subtrees, some at a time; what stands above these is little, and made by the one that writes.
template <class T>
class Tiler {
public:
    Tiler(const TilesToMake& make, MbtilesFile& file, int threads, const std::function<void()>& step)
        : make_(make), file_(file), threads_(threads), step_(step),
          subtree_zoom_(std::max(make.pyramid.least_zoom, make.pyramid.most_zoom - zooms_below)) {}

    void write_all() {
        each_at_top([&](TileAddress tile) { list(tile); });
        each_at_top([&](TileAddress tile) { write(tile); });
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

    Values<T> write(TileAddress tile) {
        if (!touches(tile)) return {};
        if (tile.zoom == subtree_zoom_) {
            Subtree<T> made = next_subtree();
            for (const CompressedTile& one : made.tiles) {
                add(one);
            }
            return std::move(made.values);
        }
        Values<T> values =
            from_quarters<T>(tile, make_.spec, [&](TileAddress below) { return write(below); });
        std::vector<CompressedTile> drawn;
        if (!draw(make_, tile, values, drawn)) return {};
        add(drawn.front());
        return values;
    }

    void add(const CompressedTile& tile) {
        file_.add(tile);
        if (step_) step_();
    }

    Subtree<T> next_subtree() {
        if (taken_ == made_.size()) {
            const std::size_t first = begun_;
            const std::size_t count =
                std::min(roots_.size() - first, subtrees_a_thread * static_cast<std::size_t>(threads_));
            made_.assign(count, {});
            parallel_for(count, threads_, [&](const auto& next) {
                std::unique_ptr<TileMaker<T>> maker = take_maker();
                while (const auto i = next()) {
                    made_[*i] = maker->subtree(roots_[first + *i]);
                }
                const std::lock_guard lock(makers_mutex_);
                makers_.push_back(std::move(maker));
            });
            begun_ += count;
            taken_ = 0;
        }
        return std::move(made_[taken_++]);
    }

    std::unique_ptr<TileMaker<T>> take_maker() {
        {
            const std::lock_guard lock(makers_mutex_);
            if (!makers_.empty()) {
                auto maker = std::move(makers_.back());
                makers_.pop_back();
                return maker;
            }
        }
        return std::make_unique<TileMaker<T>>(make_);
    }

    const TilesToMake& make_;
    MbtilesFile& file_;
    int threads_;
    const std::function<void()>& step_;
    int subtree_zoom_;
    std::vector<TileAddress> roots_;
    std::vector<Subtree<T>> made_;
    std::size_t begun_ = 0, taken_ = 0; ///< of the roots, and of those that are made
    std::mutex makers_mutex_;
    std::vector<std::unique_ptr<TileMaker<T>>> makers_; ///< that no thread has
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

} // namespace

void write_tiles(const fs::path& folder, const LayerSpec& spec, const Grid& grid, const std::string& source,
                 const Provenance& provenance, int threads, const std::function<void()>& step) {
    const fs::path path = fs::absolute(folder / (spec.name + ".mbtiles")).lexically_normal();
    const TilePyramid pyramid = pyramid_over(grid, Georeference(grid, source), source);
    const TilePalette palette(spec);
    MbtilesFile file(path, metadata_of(spec, pyramid, provenance), palette.colours());
    const TilesToMake make{
        fs::path(path).replace_extension(".tif"), spec, grid, source, pyramid, palette, file};
    if (spec.type == CellType::float32) {
        Tiler<float>(make, file, threads, step).write_all();
    } else {
        Tiler<std::uint8_t>(make, file, threads, step).write_all();
    }
    file.finish(threads);
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
