#pragma once

#include "swingroom/base/fact.hpp"
#include "swingroom/base/measures.hpp"
#include "swingroom/overlay/position.hpp"
#include "swingroom/overlay/way_in.hpp"
#include "swingroom/water/stay_tide.hpp"

#include <string>
#include <vector>

/// What is told of the way in to a place, whatever is told beside it: figures once, then words and JSON.
namespace swingroom {

/// What its figures are seen against: the levels of the stay, and what she needs under way.
struct WayInSetting {
    const WayIn* way_in = nullptr;  ///< not null
    const StayTide* tide = nullptr; ///< the water over time; null: two levels alone are known
    Measures measures;
};

/// Whether the way is open at a moment of the stay, and what she has to know who asks then.
struct WayAtMoment {
    bool open = false;
    std::optional<TimeWindow> window;  ///< open: the one that it lies in; shut: the next one, or none
    std::optional<Instant> shut_since; ///< shut: when the window before it ended; nothing: there was none
};
/// @param level_m  that the way is open from
WayAtMoment way_at(const Stay& stay, double level_m, Instant moment);

/// "open the whole stay", "open at times: from 0.97 m above chart datum on", "none during the stay: ...";
/// with a tide, by which the water may rise above the highest level that is sure, "none for sure: ...".
std::string reach_text(const PlaceReach& reach, const WayInSetting& setting);
/// When she can come, and go: by the clock, else at which of the two levels. Empty unless that is at times.
std::string come_and_go_text(const PlaceReach& reach, const WayInSetting& setting);
/// What that means for the moment when she arrives, and for that when she leaves: "shut; it opens
/// 2026-07-04 01:10 UTC-02:00". Empty without a tide and where the way is not open at times alone.
std::string at_arrival_text(const PlaceReach& reach, const WayInSetting& setting);
std::string at_departure_text(const PlaceReach& reach, const WayInSetting& setting);

/// "the seabed, at the least 1.78 m below chart datum": what a sill is, with its least depth.
std::string sill_text(const Sill& sill, const Measures& measures);
/// "2.2 m of water at low water, 4.2 m at high water", or on arrival; from its least depth.
std::string over_sill_text(const Sill& sill, const WayInSetting& setting);
/// "812 m long, with 4.2 m or more of room to each side, while the water stands 0.97 m above chart datum or
/// higher".
std::string approach_text(const Approach& approach, const WayInSetting& setting);
/// Of a leg: "012\u00b0", "410 m", and its least depth below chart datum, "1.78 m".
std::string course_text(const ApproachLeg& leg);
std::string leg_length_text(const ApproachLeg& leg, const Measures& measures);
std::string leg_depth_text(const ApproachLeg& leg, const Measures& measures);
/// Why no way leads there: what is to be known beside reach_text().
std::string closed_text(const ClosedWay& closed, const PlaceReach& reach, const WayInSetting& setting);
/// What would make a way known of which nothing is known.
inline constexpr const char* way_in_cure = "give her beam in the boat file, and say where she comes from if "
                                           "no deep water is on the edge of the data";

/// All that is told of it, line by line, but the legs. Empty where nobody looked.
std::vector<Fact> way_in_facts(const PositionReport& place, const WayInSetting& setting);
/// The legs of its approach, one a line, under a line that says what they are. Empty where there are none.
std::vector<std::string> approach_lines(const PositionReport& place, const Measures& measures);
/// The same for programs: an object, in metres and degrees.   @pre place.reach
std::string way_in_json(const PositionReport& place, const WayInSetting& setting);

} // namespace swingroom
