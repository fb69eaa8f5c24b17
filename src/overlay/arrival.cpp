#include "swingroom/overlay/arrival.hpp"

#include "swingroom/overlay/position_words.hpp"

#include "base/text.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstddef>
#include <utility>

namespace swingroom {
namespace {

using std::chrono::days;
using std::chrono::minutes;

std::string up(double metres, const Measures& measures) { return length_text(metres, Rounded::up, measures); }
std::string down(double metres, const Measures& measures) {
    return length_text(metres, Rounded::down, measures);
}

/// Of the moments at which the water may stand lowest the one at which it most likely does: of a table of
/// high and low waters the lower bound is as low for hours around a low water.
Instant lowest_moment(const StayTide& tide) {
    const Stay& stay = tide.stay;
    Instant lowest = stay.arrive();
    for (Instant minute = stay.arrive(); minute < stay.depart(); minute += minutes(1)) {
        const double bound_m = stay.at(minute).least_m, so_far_m = stay.at(lowest).least_m;
        if (bound_m < so_far_m ||
            (bound_m <= so_far_m && tide.curve->height_m(minute) < tide.curve->height_m(lowest))) {
            lowest = minute;
        }
    }
    return lowest;
}

/// The nearer of what the hull and what anchor and rode must not meet.
const std::optional<NearestDanger>& nearest_danger(const PositionReport& place) {
    const auto& hull = place.hull_danger;
    const auto& ground = place.ground_danger;
    return ground && (!hull || ground->distance_m < hull->distance_m) ? ground : hull;
}

std::string danger_sentence(const PositionReport& place, const Measures& measures) {
    const std::optional<NearestDanger>& danger = nearest_danger(place);
    if (!danger) return "No danger lies within " + down(place.reach_m, measures) + ".";
    const std::string what = "The nearest danger is " + what_is(*danger, measures);
    if (danger->distance_m <= 0) return what + ", here.";
    return what + ", " + down(danger->distance_m, measures) + " off, bearing " +
           bearing_text(danger->bearing_deg) + ".";
}

/// "2.10 to 2.65 m above chart datum, 2.31 m by the prediction".
std::string level_words(const ArrivalWater& water, const Measures& measures) {
    return length_number(water.level.least_m, Rounded::down, measures, 2) + " to " +
           length_text(water.level.greatest_m, Rounded::up, measures, 2) + " above chart datum, " +
           length_text(water.predicted_m, Rounded::nearest, measures, 2) + " by the prediction";
}

/// What it means if the sounder reads something else; the range with its error, rounded outwards.
/// @param by_sounder  how deep it may be at the most is said already
std::string otherwise_sentence(const SounderReading& reading, bool by_sounder, const Measures& measures) {
    const double least_m = reading.least_m - reading.error_m,
                 greatest_m = reading.greatest_m + reading.error_m;
    const std::string shows = reading.of_water ? "Where there is " : "Where it shows ",
                      water = reading.of_water ? " of water" : "";
    std::string words;
    if (length_value(least_m, Rounded::down, measures) > 0) {
        words = shows + "less than " + down(least_m, measures) + water +
                ", depth or level is not what was counted with: do not let go by this answer.";
    }
    if (by_sounder || std::isinf(greatest_m)) return words;
    return words + (words.empty() ? "" : " ") + shows + "more than " + up(greatest_m, measures) + water +
           ", more rode and more room are needed than were counted with.";
}

/// What becomes of the water after arrival.
std::string fall_sentences(const ArrivalWater& water, const Measures& measures) {
    const std::string falls = up(water.falls_m, measures);
    std::string words = std::string("The water is ") + (water.falling ? "falling" : "rising") + " then";
    if (water.next_low) {
        words += std::string(water.falling ? ", until low water at " : ", and the next low water is at ") +
                 clock_text(water.next_low->time, water.zone) + ", " +
                 length_text(water.next_low->height_m, Rounded::nearest, measures, 2) +
                 " above chart datum as predicted";
    } else {
        words += ", and no low water falls into the stay after it";
    }
    if (water.lowest_at == water.at) {
        words += ". The lowest water of the stay is that of arrival, but with all that the level may be off "
                 "it may still fall by " +
                 falls;
    } else {
        const bool then = water.next_low && abs(water.next_low->time - water.lowest_at) <= minutes(1);
        words += std::string(". From arrival to the lowest water of the stay, ") +
                 (then ? "which is that one" : "at " + clock_text(water.lowest_at, water.zone)) +
                 ", it falls by " + length_text(water.falls_predicted_m, Rounded::nearest, measures) +
                 " as predicted, and by no more than " + falls + " with all that the level may be off";
    }
    return words + ": what the sounder shows on arrival less " + falls +
           " is the least that it will show there, its own error aside.";
}

/// Whether the water falls, and until which low water.
/// @param until  how far turns are looked for
void take_turns(ArrivalWater& water, const StayTide& tide, Instant until) {
    water.falling = tide.curve->height_m(until) < tide.curve->height_m(water.at);
    std::vector<Turn> turns = tide.curve->turns(water.at, until);
    std::erase_if(turns, [&](const Turn& turn) { return turn.time <= water.at; });
    if (!turns.empty()) water.falling = !turns.front().high;
    const auto low = std::find_if(turns.begin(), turns.end(), [](const Turn& turn) { return !turn.high; });
    if (low == turns.end()) return;
    water.next_low = *low;
    water.next_low->time = std::chrono::round<minutes>(low->time); // constituents tell it to the second
}

} // namespace

ArrivalWater arrival_water(const StayTide& tide) {
    const Stay& stay = tide.stay;
    ArrivalWater water;
    water.at = stay.arrive();
    water.zone = tide.zone;
    water.level = stay.at(water.at);
    water.lowest_at = lowest_moment(tide);
    water.highest_m = stay.levels().high_m;
    water.predicted_m = tide.curve->height_m(water.at);
    water.falls_predicted_m = water.predicted_m - tide.curve->height_m(water.lowest_at);
    water.falls_m = water.level.greatest_m - stay.levels().low_m;
    // A long stay has many turns, and the next ones lie within two days almost everywhere.
    take_turns(water, tide, std::min(stay.depart(), water.at + days(2)));
    if (!water.next_low) take_turns(water, tide, stay.depart());
    return water;
}

Arrival arrival_of(const ArrivalWater& water, const PositionReport& place, const Boat& boat) {
    Arrival arrival;
    arrival.water = water;
    arrival.reading = sounder_reading(static_cast<double>(place.facts.shoal_m),
                                      static_cast<double>(place.facts.deep_m), water.level, boat.sounder);
    arrival.deeper_at_highest_m =
        water.highest_m - shown_above_datum_m(counted_level_m(water.level, boat), boat.sounder);
    for (const WayAtPosition& at : place.ways) {
        arrival.sounder_most_m.at(static_cast<std::size_t>(at.way)) =
            sounder_may_show_m(static_cast<double>(at.detail.needs.sounder_limit_m), water.level, boat);
    }
    return arrival;
}

std::string range_text(const SounderReading& reading, const Measures& measures) {
    if (!reading.known()) return {};
    if (reading.greatest_m <= 0) return "none: it is dry";
    const std::string least = down(reading.least_m, measures);
    if (std::isinf(reading.greatest_m)) return least + " or more";
    const std::string greatest = up(reading.greatest_m, measures);
    return least == greatest ? least
                             : length_number(reading.least_m, Rounded::down, measures) + " to " + greatest;
}

std::string reading_text(const SounderReading& reading, const Measures& measures) {
    std::string words = range_text(reading, measures);
    if (words.empty() || reading.greatest_m <= 0) return words;
    if (reading.of_water) words += " of water, less how deep your transducer is";
    if (reading.error_m > 0) {
        words += ", and up to " + up(reading.error_m, measures) + " less or more by its own error";
    }
    return words;
}

std::vector<std::string> arrival_sentences(const Arrival& arrival, const PositionReport& place,
                                           const Measures& measures) {
    const SounderReading& reading = arrival.reading;
    if (!reading.known()) return {};
    const std::string when = clock_text(arrival.water.at, arrival.water.zone);
    std::vector<std::string> sentences = {
        "On arrival, " + when + ", the water stands " + level_words(arrival.water, measures) +
        ", and the sounder should read " + reading_text(reading, measures) + "."};
    const double most_m =
        is_yes(place.answer.verdict)
            ? arrival.sounder_most_m.at(static_cast<std::size_t>(way_of(place.answer.verdict)))
            : std::numeric_limits<double>::quiet_NaN();
    if (!std::isnan(most_m)) {
        sentences.push_back(std::string("Let go then only where ") +
                            (reading.of_water ? "there is no more water than " : "it shows no more than ") +
                            down(most_m, measures) +
                            " within a boat's length around, and veer for the most that " +
                            (reading.of_water ? "there is" : "it shows there") + " and " +
                            up(arrival.deeper_at_highest_m, measures) +
                            " more: so deep the water may be when it is highest.");
    }
    if (std::string words = otherwise_sentence(reading, !std::isnan(most_m), measures); !words.empty()) {
        sentences.push_back(std::move(words));
    }
    sentences.push_back(danger_sentence(place, measures));
    sentences.push_back(fall_sentences(arrival.water, measures));
    return sentences;
}

std::string level_needed_text(double level_m, const Measures& measures) {
    const bool below = length_value(level_m, Rounded::up, measures) < 0;
    return (below ? down(-level_m, measures) + " below" : up(level_m, measures) + " above") + " chart datum";
}

std::string window_text(const TimeWindow& window, ZoneOffset zone) {
    const bool same_day = date_text(window.from, zone) == date_text(window.to, zone);
    return local_time_text(window.from, zone) + " to " +
           (same_day ? hour_text(window.to, zone) : local_time_text(window.to, zone));
}

std::string afloat_text(const Stay& stay, double level_m, ZoneOffset zone) {
    constexpr std::size_t most_windows = 6; // of a few days; all are what --json has
    const std::vector<TimeWindow> windows = stay.windows(level_m);
    const std::string all_h = fixed_down(static_cast<double>(stay.minutes()) / 60, 1) + " h";
    if (windows.empty()) return "at no time of the stay";
    if (windows.front().from == stay.arrive() && windows.front().to == stay.depart()) {
        return "the whole stay, " + all_h;
    }
    std::string words = fixed_down(stay.hours_afloat(level_m), 1) + " of " + all_h + ":";
    for (std::size_t i = 0; i < std::min(most_windows, windows.size()); ++i) {
        words += (i == 0 ? " " : ", ") + window_text(windows[i], zone);
    }
    words += " " + zone_text(zone);
    if (windows.size() > most_windows) {
        words += " and " + std::to_string(windows.size() - most_windows) + " more";
    }
    return words;
}

} // namespace swingroom
