#pragma once

#include "swingroom/overlay/overlay.hpp"
#include "swingroom/room/distance.hpp"

#include <array>
#include <vector>

namespace swingroom {

/// Yes runs of a block, one list per row of its core.
using BlockRuns = std::vector<std::vector<Run>>;

/// All ways that are a yes in a cell, with their wind limits.
struct CellWindLimits {
    std::uint8_t ways = 0;
    std::array<float, all_ways.size()> kn{};
};

/// All that is known of a block and its surroundings, kept by one thread from block to block.
struct Workspace {
    DepthPlanes depths;
    Plane<std::uint8_t> effects, unsafe;
    Plane<Seabed> seabed;
    std::vector<float> slopes;          ///< of a row
    RowVerdicts said;                   ///< of a row
    std::vector<CellAnswer> judged;     ///< of a row's cells, where a layer needs it
    std::vector<CellWindLimits> limits; ///< of a row's yes cells
    std::vector<Run> runs;              ///< of a row
    BlockAnswers answers;
};

/// Decides blocks: facts first (depths, hazards, rooms), then every cell's answer. Used by the run for
/// blocks, and for a single position, so that the two agree. Const calls may come from several threads, each
/// with a workspace.
class BlockDecider {
public:
    explicit BlockDecider(const OverlayJob& job);

    /// Fills depths, effects, unsafe (over the core grown by halo()), seabed and the two rooms (over the
    /// core).
    void gather(Window core, Workspace& work) const;
    /// The facts of a core cell after gather().
    [[nodiscard]] CellFacts facts(int col, int row, const Workspace& work) const;
    /// gather() and the answers of all core cells, with the runs if zones or spots are wanted.
    BlockRuns decide(Window core, Workspace& work) const;

    [[nodiscard]] int halo() const { return transform_.halo(); }
    [[nodiscard]] const Judge& judge() const { return judge_; }

private:
    void mark_unsafe(Window seen, Workspace& work) const;
    /// @param traced  whether the row's runs are wanted, too
    void answer_row(int row, Workspace& work, bool traced) const;
    void find_runs(const RowFacts& facts, int row, Workspace& work) const;
    void find_limits(const RowFacts& facts, Workspace& work) const;

    OverlayJob job_;
    RoomTransform transform_;
    Judge judge_;
    SeabedOrder seabed_order_;
    bool needs_judged_;
    std::array<bool, all_ways.size()> ways_asked_;
};

} // namespace swingroom
