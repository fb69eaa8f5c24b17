#pragma once

#include "swingroom/overlay/overlay.hpp"
#include "swingroom/overlay/position.hpp"
#include "swingroom/overlay/way_in.hpp"
#include "swingroom/room/distance.hpp"
#include "swingroom/room/least_in_disc.hpp"

#include "overlay/anchorages.hpp"
#include "overlay/block_gatherer.hpp"
#include "overlay/block_reach.hpp"
#include "overlay/cell_areas.hpp"
#include "overlay/hours_table.hpp"
#include "overlay/layer_answers.hpp"
#include "overlay/row_water.hpp"

#include <array>
#include <optional>
#include <span>
#include <vector>

namespace swingroom {

/// Whether charted land touches a cell, which is land then, whatever else there is in it.
/// @param effects  of all hazards that touch it
bool is_charted_land(float shoal_m, Effects effects);

/// What a boat makes of a block and its surroundings, kept by one thread from block to block.
struct Workspace {
    const Gathered* sea = nullptr;           ///< what it is made of
    Plane<Effects> own_effects;              ///< where they differ from those that were gathered
    const Plane<Effects>* effects = nullptr; ///< of the hazards on this hull: these, or those gathered
    /// Bits of `unsafe`, over all that was gathered.
    Plane<std::uint8_t> unsafe;
    Plane<Seabed> seabed;      ///< of several in a cell the worst for this anchor
    std::vector<float> slopes; ///< of a row
    /// Of a row's cells afloat, in their order; what stands at a yes means nothing.
    std::vector<WhyNot> why_not;
    RowVerdicts verdicts;  ///< of a row
    RowReasons said;       ///< of a row's cells, where a layer needs it
    std::vector<Run> runs; ///< of a row
    /// Over all that was gathered, where it is asked how little water there is in a circle: metres below
    /// chart datum, dangers of known depth counted, negative infinity where no water is enough.
    Plane<float> least_depth_m;
    LeastInDisc discs;
    RowWater water; ///< of a row
    BlockReach reach;
    /// Of the anchorages in the core, by row, and how many of these have been counted.
    std::vector<Anchorages::Stretch> anchorages;
    std::size_t anchorages_done = 0;
    /// What the sink gets of the block.
    BlockAnswers answers;
};

/// Answers blocks for one boat at its levels: first what endangers it and how much room there is, then every
/// cell's answer. Used by the run for blocks, and for a single position, so that the two agree. Const calls
/// may come from several threads, each with a workspace.
class BlockDecider {
public:
    /// @param tables  must outlive it
    /// @param tide    of the stay; only read here; null: only two levels are known
    /// @param way_in  must outlive it; null: nobody looked for one
    BlockDecider(const SeaView& sea, const TackleTables& tables, LayerSet wanted,
                 const StayTide* tide = nullptr, const WayIn* way_in = nullptr);

    /// Fills effects and unsafe (as far as was gathered, at least halo() around the core), seabed and the two
    /// rooms (over the core).
    void find_rooms(Gathered& sea, Workspace& work) const;
    /// The facts of a core cell after find_rooms().
    [[nodiscard]] CellFacts facts(int col, int row, const Workspace& work) const;
    /// What the water does in the circles of a core cell after find_rooms(), by way, as the layers have it.
    std::array<WaterOfWay, all_ways.size()> water(const CellFacts& cell, int col, int row,
                                                  Workspace& work) const;
    /// find_rooms() and the answers of all core cells, with the runs if zones or spots are wanted.
    BlockRuns decide(Gathered& sea, Workspace& work) const;

    /// From now on the answers of blocks tell of these anchorages, too.
    /// @param anchorages  must outlive it
    void count(const Anchorages& anchorages) { anchorages_ = &anchorages; }

    /// How many cells around a block must be gathered for this boat.
    [[nodiscard]] int halo() const { return transform_.halo(); }
    /// Whether the water in the circles is asked for at all.
    /// @param traced  whether zones are
    [[nodiscard]] bool asks_for_water(bool traced) const {
        return (traced && hours_) || water_asked_[0] || water_asked_[1] || water_asked_[2];
    }
    /// What the cells are judged by.
    [[nodiscard]] const Judge& judge() const { return judge_; }

private:
    void take_effects(const Gathered& sea, Workspace& work) const;
    void take_seabeds(const Gathered& sea, Workspace& work) const;
    void mark_unsafe(const Gathered& sea, Workspace& work) const;
    void find_least_depths(const Gathered& sea, Workspace& work) const;
    /// The radius that the water in a cell's circle is asked with, as RowWater has it.
    [[nodiscard]] float circle_m(Way way, const CellFacts& cell) const;
    /// The same of a row's cells, for a layer; left NaN where there is none.
    void find_circles(Way way, const RowFacts& facts, const RowVerdicts& verdicts,
                      std::vector<float>& radius_m) const;
    /// The least depths in the circles of a row's cells, for those ways and cells that somebody asks for.
    void find_water(const RowFacts& facts, int row, bool traced, Workspace& work) const;
    /// @param above   the runs of the row above in the block   @param traced  whether the row's are wanted,
    /// too
    void answer_row(int row, std::span<const Run> above, Workspace& work, bool traced) const;
    /// Counts the cells of a row by answer and, where that is no, by leading reason.
    void tally_row(const RowFacts& facts, int row, Workspace& work) const;
    /// The same of the anchorages of the row.
    void tally_anchorages(const RowFacts& facts, int row, Workspace& work) const;
    /// What a map shows of the cells of a row.
    void classify_row(const RowFacts& facts, int row, Workspace& work) const;
    void find_near_misses(const RowFacts& facts, int row, Workspace& work) const;

    SeaView sea_;
    const TackleTables* tables_;
    LayerSet wanted_; ///< of maps their depths, too
    RoomTransform transform_;
    Judge judge_;
    SeabedOrder seabed_order_;
    CellAreas areas_;
    const Anchorages* anchorages_ = nullptr; ///< null: they are not counted
    std::vector<Effects> hull_effects_;      ///< by hazard, where this hull does not clear what others would
    bool endangers_more_ = false;            ///< whether any of these is something
    std::vector<float> hazard_depths_m_;     ///< by hazard, as Judge::least_depth_m() has it
    std::optional<HoursTable> hours_;        ///< nothing: only two levels are known
    bool needs_reasons_;
    std::array<bool, all_ways.size()> ways_asked_, water_asked_;
    const WayIn* way_in_; ///< null: nothing is told of it
};

} // namespace swingroom
