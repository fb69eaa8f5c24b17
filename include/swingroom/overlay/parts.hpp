#pragma once

#include "swingroom/base/block_cut.hpp"
#include "swingroom/base/grid.hpp"
#include "swingroom/overlay/block_answers.hpp"
#include "swingroom/overlay/overlay.hpp"

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <functional>

/// A run that is shared out: each part decides some of the blocks, anywhere, and all of them together become
/// what one run would have answered.
///
/// What a cell is told depends on what lies within a boat's reach, with one exception: the way in, which may
/// come from any distance. So parts decide as if every cell were in reach, and whoever puts them together
/// knows the way in, and decides those few blocks anew where that makes a difference.
namespace swingroom {

/// The blocks that parts share out are of this size, whatever memory and threads: whole tiles of the layers.
inline constexpr BlockSize block_of_parts(1024, 512);
/// How many rows of blocks go together in a run or a merge (BlockCut::by_columns): two rows of tiles, so that
/// a tile of the layers' first overview, which halves two by two of theirs, is complete as soon as can be.
inline std::size_t rows_together(BlockSize block) {
    constexpr int most = 8; // of smaller blocks than any run has
    return static_cast<std::size_t>(std::clamp(2 * block_of_parts.rows / block.rows, 1, most));
}
/// All of them.
BlockCut blocks_of_parts(Window window);

/// Blocks that follow each other, row by row: those from `first` on, before `end`.
struct BlockShare {
    std::size_t first = 0, end = 0; ///< numbers of blocks of blocks_of_parts()
    /// How many there are.
    [[nodiscard]] std::size_t count() const { return end - first; }
    friend bool operator==(const BlockShare&, const BlockShare&) = default;
};

/// The share of a part. Shares differ by at most one block; some are empty where there are more parts than
/// blocks.
/// @param blocks  how many there are   @param part  which of `parts`, the first being 1
/// @pre 1 <= part <= parts
BlockShare blocks_of_part(std::size_t blocks, int part, int parts);

/// Where the answers of a part go. Called from several threads, each block once, in any order.
struct PartSink {
    virtual ~PartSink() = default;
    /// @param number   of the block
    /// @param answers  as if all cells were in reach, of which `access_level` holds nothing
    /// @param runs     the yes cells of each row of the block, whatever is wanted; their figures are there
    ///                 only where zones or spots are wanted
    virtual void block(std::size_t number, const BlockAnswers& answers, const BlockRuns& runs) = 0;
};

/// Decides the blocks of a share as if all cells were in reach: `job.way_in` and `job.block` are not asked.
/// The same answers for any number of threads.
/// @param progress  called with the fraction done, from one thread at a time; may be empty
/// @throws what the depths, the sink or the progress throw, once all threads have stopped
void run_part(const OverlayJob& job, BlockShare share, PartSink& sink,
              const std::function<void(double)>& progress);

/// What parts have decided. Calls come from several threads.
struct KeptBlocks {
    virtual ~KeptBlocks() = default;
    /// Replaces `runs` by those that PartSink::block() was given.   @param number  of the block
    virtual void runs(std::size_t number, BlockRuns& runs) const = 0;
};

/// Where the answers of a run go whose blocks have been decided by parts. A block comes either by block(),
/// decided anew, or by kept_block().
struct MergeSink : OverlaySink {
    /// The block stands as its part has decided it. Called from several threads, in any order.
    /// @param more_advice  bits that the layer `advice` has besides those that were kept; without cells where
    ///                     there are none, or the layer is not wanted
    virtual void kept_block(std::size_t number, const Plane<std::uint16_t>& more_advice) = 0;
    /// The layer `access_level` of a block that is kept: before its kept_block(), only if the layer is
    /// wanted. Called from several threads, in any order.
    /// @param level_m  as BlockAnswers has it
    virtual void access_levels(const Plane<float>& level_m) = 0;
};

/// The run that run_overlay would be, of blocks that parts have decided: looks up how their yes cells stand
/// to the way in, decides those blocks anew in which one is out of reach, and traces the zones. All answers,
/// and the order of zones, are those of run_overlay; `job.block` is not asked.
/// @param kept      of all blocks
/// @param progress  called with the fraction done, from one thread at a time; may be empty
/// @throws what the depths, what is kept, the sink or the progress throw, once all threads have stopped
void merge_blocks(const OverlayJob& job, const KeptBlocks& kept, MergeSink& sink,
                  const std::function<void(double)>& progress);

} // namespace swingroom
