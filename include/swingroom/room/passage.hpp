#pragma once

#include "swingroom/base/grid.hpp"

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

namespace swingroom {

/// A cell that is passed from, and the level at which it is reached.
struct ReachedCell {
    GridCell cell;     ///< counted from the raster's first column and first row
    float level_m = 0; ///< above chart datum; infinite: never
};

/// The cells of a block along which one gets into it or out of it: its outermost cells, row by row, each
/// once.
std::vector<GridCell> rim_cells(Window block);

/// What one has to know of a block to find a way through it: some of its cells, and at which level they hang
/// together inside it. Two cells do at the least level at which a chain of cells that share edges leads from
/// one to the other, each of which can be passed. That is as much of the block as all ways across it need: a
/// tree of fewer links than cells.
struct BlockPassages {
    Window block; ///< whose they are
    /// The two ends, numbers of `cells`, and the level at which what hangs on one gets to what hangs on the
    /// other.
    struct Link {
        std::uint32_t from = 0, to = 0;
        float level_m = 0; ///< above chart datum
    };
    std::vector<GridCell> cells; ///< the rim's, then those that were asked for besides
    std::vector<float> level_m;  ///< at which each can be passed; infinite: at none
    std::vector<Link> links;     ///< by level, the lowest first; none that is infinite
};

/// That of a block each of whose cells can be passed at the same level.
/// @param also  as in Passages::of_block
BlockPassages uniform_passages(Window block, float level_m, std::span<const GridCell> also = {});

/// Several blocks that fill a window, as one block: they hang together wherever cells of two of them share an
/// edge.
/// @param parts  of blocks that fill the window without overlap   @returns as Passages::of_block of all their
///               cells, the cells that were asked for besides in the order of the parts
BlockPassages joined(Window window, std::span<const BlockPassages> parts);

/// At which level each cell of each part is reached, where it is known for the cells of the whole.
/// @param whole    joined(window, parts), whose window will do   @param reached_m  of its cells, from all
/// sides and from within
/// @returns by part, of its cells in their order
std::vector<std::vector<float>> levels_of_parts(const BlockPassages& whole, std::span<const float> reached_m,
                                                std::span<const BlockPassages> parts);

/// Finds ways over water that rises: at which level cells get connected. Cells are ordered by their levels
/// and joined one by one, as water that rises joins pools, in time n log n for n cells. It keeps its memory
/// from block to block; one thread uses it.
class Passages {
public:
    /// @param needed_m  the level at which each cell can be passed, infinite: at none; none is NaN. Its
    /// window
    ///                  is the block
    /// @param also      further cells of the block that may be passed from
    BlockPassages of_block(const Plane<float>& needed_m, std::span<const GridCell> also = {});

    /// The least level at which each cell is reached from any of those that are reached: the least, over all
    /// ways, of the greatest level on the way, the first cell's own among them. Infinite: at none.
    /// @param from       cells of the block; none is reached below its own level
    /// @param reached_m  over the same block
    void flood(const Plane<float>& needed_m, std::span<const ReachedCell> from, Plane<float>& reached_m);

private:
    /// A cell that can be passed: its level as an integer of the same order, then its place in the block.
    using LevelAndCell = std::uint64_t;

    void order(const Plane<float>& needed_m);
    [[nodiscard]] std::uint32_t root(std::uint32_t cell);
    template <class Join>
    void wet(std::uint32_t cell, Window block, const Join& join);
    void reach(std::uint32_t pool, float level_m, Plane<float>& reached_m);

    std::vector<LevelAndCell> by_level_, above_, scratch_; ///< the lowest first
    std::vector<std::uint32_t> parent_;                    ///< of a cell under water, up to its pool's root
    std::vector<std::uint32_t> of_pool_;                   ///< of each root: what is kept of its pool
    std::vector<std::uint32_t> next_, last_; ///< cells of a pool that wait to be reached, as a list
};

} // namespace swingroom
