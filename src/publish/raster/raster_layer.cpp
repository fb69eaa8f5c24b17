#include "swingroom/publish/raster_layer.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/stop.hpp"
#include "swingroom/base/version.hpp"

#include "base/json.hpp"
#include "base/parallel.hpp"
#include "publish/folder/guarded_files.hpp"
#include "publish/raster/cell_digest.hpp"
#include "publish/raster/class_table.hpp"
#include "publish/raster/worst_of.hpp"
#include "sea/gdal/gdal_messages.hpp"

#include <cpl_conv.h>
#include <cpl_string.h>
#include <gdal_priv.h>

#include <algorithm>
#include <atomic>
#include <cmath>
#include <limits>
#include <mutex>
#include <stdexcept>
#include <system_error>
#include <utility>

namespace swingroom {
namespace {

namespace fs = std::filesystem;

constexpr int tile = 512;
constexpr std::size_t cells_of_a_tile = std::size_t{tile} * tile;

GDALDataType gdal_type(CellType type) {
    switch (type) {
    case CellType::uint8:
        return GDT_Byte;
    case CellType::uint16:
        return GDT_UInt16;
    case CellType::uint32:
        return GDT_UInt32;
    case CellType::float32:
        return GDT_Float32;
    }
    throw std::logic_error("unknown type of cell");
}

template <class T>
constexpr CellType cell_type = std::is_same_v<T, std::uint8_t>    ? CellType::uint8
                               : std::is_same_v<T, std::uint16_t> ? CellType::uint16
                               : std::is_same_v<T, std::uint32_t> ? CellType::uint32
                                                                  : CellType::float32;

/// Calls `work` with a null pointer to the layer's type of cell.
template <class Work>
auto with_type(CellType type, Work work) {
    switch (type) {
    case CellType::uint8:
        return work(std::uint8_t{});
    case CellType::uint16:
        return work(std::uint16_t{});
    case CellType::uint32:
        return work(std::uint32_t{});
    case CellType::float32:
        return work(float{});
    }
    throw std::logic_error("unknown type of cell");
}

/// While it lives, GDAL writes as we want it on this thread, whatever the environment says.
class OwnSettings {
    CPLConfigOptionSetter own_overviews_{"TIFF_USE_OVR", "NO", false};
    CPLConfigOptionSetter no_pyramids_{"USE_RRD", "NO", false};
    CPLConfigOptionSetter plain_overviews_{"COMPRESS_OVERVIEW", "NONE", false};
    CPLConfigOptionSetter tiled_overviews_{"GDAL_TIFF_OVR_BLOCKSIZE", std::to_string(tile).c_str(), false};
    CPLConfigOptionSetter names_of_categories_{"GDAL_PAM_ENABLED", "YES", false};
    /// Copied in pieces of a few tiles: by default a piece is as wide as the raster, and memory would grow
    /// with it.
    CPLConfigOptionSetter piece_{"GDAL_SWATH_SIZE", "4194304", false};
};

/// The overviews halve until the whole raster fits a tile.
std::vector<Window> level_extents(Window full) {
    std::vector<Window> levels{full};
    while (levels.back().cols > tile || levels.back().rows > tile) {
        const Window last = levels.back();
        levels.push_back({0, 0, (last.cols + 1) / 2, (last.rows + 1) / 2});
    }
    return levels;
}

/// Copies the cells of a window from one buffer to another; each holds the cells of its own window.
template <class T>
void copy_cells(const T* from, Window from_window, T* to, Window to_window, Window part) {
    const auto at = [](Window in, int col, int row) {
        return static_cast<std::size_t>(row - in.row) * static_cast<std::size_t>(in.cols) +
               static_cast<std::size_t>(col - in.col);
    };
    for (int row = part.row; row < part.row_end(); ++row) {
        std::copy_n(from + at(from_window, part.col, row), part.cols, to + at(to_window, part.col, row));
    }
}

void put_metadata(GDALDataset& dataset, const LayerSpec& spec, const Provenance& provenance) {
    const auto put = [&](const std::string& name, std::string_view value) {
        dataset.SetMetadataItem(name.c_str(), valid_utf8(value).c_str());
    };
    put("AREA_OR_POINT", "Area");
    put("TIFFTAG_IMAGEDESCRIPTION", spec.description);
    put("TIFFTAG_SOFTWARE", "swingroom " + std::string(version()));
    put("CAUTION", caution);
    put("OVERVIEWS", spec.worst == Worst::verdict
                         ? "what can be said of all of the cells, a condition on one being one on all"
                     : spec.worst == Worst::least   ? "the least of the cells, unsurveyed before any"
                     : spec.worst == Worst::any_bit ? "every bit that one of the cells has"
                                                    : "the greatest of the cells, unsurveyed before any");
    put("PROVENANCE", provenance_json(provenance));
    for (const auto& [bit, meaning] : spec.bits) {
        put("BIT_" + bit, meaning);
    }
}

void put_band_properties(GDALRasterBand& band, const LayerSpec& spec) {
    band.SetDescription(spec.name.c_str());
    if (!spec.unit.empty()) band.SetUnitType(spec.unit.c_str());
    if (spec.type == CellType::float32) {
        band.SetNoDataValue(std::numeric_limits<double>::quiet_NaN());
    } else if (spec.nodata) {
        band.SetNoDataValue(*spec.nodata);
    }
    if (!spec.categories.empty()) put_classes(band, spec.categories);
}

/// Lets GDAL go on with a copy as long as nobody has asked to stop.
int go_on(double /*done*/, const char* /*message*/, void* /*data*/) {
    return stop_asked() == 0 ? TRUE : FALSE;
}

} // namespace

struct RasterLayer::State {
    LayerSpec spec;
    fs::path final_path, working_path;
    Window extent;
    GridCell first; ///< of the extent, in the raster that planes count in
    int threads;
    std::mutex mutex; ///< one dataset, one thread at a time
    GDALDatasetUniquePtr working;
    std::vector<Window> levels;
    std::vector<std::uint64_t> digests; ///< by level
    std::atomic<std::uint64_t> full_digest{0}, cells_written{0};

    ~State() { drop_working(); }

    void drop_working() noexcept {
        {
            const GdalMessages quiet;
            working.reset();
        }
        std::error_code ignored;
        fs::remove(working_path, ignored);
        fs::remove(fs::path(working_path) += ".aux.xml", ignored);
    }

    /// The guarded file system knows the cause; GDAL's own words are the second best.
    [[noreturn]] void fail(const GdalMessages& errors) const {
        guarded::throw_if_failed(working_path);
        guarded::throw_if_failed(final_path);
        guarded::fail(final_path,
                      "could not be written" + (errors.failure().empty() ? "" : ": " + errors.failure()));
    }

    void create(const Grid& grid, const Provenance& provenance);
    template <class T>
    void write(const Plane<T>& plane);
    template <class T>
    void make_overviews();
    template <class T>
    std::vector<T> halved(std::size_t level, Window to, std::vector<T>& block);
    void make_cog();
    template <class T>
    void compare();
    GDALRasterBand& band_of_level(GDALDataset& dataset, std::size_t level) const {
        GDALRasterBand* band = dataset.GetRasterBand(1);
        return level == 0 ? *band : *band->GetOverview(static_cast<int>(level) - 1);
    }
};

void RasterLayer::State::create(const Grid& grid, const Provenance& provenance) {
    const std::string name = guarded::gdal_name(working_path);
    const OwnSettings settings;
    const GdalMessages errors;
    CPLStringList options;
    options.SetNameValue("TILED", "YES");
    options.SetNameValue("BLOCKXSIZE", std::to_string(tile).c_str());
    options.SetNameValue("BLOCKYSIZE", std::to_string(tile).c_str());
    options.SetNameValue("BIGTIFF", "IF_SAFER");
    GDALDriver* driver = GetGDALDriverManager()->GetDriverByName("GTiff");
    if (driver == nullptr) throw IoError(final_path.string(), "this GDAL has no GeoTIFF driver");
    working.reset(
        driver->Create(name.c_str(), grid.cols, grid.rows, 1, gdal_type(spec.type), options.List()));
    if (!working) fail(errors);
    std::array<double, 6> transform{grid.origin_x, grid.step_x, 0, grid.origin_y, 0, grid.step_y};
    OGRSpatialReference crs;
    crs.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    if (working->SetGeoTransform(transform.data()) != CE_None ||
        (!grid.crs_wkt.empty() && (crs.importFromWkt(grid.crs_wkt.c_str()) != OGRERR_NONE ||
                                   working->SetSpatialRef(&crs) != CE_None))) {
        fail(errors);
    }
    put_metadata(*working, spec, provenance);
    put_band_properties(*working->GetRasterBand(1), spec);
    if (!errors.failure().empty()) fail(errors);
}

template <class T>
void RasterLayer::State::write(const Plane<T>& plane) {
    const Window seen = plane.window();
    const Window w{seen.col - first.col, seen.row - first.row, seen.cols, seen.rows};
    if (cell_type<T> != spec.type || common(w, extent) != w) {
        throw std::logic_error("a plane that does not belong to the layer " + spec.name);
    }
    if (w.empty()) return;
    full_digest += CellDigest::of(plane.data(), w);
    cells_written += w.cells();
    const std::scoped_lock lock(mutex);
    const GdalMessages errors;
    // Whole tiles go past GDAL's cache of blocks. All files share that cache, so a thread that needs room in
    // it writes out a block of another file while that file's own thread merges into the same block: with
    // many layers and a small cache one run in five lost cells so.
    GDALRasterBand& band = *working->GetRasterBand(1);
    std::vector<T> cells(cells_of_a_tile);
    for (int row = w.row / tile; row * tile < w.row_end(); ++row) {
        for (int col = w.col / tile; col * tile < w.col_end(); ++col) {
            const Window block{col * tile, row * tile, tile, tile}, all = common(block, extent),
                                                                    part = common(all, w);
            CPLErr done = part == all ? CE_None : band.ReadBlock(col, row, cells.data());
            copy_cells(plane.data(), w, cells.data(), block, part);
            if (done == CE_None) done = band.WriteBlock(col, row, cells.data());
            if (done != CE_None || !errors.failure().empty()) fail(errors);
        }
    }
    guarded::throw_if_failed(working_path);
}

template <class T>
void RasterLayer::State::make_overviews() {
    const OwnSettings settings;
    const GdalMessages errors;
    if (levels.size() > 1) {
        std::vector<int> factors;
        for (std::size_t level = 1; level < levels.size(); ++level) {
            factors.push_back(1 << level);
        }
        if (working->BuildOverviews("NONE", static_cast<int>(factors.size()), factors.data(), 0, nullptr,
                                    nullptr, nullptr) != CE_None) {
            fail(errors);
        }
    }
    for (std::size_t level = 1; level < levels.size(); ++level) {
        const std::vector<Window> tiles = cut_into_blocks(levels[level], tile);
        std::atomic<std::uint64_t> digest(0);
        parallel_for(tiles.size(), threads, [&](const auto& next) {
            std::vector<T> block(cells_of_a_tile);
            while (const auto i = next()) {
                const Window to = tiles[*i];
                const std::vector<T> half = halved(level, to, block);
                digest += CellDigest::of(half.data(), to);
                copy_cells(half.data(), to, block.data(), {to.col, to.row, tile, tile}, to);
                const std::scoped_lock lock(mutex);
                const GdalMessages failures;
                if (band_of_level(*working, level).WriteBlock(to.col / tile, to.row / tile, block.data()) !=
                    CE_None) {
                    fail(failures);
                }
            }
        });
        digests[level] = digest;
    }
    working->FlushCache();
    if (!errors.failure().empty()) fail(errors);
    guarded::throw_if_failed(working_path);
}

/// The worst of the cells of the level before, for a tile of a level.
template <class T>
std::vector<T> RasterLayer::State::halved(std::size_t level, Window to, std::vector<T>& block) {
    const Window fine = levels[level - 1],
                 read = common({2 * to.col, 2 * to.row, 2 * to.cols, 2 * to.rows}, fine);
    std::vector<T> cells(read.cells());
    {
        const std::scoped_lock lock(mutex);
        const GdalMessages errors;
        GDALRasterBand& band = band_of_level(*working, level - 1);
        for (const Window& from : cut_into_blocks(read, tile)) {
            if (band.ReadBlock(from.col / tile, from.row / tile, block.data()) != CE_None) fail(errors);
            copy_cells(block.data(), {from.col, from.row, tile, tile}, cells.data(), read, from);
        }
    }
    return halved_by_worst(cells, read.cols, read.rows, spec.worst);
}

void RasterLayer::State::make_cog() {
    const OwnSettings settings;
    const GdalMessages errors;
    CPLStringList options;
    options.SetNameValue("COMPRESS", "DEFLATE");
    options.SetNameValue("LEVEL", "1");
    // Measured on 8192 x 8192 cells of spare room, two threads: DEFLATE 1 took 1.26 s for 116 MB, with the
    // differences of neighbours 0.90 s for 107 MB (ZSTD 1: 0.56 s, 98 MB, but fewer viewers read it). Classes
    // compress to a hundredth either way.
    options.SetNameValue("PREDICTOR", spec.type == CellType::float32 ? "STANDARD" : "NO");
    options.SetNameValue("OVERVIEW_PREDICTOR", spec.type == CellType::float32 ? "STANDARD" : "NO");
    options.SetNameValue("BLOCKSIZE", std::to_string(tile).c_str());
    options.SetNameValue("OVERVIEWS", levels.size() > 1 ? "FORCE_USE_EXISTING" : "NONE");
    options.SetNameValue("BIGTIFF", "IF_SAFER");
    options.SetNameValue("NUM_THREADS", std::to_string(threads).c_str());
    GDALDriver* driver = GetGDALDriverManager()->GetDriverByName("COG");
    if (driver == nullptr) throw IoError(final_path.string(), "this GDAL has no COG driver");
    GDALDatasetUniquePtr cog(driver->CreateCopy(guarded::gdal_name(final_path).c_str(), working.get(), FALSE,
                                                options.List(), go_on, nullptr));
    stop_if_asked();
    if (!cog) fail(errors);
    cog.reset();
    guarded::throw_if_failed(final_path);
    guarded::throw_if_failed(fs::path(final_path) += ".aux.xml");
    if (!errors.failure().empty()) fail(errors);
}

/// Reads every level back, tile row by tile row on all threads, and compares the digests.
template <class T>
void RasterLayer::State::compare() {
    const std::string name = guarded::gdal_name(final_path);
    std::vector<std::pair<std::size_t, Window>> strips;
    for (std::size_t level = 0; level < levels.size(); ++level) {
        const Window all = levels[level];
        for (int row = 0; row < all.rows; row += tile) {
            strips.emplace_back(level, common({0, row, all.cols, tile}, all));
        }
    }
    std::vector<std::atomic<std::uint64_t>> read(levels.size());
    parallel_for(strips.size(), threads, [&](const auto& next) {
        const GdalMessages errors;
        const GDALDatasetUniquePtr dataset(
            GDALDataset::Open(name.c_str(), GDAL_OF_RASTER | GDAL_OF_VERBOSE_ERROR));
        if (!dataset || dataset->GetRasterXSize() != extent.cols ||
            dataset->GetRasterYSize() != extent.rows ||
            dataset->GetRasterBand(1)->GetOverviewCount() != static_cast<int>(levels.size()) - 1) {
            fail(errors);
        }
        std::vector<T> cells(cells_of_a_tile);
        while (const auto i = next()) {
            const auto& [level, strip] = strips[*i];
            GDALRasterBand& band = band_of_level(*dataset, level);
            for (int col = 0; col < strip.cols; col += tile) {
                const Window w = common({col, strip.row, tile, tile}, strip);
                if (band.RasterIO(GF_Read, w.col, w.row, w.cols, w.rows, cells.data(), w.cols, w.rows,
                                  gdal_type(spec.type), 0, 0, nullptr) != CE_None) {
                    fail(errors);
                }
                read[level] += CellDigest::of(cells.data(), w);
            }
        }
    });
    guarded::throw_if_failed(final_path);
    for (std::size_t level = 0; level < levels.size(); ++level) {
        if (read[level] != digests[level]) guarded::fail(final_path, "reads otherwise than it was written");
    }
}

RasterLayer::RasterLayer(const std::filesystem::path& folder, LayerSpec spec, const Grid& grid,
                         const Provenance& provenance, int threads, GridCell first)
    : state_(std::make_unique<State>()) {
    State& state = *state_;
    state.final_path = fs::absolute(folder / (spec.name + ".tif")).lexically_normal();
    state.working_path = fs::absolute(folder / ("." + spec.name + ".working.tif")).lexically_normal();
    state.spec = std::move(spec);
    state.extent = grid.extent();
    state.first = first;
    state.threads = std::max(1, threads);
    state.levels = level_extents(state.extent);
    state.digests.resize(state.levels.size());
    state.create(grid, provenance);
}

RasterLayer::~RasterLayer() = default;

void RasterLayer::write(const Plane<std::uint8_t>& plane) { state_->write(plane); }
void RasterLayer::write(const Plane<std::uint16_t>& plane) { state_->write(plane); }
void RasterLayer::write(const Plane<std::uint32_t>& plane) { state_->write(plane); }
void RasterLayer::write(const Plane<float>& plane) { state_->write(plane); }

void RasterLayer::finish() {
    State& state = *state_;
    if (state.cells_written != state.extent.cells()) {
        throw std::logic_error("not every cell of the layer " + state.spec.name + " was written once");
    }
    state.digests.front() = state.full_digest;
    with_type(state.spec.type, [&]<class T>(T) {
        state.make_overviews<T>();
        state.make_cog();
        state.drop_working();
        // Its last bytes may have been lost after the copy, which would do no harm; but a disk that fails is
        // told.
        guarded::throw_if_failed(state.working_path);
        guarded::throw_if_failed(fs::path(state.working_path) += ".aux.xml");
        state.compare<T>();
    });
}

const LayerSpec& RasterLayer::spec() const { return state_->spec; }

} // namespace swingroom
