#pragma once

#include "swingroom/overlay/block_answers.hpp"
#include "swingroom/room/judge.hpp"
#include "swingroom/sea/bathymetry.hpp"

#include "overlay/block_reach.hpp"
#include "overlay/hours_table.hpp"
#include "overlay/row_water.hpp"

#include <array>
#include <cstdint>
#include <vector>

namespace swingroom {

/// Which of the sources a cell's shoal depth is from, the first being 1; 0 where unsurveyed.
std::uint8_t source_of(const DepthPlanes& depths, int col, int row);

/// All that a row of cells is answered from.
struct RowToAnswer {
    /// Of the boat that is answered for.
    const Judge& judge;
    /// Of the block, for the layers that say where a depth is from.
    const DepthPlanes& depths;
    int first_col = 0, row = 0; ///< of the raster
    /// What the row's cells were judged by.
    const RowFacts& facts;
    const RowVerdicts& verdicts; ///< with the needs of the ways_of() what is wanted
    const RowReasons& said;      ///< with the advice of the way in; empty unless needs_reasons()
    const RowWater& water;       ///< of the ways_of_water()
    const HoursTable* hours;     ///< null: only two levels are known
    const BlockReach& reach;     ///< of the row
};

/// Whether one of the layers needs everything that is to be said about each cell.
bool needs_reasons(LayerSet wanted);
/// The ways that one of the layers asks about: its own, or all.
std::array<bool, all_ways.size()> ways_of(LayerSet wanted);
/// Those in whose circles one of the layers asks for the water.
/// @param tide  whether the water is known over time
std::array<bool, all_ways.size()> ways_of_water(LayerSet wanted, bool tide);

/// The layer `access_level` of a cell.   @param level_m  its access level, infinite where she gets there at
/// none
float told_access_level_m(float level_m);

/// Writes a row of each layer that is wanted, every cell of it.
/// @param answers  as BlockAnswers::reset() left them
void answer_layers(const RowToAnswer& row, LayerSet wanted, BlockAnswers& answers);

} // namespace swingroom
