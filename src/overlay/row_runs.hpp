#pragma once

#include "swingroom/boat/tables.hpp"
#include "swingroom/room/zones.hpp"

#include "overlay/layer_answers.hpp"

#include <span>
#include <vector>

namespace swingroom {

/// Cuts the yes cells of a row into runs and finds what holds all over each. Only what holds all over a zone
/// is told. So a run takes over the figures of the runs of its zone in the row above, and looks at its own
/// cells only as far as they may be beyond these: its figures may then say more than its own cells would, but
/// put together they are those of the zone, however its cells are cut into blocks.
/// @param tables  that the cells were judged by
/// @param above   the runs of the same block's row above, none of its first row
/// @param runs    filled, from left to right; what it held is gone
void find_runs(const RowToAnswer& row, const TackleTables& tables, std::span<const Run> above,
               std::vector<Run>& runs);

} // namespace swingroom
