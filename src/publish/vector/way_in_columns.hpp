#pragma once

#include "swingroom/overlay/overlay.hpp"
#include "swingroom/overlay/way_in.hpp"
#include "swingroom/publish/vector_layer.hpp"

#include <vector>

namespace swingroom {

/// What layers say of the way in to a place:
///   way_in          "always", "at times", "never", "not known"
///   access_level_m  the level above chart datum from which on she gets there, where that is above the lowest
///                   of the stay; null where it is not, and where no level opens a way
/// and with a tide
///   windows         when that is, in words
/// They are there only where somebody looked for a way in.
void add_way_in(std::vector<Property>& properties, const PlaceReach& reach, const StayTide* tide);

/// Only with a tide:
///   come_from, come_until  the first time without interruption during the stay in which she gets there
///   leave_by               the end of the last one: after it she lies there until she leaves by another tide
/// All are null where there is none.
void add_times_of_way_in(std::vector<Property>& properties, const PlaceReach& reach, const StayTide* tide);

} // namespace swingroom
