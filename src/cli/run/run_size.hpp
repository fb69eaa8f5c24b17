#pragma once

#include "swingroom/base/block_cut.hpp"
#include "swingroom/base/grid.hpp"
#include "swingroom/overlay/layers.hpp"
#include "swingroom/publish/disk_need.hpp"
#include "swingroom/sea/bathymetry.hpp"

#include <cstdint>
#include <optional>
#include <string>

namespace swingroom::cli {

/// How large a run is, reckoned before it starts: one flipped byte in a chart can make a grid of 10^11 cells.
struct RunSize {
    Window window;                    ///< what is decided
    double memory_bytes = 0;          ///< about
    DiskNeed disk;                    ///< where the folder is made
    double way_in_disk_bytes = 0;     ///< the most of it that looking for the way in takes
    std::optional<double> free_bytes; ///< there; none: not told
};

/// Blocks of a whole tile or two side by side, as layers are written, so that all threads' buffers fit into
/// half of the memory, the rest being left to GDAL, the hazards and the files being written. Where even one
/// tile a thread is too much, a half or a quarter of its rows.
BlockSize block_for(int memory_mb, int threads, int halo, LayerSet wanted);

/// What looking for the way in takes, at the most: beside its blocks, and of the disk.
struct WayInNeed {
    double memory_bytes = 0;
    double disk_bytes = 0;      ///< while it is looked for
    double kept_disk_bytes = 0; ///< from then on
};
/// @param raster  all of it, whatever part is decided
/// @param boats   for how many it is looked for, one after the other, and kept
WayInNeed way_in_need(Window raster, BlockSize block, int boats = 1);
/// Both on one disk: what is looked for first is mostly gone when the layers come.
DiskNeed with_way_in(DiskNeed layers, const WayInNeed& way);

/// About how much memory a run takes, whatever it may aim at.
/// @param halo   cells around a block   @param way  nothing where nobody looks for it
/// @param boats  how many are answered; blocks are answered for one after the other
double memory_need(Window window, LayerSet wanted, int threads, BlockSize block, int halo,
                   const WayInNeed& way = {}, int boats = 1);

/// Refuses a run that is too large, with its numbers.
/// @param source  of the depths   @param folder  where the disk is
/// @throws InputError  more cells than the limit, or more bytes than the disk can hold however well the
///                     layers compress
void require_possible(const RunSize& size, double cells_limit, const std::string& source,
                      const std::string& folder);

/// What should be known of a run before it starts: that it is large, or that the disk may not hold it.
/// @returns an empty text where there is nothing
std::string note_of_size(const RunSize& size, const std::string& source, const std::string& folder);

/// @param need_bytes   memory_need()   @param there_bytes  the machine's memory; none: not told
/// @throws InputError  what is needed is more than there is
void require_memory(double need_bytes, std::optional<double> there_bytes, const std::string& source,
                    int threads, int halo);
/// The machine's memory.
std::optional<double> memory_of_machine();

/// What GDAL may keep of the inputs where nothing else is known of them.
std::int64_t usual_file_cache_bytes(int memory_mb);

/// What GDAL keeps of the inputs while blocks are decided.
struct FileCache {
    std::int64_t bytes = 0;
    /// Of a file in strips or other wide blocks that do not fit: the memory to aim at that they would fit
    /// into, and how often each is decoded as it is. 0: nothing of the kind.
    int wanted_mb = 0;
    int times_decoded = 0;
};
/// @param depths  of the window that is decided in such blocks, each with `halo` cells around it
FileCache file_cache(int memory_mb, const DepthSource& depths, Window window, BlockSize block, int halo);

/// From so many cells on a run is told to be large.
inline constexpr double large_run_cells = 1e9;

} // namespace swingroom::cli
