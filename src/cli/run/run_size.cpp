#include "cli/run/run_size.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/measures.hpp"
#include "swingroom/base/spooling.hpp"
#include "swingroom/overlay/access.hpp"
#include "swingroom/overlay/parts.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <string_view>
#include <unistd.h>

namespace swingroom::cli {
namespace {

/// Cells along the side of a tile of the files that layers are written to.
constexpr int tile = 512;

/// The bytes of the widest cell that a layer has.
constexpr int widest_cell = [] {
    int bytes = 0;
    for (const Layer layer : raster_layers) {
        bytes = std::max(bytes, bytes_of(traits(layer).type));
    }
    return bytes;
}();

/// What a way through a block is found with: 60 bytes for each cell of a quarter of the largest block.
constexpr double bytes_of_way_in = 15;
constexpr int most_way_in_block = 512;

/// Buffers of a block, of its cells and of those around it; see Gathered and Workspace. Each layer is
/// reckoned as a wide one.
double bytes_of_a_cell(LayerSet wanted) {
    const auto planes = std::count_if(raster_layers.begin(), raster_layers.end(),
                                      [&](Layer layer) { return wanted.has(layer); });
    const int for_maps = wants_map(wanted) ? 1 + (wanted.has(Layer::depth_low) ? 0 : widest_cell) : 0;
    const bool of_water = std::any_of(raster_layers.begin(), raster_layers.end(), [&](Layer layer) {
        const std::string_view group = traits(layer).group;
        return wanted.has(layer) &&
               (group == layer_groups::least_water.name || group == layer_groups::hours_afloat.name);
    });
    const double of_way_in = wanted.has(Layer::access_level) ? bytes_of_way_in : 0;
    return 42 + of_way_in + for_maps + (of_water ? widest_cell : 0) +
           widest_cell * static_cast<double>(planes);
}

/// With a unit that keeps it short: "27 GB", "1.4 TB"; two digits at the least.
std::string bytes_text(double bytes) {
    constexpr std::array<std::string_view, 6> units = {" MB", " GB", " TB", " PB", " EB", " ZB"};
    double value = bytes / 1e6;
    std::size_t unit = 0;
    for (; value >= 999.5 && unit + 1 < units.size(); ++unit) {
        value /= 1000;
    }
    return fixed_up(value, value < 10 ? 1 : 0) + std::string(units.at(unit));
}

/// As an option takes it: "2e10", "7.71e10"; whole below a million.
std::string count_text(double count) {
    if (count < 1e6) return fixed(count, 0);
    std::array<char, 32> text{};
    const auto end =
        std::to_chars(text.data(), text.data() + text.size(), count, std::chars_format::scientific, 2).ptr;
    std::string digits(text.data(), end);
    const std::size_t e = digits.find('e');
    std::string mantissa = digits.substr(0, e), power = digits.substr(e + 2); // behind "e+"
    mantissa.erase(mantissa.find_last_not_of('0') + 1);
    if (mantissa.ends_with('.')) mantissa.pop_back();
    power.erase(0, std::min(power.find_first_not_of('0'), power.size() - 1));
    return mantissa + "e" + power;
}

std::string cells_text(const RunSize& size) {
    return count_text(static_cast<double>(size.window.cells())) + " cells (" +
           std::to_string(size.window.cols) + " x " + std::to_string(size.window.rows) + ")";
}

std::string disk_text(const RunSize& size) {
    const std::string least = bytes_text(size.disk.least_bytes), most = bytes_text(size.disk.most_bytes);
    return (least == most ? least : least + " to " + most) + " of disk" +
           (size.way_in_disk_bytes > 0
                ? " (up to " + bytes_text(size.way_in_disk_bytes) + " of it for the way in)"
                : "");
}

std::string free_text(const RunSize& size, const std::string& folder) {
    if (!size.free_bytes) return {};
    return ", of which " + folder + " has " + bytes_text(*size.free_bytes);
}

} // namespace

BlockSize block_for(int memory_mb, int threads, int halo, LayerSet wanted) {
    const double cells = memory_mb * 1e6 / 2 / threads / bytes_of_a_cell(wanted);
    // Two tiles side by side have less around them, but more than a processor's own memory holds of them:
    // that pays where there is much around them.
    const int most_tiles = halo > tile / 8 ? 2 : 1;
    constexpr int least_rows = 128;
    const auto tiles_of = [&](int rows) {
        const double cols = cells / (rows + 2.0 * halo) - 2.0 * halo;
        return static_cast<int>(std::clamp(std::floor(cols / tile), 0.0, static_cast<double>(most_tiles)));
    };
    int rows = tile;
    while (rows > least_rows && tiles_of(rows) == 0) {
        rows /= 2;
    }
    return {std::max(1, tiles_of(rows)) * tile, rows};
}

WayInNeed way_in_need(Window raster, BlockSize block, int boats) {
    const int side = std::min(block.rows, most_way_in_block);
    const auto cells = static_cast<double>(raster.cells());
    // Of the cells on the rims of the blocks; those of the tiers above are as many again. Of each cell where
    // one gets in, were none in reach of another; and of what can be passed a byte for eight cells.
    const double rims = 4 * cells / side, records = 2 * 16 * rims, entries = 12 * rims, runs = cells / 8;
    const auto kept = static_cast<double>(Spooling{}.in_memory_bytes) / boats; // of each
    const double kept_long = kept / AccessLevels::share_kept_long;
    constexpr double bytes_of_a_block = 120, bytes_of_col_or_row = 340; // of the last groups that are joined
    // Groups that wait for their last block, of each tier those along a row of 32 blocks.
    const double waiting = 540 * std::min<double>(raster.cols, 32.0 * side);
    const double kept_on_disk = (entries > kept_long ? entries : 0) + (runs > kept_long ? runs : 0);
    const double kept_in_memory =
        std::min(entries, kept_long) + std::min(runs, kept_long) + bytes_of_a_block * cells / side / side;
    return {boats * kept_in_memory + std::min(records, kept) + waiting +
                bytes_of_col_or_row * (0.0 + raster.cols + raster.rows),
            (records > kept ? records : 0) + boats * kept_on_disk, boats * kept_on_disk};
}

DiskNeed with_way_in(DiskNeed layers, const WayInNeed& way) {
    layers.most_bytes = std::max(layers.most_bytes + way.kept_disk_bytes, way.disk_bytes);
    return layers;
}

double memory_need(Window window, LayerSet wanted, int threads, BlockSize block, int halo,
                   const WayInNeed& way, int boats) {
    constexpr double program_bytes = 50e6; // with its libraries
    // Of each boat but the first: tables, open zones, layers that wait for their next row. Measured with all
    // layers.
    constexpr double bytes_of_next_boat = 13e6;
    const double cells_of_blocks =
        std::min<double>(threads, static_cast<double>(BlockCut(window, block).count())) *
        (block.cols + 2.0 * halo) * (block.rows + 2.0 * halo);
    // Where each tile of each file lies, overviews included.
    constexpr double tile_cells = double{tile} * tile, bytes_of_a_tile = 16 * 4.0 / 3;
    const double layers = (bytes_of_a_cell(wanted) - bytes_of_a_cell({})) / 4;
    return program_bytes + (boats - 1) * bytes_of_next_boat + way.memory_bytes +
           cells_of_blocks * bytes_of_a_cell(wanted) +
           static_cast<double>(window.cells()) / tile_cells * bytes_of_a_tile * layers * boats;
}

void require_possible(const RunSize& size, double cells_limit, const std::string& source,
                      const std::string& folder) {
    const std::string needs = "it needs about " + bytes_text(size.memory_bytes) + " of memory and " +
                              disk_text(size) + free_text(size, folder);
    if (static_cast<double>(size.window.cells()) > cells_limit) {
        throw InputError(source,
                         "a run over " + cells_text(size) + " is larger than --cells-limit " +
                             count_text(cells_limit) + " allows: " + needs,
                         "see whether the file is damaged, give --bounds, or a greater --cells-limit if all "
                         "of it is meant");
    }
    if (size.free_bytes && size.disk.least_bytes > *size.free_bytes) {
        throw InputError(source, "a run over " + cells_text(size) + " does not fit on the disk: " + needs,
                         "free space there, give an --out elsewhere, fewer --layers, or --bounds");
    }
}

std::string note_of_size(const RunSize& size, const std::string& source, const std::string& folder) {
    const bool large = static_cast<double>(size.window.cells()) >= large_run_cells,
               tight = size.free_bytes && size.disk.most_bytes > *size.free_bytes;
    if (!large && !tight) return {};
    return source + ": a run over " + cells_text(size) + " needs about " + bytes_text(size.memory_bytes) +
           " of memory and " + disk_text(size) + free_text(size, folder) +
           (tight ? "; whether that is enough depends on how well the layers compress" : "");
}

std::int64_t usual_file_cache_bytes(int memory_mb) {
    constexpr int share = 8;
    return std::int64_t{memory_mb} * 1'000'000 / share;
}

FileCache file_cache(int memory_mb, const DepthSource& depths, Window window, BlockSize block, int halo) {
    // Shares of the memory: what files may have for tiles that are asked for again, for strips that would be
    // decoded many times, and for what blocks side by side have in common, where more does not fit and would
    // help nobody: over 16384 x 16384 cells a tile is decoded as often with 16 MB as with 20, with 12 MB a
    // seventh more often.
    constexpr int share_of_tiles = 5, share_of_strips = 3, share_of_neighbours = 25;
    constexpr double nearly = 1.1; // a few that are missing cost little
    constexpr double often = 4;    // tiles of files are as large as blocks: what is around those makes it 3
    const double memory = memory_mb * 1e6, usual = static_cast<double>(usual_file_cache_bytes(memory_mb));
    const int core = static_cast<int>(rows_together(block)) * block.rows, rows = core + 2 * halo;
    const auto decoded = [&](int cols) {
        const int row = window.row + std::max(0, (window.rows - rows) / 2 / core * core - halo);
        return static_cast<double>(depths.decoded_bytes({window.col, row, cols, rows}));
    };
    // The rows of blocks that go together ask for all that lies in them and around them, block by block, and
    // the next ones for the last of it again. Where not all of it fits, each tile is gone before that.
    const double of_rows = decoded(window.cols),
                 of_block = decoded(std::min(window.cols, block.cols + 2 * halo));
    const double of_four_tiles = 4.0 * tile * sizeof(float) * window.cols; // of virtual rasters, too
    const auto whole = [](double bytes) { return FileCache{static_cast<std::int64_t>(bytes)}; };
    if (const double most = std::max(of_rows, of_four_tiles); most <= nearly * memory / share_of_tiles) {
        return whole(std::max(usual, most));
    }
    const double blocks = std::ceil(static_cast<double>(window.cols) / block.cols);
    const double times = of_rows > 0 ? of_block * blocks / of_rows : 0;
    if (times <= often) return whole(std::max(memory / share_of_neighbours, std::min(usual, 2 * of_block)));
    const double of_strips = nearly * of_rows; // GDAL counts more than the bytes of a block
    if (of_strips <= memory / share_of_strips) return whole(std::max(usual, of_strips));
    return {static_cast<std::int64_t>(memory / share_of_neighbours),
            static_cast<int>(std::ceil(of_strips * share_of_strips / 1e6)),
            static_cast<int>(std::lround(times))};
}

void require_memory(double need_bytes, std::optional<double> there_bytes, const std::string& source,
                    int threads, int halo) {
    if (!there_bytes || need_bytes <= *there_bytes) return;
    throw InputError(source,
                     "needs about " + bytes_text(need_bytes) + " of memory, and this machine has " +
                         bytes_text(*there_bytes) + ": a swinging circle spans " +
                         std::to_string(2 * std::int64_t{halo}) + " cells, for each of " +
                         std::to_string(threads) + (threads == 1 ? " thread" : " threads"),
                     threads == 1 ? "give a coarser raster" : "give fewer --threads, or a coarser raster");
}

std::optional<double> memory_of_machine() {
    const long pages = ::sysconf(_SC_PHYS_PAGES), bytes = ::sysconf(_SC_PAGESIZE);
    if (pages <= 0 || bytes <= 0) return std::nullopt;
    return static_cast<double>(pages) * static_cast<double>(bytes);
}

} // namespace swingroom::cli
