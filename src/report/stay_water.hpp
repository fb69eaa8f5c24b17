#pragma once

#include "swingroom/base/fact.hpp"
#include "swingroom/base/measures.hpp"
#include "swingroom/overlay/arrival.hpp"
#include "swingroom/overlay/position.hpp"
#include "swingroom/report/report.hpp"
#include "swingroom/water/levels.hpp"
#include "swingroom/water/stay_tide.hpp"

#include <string>
#include <vector>

/// What is told of the water of a stay, whatever is told beside it.
namespace swingroom {

/// "2026-12-24 06:30 to 2026-12-25 10:00 +01:00, water 0.31 to 4.52 m above chart datum".
std::string stay_text(const StayTide& tide, const Measures& measures);
/// "0.31 to 4.52 m above chart datum"; of a tide one below chart datum is told as such, of two numbers as it
/// was given.
std::string stay_levels_text(const WaterLevels& levels, const ReportInput& input);
/// "2026-12-24 06:30 to 2026-12-25 10:00 +01:00".
std::string stay_times_text(const StayTide& tide);
/// High and low waters from arrival to departure, both in.
std::vector<Turn> turns_of_stay(const StayTide& tide);
/// "no more than 7.2 m, 2026-12-24 06:30 +01:00": a way's condition at the moment of arrival; of the water's
/// depth where nobody says how deep the transducer is.   @pre the way has one
std::string sounder_limit_text(const Arrival& arrival, Way way, const Measures& measures);
/// What the water does in the swinging circle of a way, line by line; nothing where that is not known.
std::vector<Fact> water_facts(const WaterOfWay& water, const StayTide& tide, const Measures& measures);
/// The same: an object, its figures null where they are not known, or no level will do.
std::string afloat_json(const WaterOfWay& water, const Stay& stay);
/// The stay, its levels, and what they are known from: an object.
std::string water_json(const StayTide& tide);
/// What to look for on arrival: an object.
std::string arrival_json(const Arrival& arrival, const PositionReport& place);

} // namespace swingroom
