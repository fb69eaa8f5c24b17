#pragma once

#include "swingroom/base/measures.hpp"
#include "swingroom/water/level_curve.hpp"

#include <string>

// Levels of the water for people, who read "below" sooner than a minus.

namespace swingroom {

/// "2.45 m above chart datum", "0.06 m below chart datum".
/// @param way  of the level: what is rounded down is never told higher than it is
std::string level_above_datum_text(double level_m, Rounded way, const Measures& measures = {},
                                   int decimals = 2);

/// "between 0.55 and 2.45 m above chart datum", "between 0.06 m below and 2.45 m above chart datum";
/// outwards.
std::string between_levels_text(const LevelBounds& levels, const Measures& measures = {}, int decimals = 2);

/// "0.31 to 4.52 m above chart datum", "0.06 m below to 1.20 m above chart datum"; outwards.
std::string levels_text(const LevelBounds& levels, const Measures& measures = {});

} // namespace swingroom
