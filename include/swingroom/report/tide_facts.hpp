#pragma once

#include "swingroom/base/fact.hpp"
#include "swingroom/water/stay_tide.hpp"

#include <vector>

namespace swingroom {

/// Where the water of a stay is known from, what bounds it and which allowances are in it, for the
/// provenance. Of the station's distance from what is looked at nothing is said but where its place is not
/// known.
std::vector<Fact> tide_facts(const StayTide& tide);

/// How far the level may be off when she reads her sounder before letting go, the allowances in it, rounded
/// up to centimetres: half the width of its bounds at arrival, or how far the prediction lies above the lower
/// one if that is more, since she may count from the middle or from the prediction.
double level_error_m(const StayTide& tide);
/// The whole of that width, rounded up likewise.
double level_within_m(const StayTide& tide);

} // namespace swingroom
