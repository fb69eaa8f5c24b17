#pragma once

#include "swingroom/water/harmonic_tide.hpp"
#include "swingroom/water/level_curve.hpp"
#include "swingroom/water/level_series.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace swingroom {

// What can be seen of a file of levels by itself: that another unit is meant, that a row slipped, that some
// are left out. What no tide can be is refused; what a strange place might have is a sentence for people.

/// @param height_m  above chart datum   @param place  file and line   @throws InputError  no water stands
/// there
void check_height(double height_m, const std::string& place);

/// Of the turns of a table, in their order.
/// @param zone  of the clock that sentences tell times by
/// @throws InputError  naming `where`: no tide is like that
std::vector<std::string> doubts_of_turns(const std::vector<Turn>& turns, ZoneOffset zone,
                                         std::string_view where);

/// Of a series that is read.
std::vector<std::string> doubts_of_series(const LevelSeries& series, double range_m);

/// Of constituents.
/// @param doubts, notes  are put on: what somebody has to look at, and what is only told
/// @throws InputError  naming `where`: no tide is like that
void take_amplitudes(const std::vector<HarmonicConstant>& constants, std::string_view where,
                     std::vector<std::string>& doubts, std::vector<std::string>& notes);

} // namespace swingroom
