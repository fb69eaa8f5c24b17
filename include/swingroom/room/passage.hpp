#pragma once

#include "swingroom/base/grid.hpp"

#include <cstddef>
#include <cstdint>
#include <limits>
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
/// How many those are.   @pre the block is not empty
std::size_t rim_size(Window block);

/// The cells of a block that can be passed, as runs: cells of a row, side by side, that can be passed at the
/// same level. Most of a row is deep enough at any level or too shoal at all.
struct PassableRuns {
    /// Cells are counted row by row, from the block's first one on.
    struct Run {
        std::uint32_t first = 0, end = 0; ///< all in one row
        float level_m = 0;                ///< above chart datum, finite
    };
    Window block;
    std::vector<Run> runs; ///< by their cells

    /// Those of a block of which it is known at which level each cell can be passed, infinite: at none; no
    /// level is NaN.   @pre fewer than 2^32 - 1 cells
    void take(const Plane<float>& needed_m);
    /// The same of a block all of whose cells can be passed at one level, or at none.
    void take(Window of_block, float needed_m);
    /// The same row by row: another block, then each of its rows in turn.
    void begin(Window of_block);
    void take_row(int row, const float* needed_m);
};

/// What one has to know of a block to find a way through it: which of its cells hang together inside it, and
/// at which level. Two cells do at the least level at which a chain of cells that share edges leads from one
/// to the other, each of which can be passed. Cells that can be passed at the same level and hang together at
/// it are one node: whichever is reached, all are. That is as much of the block as all ways across it need: a
/// tree of fewer links than nodes.
struct BlockPassages {
    /// What no cell is in that can be passed at no level.
    static constexpr std::uint32_t no_node = std::numeric_limits<std::uint32_t>::max();
    /// The two ends, nodes, and the level at which what hangs on one gets to what hangs on the other.
    struct Link {
        std::uint32_t from = 0, to = 0;
        float level_m = 0; ///< above chart datum
    };

    Window block;               ///< whose they are
    std::vector<GridCell> also; ///< cells that were asked for besides those of the rim
    /// By cell, the rim's first, then those asked for besides. Empty: all of them are in the one node that
    /// there is, or in none.
    std::vector<std::uint32_t> node_of;
    std::vector<float> level_m; ///< at which the cells of each node can be passed; finite
    std::vector<Link> links;    ///< by level, the lowest first
    /// Whether not only those but all cells of the block are in the one node, or can all be passed at no
    /// level.
    bool uniform = false;

    [[nodiscard]] std::size_t cells() const { return rim_size(block) + also.size(); }
    [[nodiscard]] std::uint32_t node(std::size_t cell) const {
        if (!node_of.empty()) return node_of[cell];
        return level_m.empty() ? no_node : 0;
    }
    /// The first cell of each node.
    [[nodiscard]] std::vector<GridCell> cell_of_each_node() const;
    /// Numbers the nodes by their first cells, and keeps no more memory than it needs.
    void tidy();
};

/// That of a block each of whose cells can be passed at the same level, infinite: at none. Nothing is kept of
/// its cells; most blocks are open sea or land.
BlockPassages uniform_block(Window block, float level_m);

/// Several blocks that fill a window, as one block: they hang together wherever cells of two of them share an
/// edge.
/// @param parts  of blocks that fill the window without overlap   @returns as Passages::of_block of all their
///               cells, the cells that were asked for besides in the order of the parts
BlockPassages joined(Window window, std::span<const BlockPassages> parts);

/// What is reached in each of several blocks that fill a window.
/// @param from  cells on the outer rim of the window, or asked for besides in a part: all from which one gets
///              in, none below its own level
/// @returns by part, of each node that is reached at any level its first cell
std::vector<std::vector<ReachedCell>> reached_in_parts(std::span<const ReachedCell> from,
                                                       std::span<const BlockPassages> parts);

/// Finds ways over water that rises: at which level cells get connected. Runs of cells are gathered in the
/// basins that they drain to, which most do over runs beside them; these are joined where they meet, the
/// lowest place first, as water that rises joins pools: time n log n, but for n places where basins meet, not
/// for n runs. It keeps its memory from block to block; one thread uses it.
class Passages {
public:
    /// @param also  further cells of the block that may be passed from
    BlockPassages of_block(const PassableRuns& of, std::span<const GridCell> also = {});

    /// The least level at which each cell is reached from any of those that are reached: the least, over all
    /// ways, of the greatest level on the way, the first cell's own among them. Infinite: at none.
    /// @param from       cells of the block; none is reached below its own level
    /// @param reached_m  over the same block
    void flood(const PassableRuns& of, std::span<const ReachedCell> from, Plane<float>& reached_m);

    /// The same of what needs no flood, which is much less work: of cells at the lowest level that hang
    /// together at it with the rim, or with a cell that one gets in from.
    /// @param of         those of a block's runs that are at its lowest level, and no others
    /// @param from       of each node of the block that is reached at any level a cell, and that level
    /// @param reached_m  NaN: it does not follow from these
    void take_from_rim(const PassableRuns& of, std::span<const ReachedCell> from, Plane<float>& reached_m);

private:
    /// A level as an integer of the same order, then the number of what is at it.
    using LevelAndNumber = std::uint64_t;

    void find_basins(const PassableRuns& of);
    void find_saddles(const PassableRuns& of);
    /// The run of each cell that is asked about; none where it cannot be passed.
    void find_runs_at_cells(const PassableRuns& of, std::span<const GridCell> also);
    [[nodiscard]] std::uint32_t root(std::uint32_t at);
    template <class Join>
    void overflow(const BlockPassages::Link& saddle, const Join& join);
    void reach(std::uint32_t pool, float level_m);

    std::vector<std::uint32_t> parent_; ///< of a run, later of a basin, up to the root of what it has joined
    std::vector<std::uint32_t> basin_of_; ///< by run
    std::uint32_t basins_ = 0;
    std::vector<BlockPassages::Link> saddles_;       ///< between basins
    std::vector<LevelAndNumber> by_level_, scratch_; ///< of saddles, the lowest first
    std::vector<std::uint32_t> of_pool_;             ///< by basin, of roots: what is kept of the pool
    std::vector<std::uint32_t> next_, last_;         ///< basins of a pool that wait to be reached, as a list
    std::vector<std::uint32_t> run_at_, node_of_run_;
    std::vector<float> reached_m_; ///< by basin
};

} // namespace swingroom
