#pragma once

#include "swingroom/base/measures.hpp"
#include "swingroom/overlay/position.hpp"
#include "swingroom/overlay/sounder.hpp"
#include "swingroom/water/stay_tide.hpp"

#include <array>
#include <limits>
#include <optional>
#include <string>
#include <vector>

// What is told of a place where the water is known over time: when she floats there, what the echo sounder
// should read when she arrives, and what becomes of that water while she stays.

namespace swingroom {

/// The water when she arrives, and how far it goes down afterwards.
struct ArrivalWater {
    Instant at;
    ZoneOffset zone{0};           ///< of the clock that people are told times by
    LevelBounds level;            ///< above chart datum, the allowances in it
    double predicted_m = 0;       ///< the prediction then
    bool falling = true;          ///< by the prediction, until the next turn
    std::optional<Turn> next_low; ///< the first after arrival, to the minute; nothing: none within the stay
    Instant lowest_at;            ///< when the water stands lowest during the stay, by the prediction
    /// How much it falls from arrival to then, by the prediction.
    double falls_predicted_m = 0;
    double highest_m = 0; ///< level of the stay that rode is veered for
    /// How much lower the water may stand at some time of the stay than it does when she arrives: from the
    /// upper bound then to the lowest level of the stay.
    double falls_m = 0;
};
/// That of a stay.
ArrivalWater arrival_water(const StayTide& tide);

/// What is told of a place for the moment when she arrives.
struct Arrival {
    ArrivalWater water;
    SounderReading reading; ///< before she has let go, over the cell
    /// What is added to a reading then for the depth of the water when it is highest: the transducer's depth,
    /// if it is known, and the rise from the level that sounder_most_m counts with.
    double deeper_at_highest_m = 0;
    /// By Way: the most that the sounder may show then; NaN where a way has no such condition.
    std::array<double, all_ways.size()> sounder_most_m{std::numeric_limits<double>::quiet_NaN(),
                                                       std::numeric_limits<double>::quiet_NaN(),
                                                       std::numeric_limits<double>::quiet_NaN()};
};
/// @param water  of the stay   @param boat  as the tables of the run have her
Arrival arrival_of(const ArrivalWater& water, const PositionReport& place, const Boat& boat);

/// "about 6.1 m by the prediction (5.4 to 6.9 m with all that depth and level may be off), and up to 0.3 m
/// less or more by its own error"; where nothing but bounds is known "5.4 m or more of water, less how deep
/// your transducer is, and ...". The bounds are rounded outwards. Empty where nothing is known of the depth.
std::string reading_text(const SounderReading& reading, const Measures& measures = {});
/// The same in short, without the error: "about 6.1 m (5.4 to 6.9 m)", "5.4 m or more", "none: it is dry".
std::string range_text(const SounderReading& reading, const Measures& measures = {});

/// What to look for on arrival at a place that is a yes, in plain sentences: what the sounder should read, or
/// may show at the most, what it means if it does not, the nearest danger, and how far the water still falls.
/// Empty where nothing is known of the depth.
std::vector<std::string> arrival_sentences(const Arrival& arrival, const PositionReport& place,
                                           const Measures& measures = {});

/// When the water stands at a level or above it for sure, and how long that is: "the whole stay, 27.5 h",
/// "9.2 of 27.5 h: 2026-12-24 06:30 to 11:12, 18:40 to 23:05 UTC+01:00"; "at no time of the stay" where it
/// cannot rise to the level, and where it may, "at no time for sure: the level's lower bound rises to 1.71 m
/// above chart datum at most". Of many windows the first few, with how many more there are.
std::string afloat_text(const Stay& stay, double level_m, ZoneOffset zone, const Measures& measures = {});
/// "2026-12-24 06:30 to 11:12": the second date only where it is another.
std::string window_text(const TimeWindow& window, ZoneOffset zone);
/// "1.6 m above chart datum", "2.2 m below chart datum": a level that is needed, rounded up.
std::string level_needed_text(double level_m, const Measures& measures = {});

} // namespace swingroom
