#pragma once

#include "swingroom/base/markup.hpp"
#include "swingroom/base/measures.hpp"
#include "swingroom/boat/boat.hpp"
#include "swingroom/boat/rode_figures.hpp"
#include "swingroom/boat/wind_figures.hpp"
#include "swingroom/overlay/position.hpp"
#include "swingroom/overlay/tally.hpp"
#include "swingroom/overlay/way_in.hpp"
#include "swingroom/room/verdict.hpp"
#include "swingroom/sea/georeference.hpp"
#include "swingroom/sea/hazard_extent.hpp"
#include "swingroom/water/instant.hpp"
#include "swingroom/water/levels.hpp"
#include "swingroom/water/stay.hpp"
#include "swingroom/water/stay_tide.hpp"

#include <cstddef>
#include <cstdint>
#include <limits>
#include <optional>
#include <string>
#include <vector>

namespace swingroom {

/// A drop point of a stay, with the figures of the layer `spots`, in metres and knots.
struct CruisePlace {
    std::string name;                    ///< among all of the cruise, as its files have it
    LonLat position;                     ///< WGS 84
    Verdict verdict = Verdict::no;       ///< as it was judged: a yes
    std::uint16_t advice = 0;            ///< bits of `advice`; one says that no way leads there
    double depth_low_m = 0;              ///< the least water at low water, all that is not known taken off
    double depth_high_m = 0;             ///< the most at high water, the same put on; NaN: not known
    double rode_m = 0;                   ///< to veer, exact
    double radius_m = 0;                 ///< of the swinging circle
    double spare_m = 0;                  ///< room beyond that
    bool spare_is_at_least = false;      ///< whether no danger is near enough to end it: that or more
    double wind_limit_kn = 0;            ///< the greatest wind that she may lie in there
    LimitBy limit_by = LimitBy::holding; ///< what that is from
    /// The greatest reading of the sounder to let go at, taken to chart datum; NaN: the rode is not by it.
    double sounder_limit_m = std::numeric_limits<double>::quiet_NaN();
    /// The same as the sounder shows it at low water.
    double sounder_at_low_water_m = std::numeric_limits<double>::quiet_NaN();
    std::string condition;        ///< what the sounder must show, a sentence; empty: nothing
    Reach reach = Reach::unknown; ///< of the way in
    /// The level above chart datum from which on it is open, where that is at times; NaN: at any level of the
    /// stay, or none is known.
    double access_level_m = std::numeric_limits<double>::quiet_NaN();
    std::vector<TimeWindow> windows; ///< when that is open for sure, where it is at times
};

/// A drop point as a run has found it.
/// @param spot  a yes, with all that is known of it   @param name  among all of the cruise
/// @param boat  that lies there                       @param tide  of the stay; null: two levels alone are
/// known
CruisePlace cruise_place(const PositionReport& spot, const std::string& name, const Boat& boat,
                         const StayTide* tide);

/// The answer for one boat at one stay.
struct CruiseAnswer {
    std::string folder;              ///< its path within the cruise's folder
    std::string failure;             ///< why there is no answer, a sentence; empty: there is one
    bool has_report = false;         ///< whether the folder has a report.html
    Tally tally;                     ///< of its cells
    std::vector<CruisePlace> places; ///< drop points, at most most_best_spots, best first
    std::size_t spots = 0;           ///< how many drop points there are
    std::vector<std::string> doubts; ///< what is doubtful of it, a sentence each
};

/// A stay, with an answer for each boat of the cruise.
struct CruiseStay {
    std::string name;               ///< as the cruise file or the route has it
    LonLatBox window{};             ///< its area
    std::optional<TimeWindow> time; ///< from arrival to departure; nothing: two levels alone are known
    ZoneOffset zone{0};             ///< of the clock that its times are told by
    std::string station;            ///< whose tide it is; may be empty
    WaterLevels levels;             ///< lowest and highest water; NaN: not known
    double wind_kn = 0;             ///< planned
    std::string shelter;            ///< what is known of it, a sentence; empty: nothing
    /// The cells in which each of several boats has a yes; nothing: nobody has counted them.
    std::optional<Covered> all_boats;
    std::vector<CruiseAnswer> answers; ///< one for each boat, in their order
};

/// A boat of the cruise.
struct CruiseBoat {
    std::string name;            ///< by her boat file
    double required_depth_m = 0; ///< the water that she needs
    RodeMarks marks;             ///< of her rode
};

/// All that is told of a cruise.
struct CruiseFigures {
    std::vector<CruiseBoat> boats; ///< one or more
    std::vector<CruiseStay> stays; ///< one or more, in their order
    Measures measures;             ///< of the page; JSON is in metres and degrees
};

/// The page of a cruise, to stand as cruise.html beside the folders of its answers: what all stays offer each
/// boat, side by side, a map of where they are, then stay by stay the best places. It needs no script and no
/// other file, is well-formed as XML and fit to be printed.
Markup cruise_page(const CruiseFigures& cruise);

/// The same figures for other programs, as the text of cruise.json.
std::string cruise_json(const CruiseFigures& cruise);
/// The stays of such a text, with their figures as they were told there: a later run tells answers that it
/// keeps from these, and a page that is made of stays that were written and read does not depend on which of
/// them were kept. Of what each boat is the run itself knows.
/// @param source  of the text, for messages   @throws IoError  it is not as cruise_json() writes it
std::vector<CruiseStay> stays_in_cruise_json(const std::string& text, const std::string& source);

} // namespace swingroom
