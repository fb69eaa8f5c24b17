#pragma once

#include "swingroom/boat/tables.hpp"
#include "swingroom/room/judge.hpp"
#include "swingroom/room/verdict.hpp"

#include <cstdint>
#include <vector>

namespace swingroom {

// The passes over a row of cells that Judge::verdicts() is made of. Marks are 1 or 0, one of each cell;
// places are those of cells in the row, ascending.

/// Marks the cells of a row that have a depth by `no`, others by `unsurveyed`.
/// @param afloat  1 where a cell has a depth that floats the hull
/// @param roomy   1 where it also has room enough   @returns how many cells have a depth
int mark_row(const RowFacts& row, float afloat_m, float least_room_m, Verdict* verdict, std::uint8_t* afloat,
             std::uint8_t* roomy);

/// Takes the marks off where a danger is too near, or the ground forbids.
/// @param grounds  a bit for each that does, by its number
void unmark_forbidden(const RowFacts& row, std::uint32_t grounds, std::uint8_t* marks);

/// The places of the marks that are 1.
void find_places(const std::vector<std::uint8_t>& marks, std::vector<int>& places);

/// TackleTables::needs() of some cells of a row, and whether there is room enough for it.
/// @param out_of_reach  of those that the rode aboard does not reach   @param needs  by cell
/// @param fits          marks; what they are of other cells means nothing
void look_up(const TackleTables& tables, Way way, const RowFacts& row, const std::vector<int>& places,
             WayNeeds out_of_reach, WayNeeds* needs, std::uint8_t* fits);

/// Gives a verdict to those of the open places that fit, which are open no more.
void settle(Verdict yes, const std::uint8_t* fits, Verdict* verdicts, std::vector<int>& open);

/// Marks the cells with a yes.
void mark_yes(const Verdict* verdicts, int cells, std::uint8_t* marks);

} // namespace swingroom
