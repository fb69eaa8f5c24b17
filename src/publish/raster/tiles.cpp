#include "publish/raster/tiles.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/stop.hpp"
#include "swingroom/base/version.hpp"

#include "base/json.hpp"
#include "publish/folder/guarded_files.hpp"
#include "publish/raster/mbtiles_file.hpp"
#include "publish/raster/tile_pyramid.hpp"
#include "publish/raster/worst_of.hpp"
#include "publish/styles/hatch.hpp"
#include "publish/styles/styles.hpp"
#include "sea/gdal/gdal_messages.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t pixels_of_a_tile = std::size_t{tile_pixels} * tile_pixels;
constexpr auto alpha = static_cast<std::uint8_t>(255 * style_opacity);

/// What stands for no answer: nothing is worse.
template <class T>
constexpr T unsurveyed_cell() {
    if constexpr (std::is_floating_point_v<T>) return std::numeric_limits<T>::quiet_NaN();
    return T{};
}

template <class T>
bool is_unsurveyed(T value) {
    if constexpr (std::is_floating_point_v<T>) return std::isnan(value);
    return value == T{};
}

/// A pixel of a tile: half-transparent, and in full strength on its class's hatch.
template <class T>
std::array<std::uint8_t, 4> drawn(const LayerSpec& spec, T value, int col, int row) {
    if (is_unsurveyed(value)) return {};
    std::array<std::uint8_t, 4> rgba{};
    Hatch hatch = Hatch::none;
    if constexpr (std::is_floating_point_v<T>) {
        const auto step = std::find_if(spec.steps.begin(), spec.steps.end(),
                                       [&](const Step& one) { return value <= one.up_to; });
        if (step != spec.steps.end()) rgba = step->rgba;
    } else {
        const auto category = std::find_if(spec.categories.begin(), spec.categories.end(),
                                           [&](const Category& one) { return value == one.value; });
        if (category != spec.categories.end()) {
            rgba = category->rgba;
            hatch = category->hatch;
        }
    }
    rgba[3] = inked(hatch, col, row) ? 255 : alpha;
    return rgba;
}

GDALDatasetUniquePtr opened(const fs::path& layer) {
    const GdalMessages errors;
    GDALDatasetUniquePtr cells(
        GDALDataset::Open(guarded::gdal_name(layer).c_str(), GDAL_OF_RASTER | GDAL_OF_VERBOSE_ERROR));
    guarded::throw_if_failed(layer);
    if (!cells) guarded::fail(layer, "cannot be read back: " + errors.failure());
    return cells;
}

/// One layer's tiles, from the highest zoom down: each tile is made from the cells or from the four below it,
/// drawn, and handed up.
template <class T>
class Tiler {
public:
    using Values = std::vector<T>; ///< of a tile's pixels; none where nothing is known of all of them

    Tiler(const fs::path& layer, const LayerSpec& spec, Grid grid, const std::string& source,
          TilePyramid pyramid, MbtilesFile& file, const std::function<void()>& step)
        : layer_(layer), spec_(spec), grid_(std::move(grid)), georeference_(grid_, source), pyramid_(pyramid),
          file_(file), step_(step), cells_(opened(layer_)) {}

    void write_all() {
        const TileRange top = pyramid_.range(pyramid_.least_zoom);
        for (std::int64_t row = top.north; row <= top.south; ++row) {
            for (std::int64_t col = top.west; col <= top.east; ++col) {
                write({pyramid_.least_zoom, col, row});
            }
        }
    }

private:
    Values write(TileAddress tile) {
        if (!pyramid_.range(tile.zoom).contains(tile)) return {};
        stop_if_asked();
        Values values = tile.zoom == pyramid_.most_zoom ? from_cells(tile) : from_four(tile);
        if (std::all_of(values.begin(), values.end(), is_unsurveyed<T>)) return {};
        TilePicture picture;
        picture.reserve(pixels_of_a_tile);
        for (int row = 0; row < tile_pixels; ++row) {
            for (int col = 0; col < tile_pixels; ++col) {
                picture.push_back(drawn(spec_, values[picture.size()], col, row));
            }
        }
        file_.add(tile, picture);
        if (step_) step_();
        return values;
    }

    Values from_four(TileAddress tile) {
        Values values(pixels_of_a_tile, unsurveyed_cell<T>());
        constexpr int half = tile_pixels / 2;
        for (int south = 0; south < 2; ++south) {
            for (int east = 0; east < 2; ++east) {
                const Values finer = write({tile.zoom + 1, 2 * tile.col + east, 2 * tile.row + south});
                if (finer.empty()) continue;
                const Values quarter = halved_by_worst(finer, tile_pixels, tile_pixels, spec_.worst);
                for (int row = 0; row < half; ++row) {
                    std::copy_n(quarter.begin() + row * half, half,
                                values.begin() + (south * half + row) * tile_pixels + east * half);
                }
            }
        }
        return values;
    }

    Values from_cells(TileAddress tile) {
        const std::vector<CornerLine> lines = tile_corners(georeference_, tile);
        std::vector<std::array<Window, tile_pixels>> windows;
        for (std::size_t row = 0; row + 1 < lines.size(); ++row) {
            windows.push_back(footprints(grid_, lines[row], lines[row + 1]));
        }
        Window all;
        for (const auto& row : windows) {
            for (const Window& window : row) {
                if (common(window, grid_.extent()) == window) all = joined(all, window);
            }
        }
        if (all.empty()) return {};
        const Plane<T> cells = read(all);
        Values values(pixels_of_a_tile, unsurveyed_cell<T>());
        for (std::size_t i = 0; i < values.size(); ++i) {
            const Window window = windows[i / tile_pixels][i % tile_pixels];
            // A pixel that reaches over the raster's edge stands for what is not known, too.
            if (!window.empty() && common(window, grid_.extent()) == window) {
                values[i] = worst_in(cells, window);
            }
        }
        return values;
    }

    static Window joined(Window a, Window b) {
        if (b.empty()) return a;
        if (a.empty()) return b;
        const int col = std::min(a.col, b.col), row = std::min(a.row, b.row);
        return {col, row, std::max(a.col_end(), b.col_end()) - col, std::max(a.row_end(), b.row_end()) - row};
    }

    T worst_in(const Plane<T>& cells, Window window) const {
        T value = cells.at(window.col, window.row);
        for (int row = window.row; row < window.row_end(); ++row) {
            for (int col = window.col; col < window.col_end(); ++col) {
                value = worse(value, cells.at(col, row), spec_.worst);
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
            guarded::fail(layer_, "cannot be read back: " + errors.failure());
        }
        guarded::throw_if_failed(layer_); // what could not be read may look like cells without data
        return cells;
    }

    fs::path layer_;
    const LayerSpec& spec_;
    Grid grid_;
    Georeference georeference_;
    TilePyramid pyramid_;
    MbtilesFile& file_;
    const std::function<void()>& step_;
    GDALDatasetUniquePtr cells_;
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
                 const Provenance& provenance, const std::function<void()>& step) {
    const fs::path path = fs::absolute(folder / (spec.name + ".mbtiles")).lexically_normal();
    const TilePyramid pyramid = pyramid_over(grid, Georeference(grid, source), source);
    MbtilesFile file(path, metadata_of(spec, pyramid, provenance));
    const fs::path layer = fs::path(path).replace_extension(".tif");
    if (spec.type == CellType::float32) {
        Tiler<float>(layer, spec, grid, source, pyramid, file, step).write_all();
    } else {
        Tiler<std::uint8_t>(layer, spec, grid, source, pyramid, file, step).write_all();
    }
    file.finish();
}

void check_tiles(const Grid& grid, const std::string& source) {
    pyramid_over(grid, Georeference(grid, source), source);
}

} // namespace swingroom
