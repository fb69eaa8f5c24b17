#include "swingroom/overlay/arrival.hpp"

#include "swingroom/overlay/position_words.hpp"
#include "swingroom/sea/chart_depths.hpp"
#include "swingroom/water/level_text.hpp"

#include "base/text.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstddef>
#include <limits>
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
    const bool above = water.level.least_m >= 0; // else each says on which side of chart datum it is
    return levels_text(water.level, measures) + ", " +
           (above ? length_text(water.predicted_m, Rounded::nearest, measures, 2)
                  : level_above_datum_text(water.predicted_m, Rounded::nearest, measures)) +
           " by the prediction";
}

/// What it means if the sounder reads something else; the range with its error, rounded inwards: at what is
/// shown between a limit and its rounding, too, she does not let go.
/// @param by_sounder  how deep it may be at the most is said already
std::string otherwise_sentence(const SounderReading& reading, bool by_sounder, const Measures& measures) {
    const double least_m = reading.least_m - reading.error_m,
                 greatest_m = reading.greatest_m + reading.error_m;
    const std::string shows = reading.of_water ? "Where there is " : "Where it shows ",
                      water = reading.of_water ? " of water" : "";
    std::string words;
    if (least_m > 0) {
        words = shows + "less than " + up(least_m, measures) + water +
                ", depth or level is not what was counted with: do not let go by this answer.";
    }
    if (by_sounder || std::isinf(greatest_m)) return words;
    return words + (words.empty() ? "" : " ") + shows + "more than " + down(greatest_m, measures) + water +
           ", more rode and more room are needed than were counted with.";
}

/// What becomes of the water after arrival.
std::string fall_sentences(const ArrivalWater& water, const Measures& measures) {
    const std::string falls = up(water.falls_m, measures);
    std::string words = std::string("The water is ") + (water.falling ? "falling" : "rising") + " then";
    if (water.next_low) {
        words += std::string(water.falling ? ", until low water at " : ", and the next low water is at ") +
                 clock_text(water.next_low->time, water.zone) + ", " +
                 level_above_datum_text(water.next_low->height_m, Rounded::nearest, measures) +
                 " as predicted";
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

/// What a sounder reads by the prediction; NaN where the depth has no middle: it may be anywhere in the band
/// of an area of a chart.
double predicted_reading_m(const CellFacts& facts, double level_m, const Sounder& sounder) {
    const auto shoal_m = static_cast<double>(facts.shoal_m), deep_m = static_cast<double>(facts.deep_m);
    if (facts.banded || facts.stepped || deep_m >= no_deep_edge_m || std::isnan(shoal_m)) {
        return std::numeric_limits<double>::quiet_NaN();
    }
    return std::max(0.0, (shoal_m + deep_m) / 2 + shown_above_datum_m(level_m, sounder));
}

/// "5.4 to 6.9 m", "5.4 m or more", "5.4 m"   @pre the depth is known
std::string bounds_text(const SounderReading& reading, const Measures& measures) {
    const std::string least = down(reading.least_m, measures);
    if (std::isinf(reading.greatest_m)) return least + " or more";
    const std::string greatest = up(reading.greatest_m, measures);
    return least == greatest ? least
                             : length_number(reading.least_m, Rounded::down, measures) + " to " + greatest;
}

/// "about 6.1 m", "dry"; empty where nothing but bounds is known.
std::string about_text(const SounderReading& reading, const Measures& measures) {
    if (std::isnan(reading.predicted_m)) return {};
    return reading.predicted_m > 0 ? "about " + length_text(reading.predicted_m, Rounded::nearest, measures)
                                   : "dry";
}

/// The highest that the water's level rises to for sure.
double highest_sure_m(const Stay& stay) {
    double highest_m = stay.at(stay.arrive()).least_m;
    for (Instant minute = stay.arrive(); minute < stay.depart(); minute += minutes(1)) {
        highest_m = std::max(highest_m, stay.at(minute).least_m);
    }
    return highest_m;
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
    arrival.reading.predicted_m = predicted_reading_m(place.facts, water.predicted_m, boat.sounder);
    // The level may be at its lower bound when she reads, and the sounder may show too little.
    arrival.deeper_at_highest_m =
        water.highest_m - shown_above_datum_m(water.level.least_m, boat.sounder) + boat.sounder.error_m;
    for (const WayAtPosition& at : place.ways) {
        arrival.sounder_most_m.at(static_cast<std::size_t>(at.way)) =
            sounder_may_show_m(static_cast<double>(at.detail.needs.sounder_limit_m), water.level, boat);
    }
    return arrival;
}

std::string range_text(const SounderReading& reading, const Measures& measures) {
    if (!reading.known()) return {};
    if (reading.greatest_m <= 0) return "none: it is dry";
    const std::string bounds = bounds_text(reading, measures), about = about_text(reading, measures);
    return about.empty() ? bounds : about + " (" + bounds + ")";
}

std::string reading_text(const SounderReading& reading, const Measures& measures) {
    if (!reading.known() || reading.greatest_m <= 0) return range_text(reading, measures);
    const std::string about = about_text(reading, measures);
    const std::string water = reading.of_water ? " of water" : "";
    std::string words = bounds_text(reading, measures);
    if (about.empty()) {
        words += water;
    } else {
        words = about + (reading.predicted_m > 0 ? water : "") + " by the prediction (" + words +
                " with all that depth and level may be off)";
    }
    if (reading.of_water) words += ", less how deep your transducer is";
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
    return level_above_datum_text(level_m, Rounded::up, measures, 1);
}

std::string window_text(const TimeWindow& window, ZoneOffset zone) {
    const bool same_day = date_text(window.from, zone) == date_text(window.to, zone);
    return local_time_text(window.from, zone) + " to " +
           (same_day ? hour_text(window.to, zone) : local_time_text(window.to, zone));
}

std::string afloat_text(const Stay& stay, double level_m, ZoneOffset zone, const Measures& measures) {
    constexpr std::size_t most_windows = 6; // of a few days; all are what --json has
    const std::vector<TimeWindow> windows = stay.windows(level_m);
    const std::string all_h = fixed_down(static_cast<double>(stay.minutes()) / 60, 1) + " h";
    if (windows.empty() && level_m > stay.levels().high_m) return "at no time of the stay";
    if (windows.empty()) {
        return "at no time for sure: the level's lower bound rises to " +
               level_above_datum_text(highest_sure_m(stay), Rounded::down, measures) + " at most";
    }
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
