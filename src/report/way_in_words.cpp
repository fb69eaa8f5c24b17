#include "report/way_in_words.hpp"

#include "swingroom/overlay/arrival.hpp"
#include "swingroom/overlay/position_words.hpp"
#include "swingroom/water/level_text.hpp"

#include "base/json.hpp"
#include "base/text.hpp"
#include "publish/styles/answer_words.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstddef>
#include <limits>
#include <optional>

namespace swingroom {
namespace {

constexpr double none = std::numeric_limits<double>::quiet_NaN();

std::string up(double metres, const Measures& measures) { return length_text(metres, Rounded::up, measures); }
std::string down(double metres, const Measures& measures) {
    return length_text(metres, Rounded::down, measures);
}

/// As the layers have them: levels that are needed rounded up, least depths down.
constexpr int decimals = 2;

/// "0.97 m above chart datum".
std::string level_text(double level_m, const Measures& measures) {
    return level_above_datum_text(level_m, Rounded::up, measures, decimals);
}

/// "1.78 m below chart datum", "0.48 m above chart datum: it dries": never deeper than it is.
std::string depth_of_datum_text(double depth_m, const Measures& measures) {
    if (depth_m >= 0) return length_text(depth_m, Rounded::down, measures, decimals) + " below chart datum";
    return length_text(-depth_m, Rounded::up, measures, decimals) + " above chart datum: it dries";
}

/// Water that is there at a level; none where it is dry.
std::string water_text(double water_m, const Measures& measures) {
    return water_m > 0 ? down(water_m, measures) : "none";
}

std::string highest_text(const WayInSetting& setting) {
    return level_above_datum_text(double{setting.way_in->highest_m}, Rounded::down, setting.measures);
}

/// How long a way is, rounded up as in its layer: whole units, from half a nautical mile on miles unless in
/// metres.
std::string way_length_text(double metres, const Measures& measures) {
    constexpr double mile_m = 1852;
    const bool in_miles = measures.length != LengthUnit::metre && metres >= mile_m / 2;
    return in_miles ? fixed_up(metres / mile_m, 2) + " nm" : length_text(metres, Rounded::up, measures, 0);
}

bool at_times(const PlaceReach& reach) { return reach.reach == Reach::at_times; }

std::string until_text(Instant moment, const WayInSetting& setting) {
    return clock_text(moment, setting.tide->zone);
}

/// The first minute of the stay at which the prediction stands at a level or above it; nothing: it never
/// does.
std::optional<Instant> predicted_at(double level_m, const StayTide& tide) {
    for (Instant minute = tide.stay.arrive(); minute < tide.stay.depart();
         minute += std::chrono::minutes(1)) {
        // The bounds are at hand, a prediction is work.
        if (tide.stay.at(minute).greatest_m < level_m) continue;
        if (tide.curve->height_m(minute) >= level_m) return minute;
    }
    return std::nullopt;
}

/// Of a level that no moment of the stay is sure to reach: whether it may be reached all the same. Empty
/// where it may not.
std::string not_sure_text(double level_m, const WayInSetting& setting) {
    if (setting.tide == nullptr || level_m > setting.tide->stay.levels().high_m) return {};
    if (const std::optional<Instant> at = predicted_at(level_m, *setting.tide)) {
        return "which the prediction reaches at " + until_text(*at, setting);
    }
    return "to which the water may rise above its prediction";
}

/// Why there is none: the levels that the way would need are none of the stay, or none that is sure.
std::string never_text(double level_m, const WayInSetting& setting) {
    const std::string opens =
        std::isinf(level_m) ? std::string() : "it opens at " + level_text(level_m, setting.measures) + ", ";
    if (setting.tide == nullptr) {
        return "none during the stay: " + (opens.empty() ? opens : opens + "and ") + "high water is " +
               highest_text(setting);
    }
    const std::string highest_sure = "the highest level that is sure is " + highest_text(setting);
    if (opens.empty() && std::isinf(setting.way_in->told_up_to_m)) return "none for sure: " + highest_sure;
    const std::string not_sure = not_sure_text(level_m, setting);
    if (!not_sure.empty()) return "none for sure: " + opens + not_sure + "; " + highest_sure;
    return "none during the stay: " + (opens.empty() ? opens : opens + "and ") +
           "the water rises to no more than " +
           level_text(setting.tide->stay.levels().high_m, setting.measures);
}

/// The water over a sill when she arrives.
LevelBounds over_sill_on_arrival(const Sill& sill, const StayTide& tide) {
    const LevelBounds level = tide.stay.at(tide.stay.arrive());
    return {sill.least_depth_m + level.least_m, sill.least_depth_m + level.greatest_m};
}

std::string sill_json(const Sill& sill, const WayInSetting& setting) {
    JsonObject json;
    json.number("longitude", sill.at.lon, 6)
        .number("latitude", sill.at.lat, 6)
        .number("least_depth_m", sill.least_depth_m, decimals, Rounded::down)
        .number("level_m", sill.level_m, decimals, Rounded::up);
    if (sill.hazard.empty()) {
        json.null("hazard");
    } else {
        json.text("hazard", sill.hazard);
    }
    if (setting.tide == nullptr) {
        return json
            .number("water_low_m", sill.least_depth_m + double{setting.way_in->lowest_m}, decimals,
                    Rounded::down)
            .number("water_high_m", sill.least_depth_m + double{setting.way_in->highest_m}, decimals,
                    Rounded::down)
            .line();
    }
    const StayTide& tide = *setting.tide;
    const LevelBounds water = over_sill_on_arrival(sill, tide);
    return json
        .number("water_on_arrival_predicted_m", sill.least_depth_m + tide.curve->height_m(tide.stay.arrive()),
                decimals)
        .number("water_on_arrival_least_m", water.least_m, decimals, Rounded::down)
        .number("water_on_arrival_greatest_m", water.greatest_m, decimals, Rounded::up)
        .line();
}

std::string leg_json(const ApproachLeg& leg) {
    return JsonObject()
        .number("from_longitude", leg.from.lon, 6)
        .number("from_latitude", leg.from.lat, 6)
        .number("to_longitude", leg.to.lon, 6)
        .number("to_latitude", leg.to.lat, 6)
        .whole("course_deg", std::lround(leg.course_deg) % 360)
        .number("length_m", leg.length_m, 0, Rounded::up)
        .number("least_depth_m", leg.least_depth_m, decimals, Rounded::down)
        .line();
}

std::string approach_json(const Approach& approach, const WayInSetting& setting) {
    std::vector<std::string> legs;
    for (const ApproachLeg& leg : approach.legs) {
        legs.push_back(leg_json(leg));
    }
    return JsonObject()
        .number("level_m", approach.level_m, decimals, Rounded::up)
        .number("clear_m", approach.clear_m, 1, Rounded::down)
        .number("length_m", approach.length_m, 0, Rounded::up)
        .whole("cells_together", approach.together)
        .raw("sill", sill_json(approach.sill, setting))
        .raw("legs", json_list(legs))
        .line();
}

std::string closed_json(const ClosedWay& closed, const WayInSetting& setting) {
    JsonObject json;
    if (closed.sill) {
        json.raw("sill", sill_json(*closed.sill, setting));
    } else {
        json.null("sill");
    }
    return json.raw("through", json_texts(closed.through)).line();
}

/// The windows of a way that is known, and whether they hold the ends of the stay.
void add_windows(JsonObject& json, double level_m, const Stay& stay) {
    std::vector<std::string> windows;
    for (const TimeWindow& window : stay.windows(level_m)) {
        windows.push_back(
            JsonObject().text("from", utc_text(window.from)).text("to", utc_text(window.to)).line());
    }
    json.number("hours_open", stay.hours_afloat(level_m), 1, Rounded::down)
        .truth("open_on_arrival", way_at(stay, level_m, stay.arrive()).open)
        .truth("open_on_departure", way_at(stay, level_m, stay.depart()).open)
        .raw("windows", json_list(windows));
}

} // namespace

WayAtMoment way_at(const Stay& stay, double level_m, Instant moment) {
    WayAtMoment at;
    for (const TimeWindow& window : stay.windows(level_m)) {
        if (moment > window.to || (moment == window.to && window.to != stay.depart())) {
            at.shut_since = window.to;
            continue;
        }
        at.window = window;
        at.open = moment >= window.from;
        if (at.open) at.shut_since.reset();
        break;
    }
    return at;
}

std::string reach_text(const PlaceReach& reach, const WayInSetting& setting) {
    const auto level_m = double{reach.access_level_m};
    const auto level = [&] { return level_text(level_m, setting.measures); };
    switch (reach.reach) {
    case Reach::always:
        return "open the whole stay";
    case Reach::at_times:
        return "open at times: from " + level() + " on";
    case Reach::never:
        return never_text(level_m, setting);
    default:
        return std::string("not known; ") + way_in_cure;
    }
}

std::string come_and_go_text(const PlaceReach& reach, const WayInSetting& setting) {
    if (!at_times(reach)) return {};
    if (setting.tide != nullptr) {
        return afloat_text(setting.tide->stay, double{reach.access_level_m}, setting.tide->zone,
                           setting.measures);
    }
    const auto level = [&](float level_m) {
        return level_above_datum_text(double{level_m}, Rounded::down, setting.measures);
    };
    return "at high water, " + level(setting.way_in->highest_m) + "; not at low water, " +
           level(setting.way_in->lowest_m);
}

std::string at_arrival_text(const PlaceReach& reach, const WayInSetting& setting) {
    if (setting.tide == nullptr || !at_times(reach)) return {};
    const Stay& stay = setting.tide->stay;
    const WayAtMoment now = way_at(stay, double{reach.access_level_m}, stay.arrive());
    if (now.open) return "the way in is open, until " + until_text(now.window->to, setting);
    if (!now.window) return "the way in is shut, and does not open for sure";
    return "the way in is shut: it opens " + until_text(now.window->from, setting);
}

std::string at_departure_text(const PlaceReach& reach, const WayInSetting& setting) {
    if (setting.tide == nullptr || !at_times(reach)) return {};
    const Stay& stay = setting.tide->stay;
    const WayAtMoment then = way_at(stay, double{reach.access_level_m}, stay.depart());
    if (then.open) return "the way out is open, since " + until_text(then.window->from, setting);
    if (!then.shut_since) return "the way out is shut";
    return "the way out is shut: be gone by " + until_text(*then.shut_since, setting);
}

std::string sill_text(const Sill& sill, const Measures& measures) {
    return (sill.hazard.empty() ? std::string("the seabed") : sill.hazard) + ", at the least " +
           depth_of_datum_text(sill.least_depth_m, measures);
}

std::string over_sill_text(const Sill& sill, const WayInSetting& setting) {
    const Measures& measures = setting.measures;
    if (setting.tide == nullptr) {
        const auto at = [&](float level_m) {
            return water_text(sill.least_depth_m + double{level_m}, measures);
        };
        return at(setting.way_in->lowest_m) + " of water at low water, " + at(setting.way_in->highest_m) +
               " at high water";
    }
    const StayTide& tide = *setting.tide;
    const LevelBounds water = over_sill_on_arrival(sill, tide);
    const double predicted_m = sill.least_depth_m + tide.curve->height_m(tide.stay.arrive());
    if (water.greatest_m <= 0) return "dry on arrival";
    return (predicted_m > 0 ? "about " + length_text(predicted_m, Rounded::nearest, measures)
                            : std::string("none")) +
           " of water on arrival by the prediction (" +
           length_number(std::max(0.0, water.least_m), Rounded::down, measures) + " to " +
           up(water.greatest_m, measures) +
           " with all that the level may be off), counted from its least depth";
}

std::string approach_text(const Approach& approach, const WayInSetting& setting) {
    const Measures& measures = setting.measures;
    std::string words = way_length_text(approach.length_m, measures) + " long, with " +
                        down(approach.clear_m, measures) + " or more of clear water to each side";
    if (approach.level_m > double{setting.way_in->lowest_m}) { // else it is so all the time
        words += " while the water stands " + level_text(approach.level_m, measures) + " or higher";
    }
    if (approach.together > 1) {
        const std::string cells = std::to_string(approach.together);
        words += "; looked for on blocks of " + cells + " x " + cells +
                 " cells, so that there may be a wider, deeper or shorter one";
    }
    return words;
}

std::string course_text(const ApproachLeg& leg) { return bearing_text(leg.course_deg); }

std::string leg_length_text(const ApproachLeg& leg, const Measures& measures) {
    return way_length_text(leg.length_m, measures);
}

std::string leg_depth_text(const ApproachLeg& leg, const Measures& measures) {
    return leg.least_depth_m < 0 ? "dries " + length_text(-leg.least_depth_m, Rounded::up, measures, decimals)
                                 : length_text(leg.least_depth_m, Rounded::down, measures, decimals);
}

std::string closed_text(const ClosedWay& closed, const PlaceReach& reach, const WayInSetting& setting) {
    const std::string through = joined(closed.through, ", ");
    if (!closed.sill && through.empty() && (!closed.data_ends || closed.together > 1)) {
        return closed.together > 1 ? "what is not known: it was looked for on blocks of cells, and none of "
                                     "those that are open lead there"
                                   : "dangers that are too many to name";
    }
    if (!closed.sill) {
        return through.empty()
                   ? "the data: what is surveyed does not lead there, and what lies beyond is not known"
                   : through;
    }
    const Sill& sill = *closed.sill;
    std::string words =
        "the sill of the deepest way, at " + position_text(sill.at.lon, sill.at.lat, setting.measures) +
        ": " + sill_text(sill, setting.measures) + "; open from " + (closed.together > 1 ? "at most " : "") +
        level_text(sill.level_m, setting.measures) + " on";
    if (std::isinf(reach.access_level_m)) { // else reach_text() has told
        const std::string not_sure = not_sure_text(sill.level_m, setting);
        if (!not_sure.empty()) words += ", " + not_sure;
    }
    return through.empty() ? words : through + "; by more water alone: " + words;
}

std::vector<Fact> way_in_facts(const PositionReport& place, const WayInSetting& setting) {
    if (!place.reach) return {};
    std::vector<Fact> facts = {{"way in", reach_text(*place.reach, setting)}};
    const auto add = [&](const char* name, const std::string& text) {
        if (!text.empty()) facts.push_back({name, text});
    };
    add("come and go", come_and_go_text(*place.reach, setting));
    add("at arrival", at_arrival_text(*place.reach, setting));
    add("at departure", at_departure_text(*place.reach, setting));
    if (!place.way) return facts;
    if (place.way->closed) add("closed by", closed_text(*place.way->closed, *place.reach, setting));
    if (!place.way->approach) return facts;
    const Approach& approach = *place.way->approach;
    if (approach.legs.empty()) {
        add("approach", "none: the way in begins here");
        return facts;
    }
    if (at_times(*place.reach)) { // of deep water nobody asks which place is the shoalest
        add("sill", position_text(approach.sill.at.lon, approach.sill.at.lat, setting.measures) + ": " +
                        sill_text(approach.sill, setting.measures));
        add("over the sill", over_sill_text(approach.sill, setting) + "; she needs " +
                                 up(setting.way_in->needs.required_depth_m, setting.measures));
    }
    add("approach", approach_text(approach, setting));
    return facts;
}

std::vector<std::string> approach_lines(const PositionReport& place, const Measures& measures) {
    if (!place.way || !place.way->approach || place.way->approach->legs.empty()) return {};
    const std::vector<ApproachLeg>& legs = place.way->approach->legs;
    std::vector<std::string> lines = {"The approach, leg by leg: from, course (true), length, least depth "
                                      "below chart datum"};
    const auto padded = [](std::string text, std::size_t width) {
        text.insert(0, width - std::min(width, text.size()), ' ');
        return text;
    };
    constexpr std::size_t figure = 8;
    for (const ApproachLeg& leg : legs) {
        lines.push_back("  " + position_text(leg.from.lon, leg.from.lat, measures) + "  " + course_text(leg) +
                        padded(leg_length_text(leg, measures), figure + 1) +
                        padded(leg_depth_text(leg, measures), figure + 1));
    }
    lines.push_back("  " + position_text(legs.back().to.lon, legs.back().to.lat, measures) + "  there");
    return lines;
}

std::string way_in_json(const PositionReport& place, const WayInSetting& setting) {
    const PlaceReach& reach = *place.reach;
    const auto level_m = double{reach.access_level_m};
    JsonObject json;
    json.text("reach", reach_word(reach.reach))
        .number("access_level_m", reach.reach == Reach::always ? none : level_m, decimals, Rounded::up)
        .number("lowest_level_m", double{setting.way_in->lowest_m}, 2, Rounded::down)
        .number("highest_level_m", double{setting.way_in->highest_m}, 2, Rounded::down);
    const bool known = reach.reach != Reach::unknown;
    json.number("required_depth_m", known ? setting.way_in->needs.required_depth_m : none, 1, Rounded::up)
        .number("clear_way_m", known ? setting.way_in->needs.clear_way_m : none, 1, Rounded::up);
    if (setting.tide != nullptr && known) {
        add_windows(json, level_m, setting.tide->stay);
    } else {
        json.null("hours_open").null("open_on_arrival").null("open_on_departure").null("windows");
    }
    if (place.way && place.way->approach) {
        json.raw("approach", approach_json(*place.way->approach, setting));
    } else {
        json.null("approach");
    }
    if (place.way && place.way->closed) {
        json.raw("closed", closed_json(*place.way->closed, setting));
    } else {
        json.null("closed");
    }
    return json.line();
}

} // namespace swingroom
