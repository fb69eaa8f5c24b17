#include "swingroom/base/version.hpp"
#include "swingroom/report/cruise_page.hpp"

#include "base/json.hpp"
#include "publish/folder/json_value.hpp"
#include "publish/styles/answer_words.hpp"
#include "report/verdict_names.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <limits>
#include <string_view>

// Each kind of object is written and read by two functions that stand side by side.

namespace swingroom {
namespace {

constexpr double nothing = std::numeric_limits<double>::quiet_NaN();

JsonObject& text_or_null(JsonObject& json, std::string_view key, const std::string& text) {
    return text.empty() ? json.null(key) : json.text(key, text);
}

/// A whole number of 0 or more that fits.   @throws IoError
template <class Whole>
Whole whole(const JsonValue& json, const std::string& member) {
    constexpr double most = 9e15; // which a double counts without loss
    const double value = json.number(member);
    if (!(value >= 0 && value <= std::min(most, static_cast<double>(std::numeric_limits<Whole>::max()))) ||
        value != std::floor(value)) {
        json.refuse(member);
    }
    return static_cast<Whole>(value);
}

Instant instant(const JsonValue& json, const std::string& member) {
    const auto time = read_clock_time(json.text(member));
    if (!time || !time->zone) json.refuse(member);
    return instant_of(time->clock, *time->zone);
}

std::string write(const TimeWindow& window) {
    return JsonObject().text("from", utc_text(window.from)).text("to", utc_text(window.to)).line();
}
TimeWindow read_window(const JsonValue& json) { return {instant(json, "from"), instant(json, "to")}; }

/// The place of a name among some.   @throws IoError
template <class Names>
std::size_t place_of(const JsonValue& json, const std::string& member, const Names& names) {
    const auto found = std::find(names.begin(), names.end(), json.text(member));
    if (found == names.end()) json.refuse(member);
    return static_cast<std::size_t>(found - names.begin());
}

/// By Reach.
std::array<std::string, 4> reach_words() {
    std::array<std::string, 4> words;
    for (std::size_t i = 0; i < words.size(); ++i) {
        words.at(i) = reach_word(static_cast<Reach>(i));
    }
    return words;
}

std::string write(const CruisePlace& place, const CruiseBoat& boat) {
    JsonObject json;
    json.text("name", place.name)
        .number("longitude", place.position.lon, 6)
        .number("latitude", place.position.lat, 6)
        .whole("verdict", static_cast<std::int64_t>(told(place.verdict, place.advice)))
        .text("meaning", verdict_words(place.verdict, place.advice))
        .whole("judged", static_cast<std::int64_t>(place.verdict))
        .whole("advice", place.advice)
        .number("depth_low_m", place.depth_low_m, 1, Rounded::down)
        .number("depth_high_m", place.depth_high_m, 1, Rounded::up)
        .number("rode_m", rode_value(rode_at_marks_m(place.rode_m, boat.marks), boat.marks, Measures{}), 1)
        .number("sounder_limit_m", place.sounder_limit_m, 1, Rounded::down)
        .number("sounder_at_low_water_m", place.sounder_at_low_water_m, 1, Rounded::down);
    text_or_null(json, "condition", place.condition)
        .number("radius_m", place.radius_m, 1, Rounded::up)
        .number("spare_m", place.spare_m, 1, Rounded::down)
        .truth("spare_is_at_least", place.spare_is_at_least)
        .number("wind_limit_kn", place.wind_limit_kn, 0, Rounded::down)
        .text("wind_limit_by", name(place.limit_by))
        .text("way_in", reach_word(place.reach))
        .number("access_level_m", place.access_level_m, 2, Rounded::up);
    std::vector<std::string> windows;
    for (const TimeWindow& window : place.windows) {
        windows.push_back(write(window));
    }
    return json.raw("windows", json_list(windows)).line();
}
CruisePlace read_place(const JsonValue& json) {
    CruisePlace place;
    place.name = json.text("name");
    place.position = {json.number("longitude"), json.number("latitude")};
    const auto judged = whole<std::uint8_t>(json, "judged");
    if (judged >= verdict_phrases.size()) json.refuse("judged");
    place.verdict = static_cast<Verdict>(judged);
    place.advice = whole<std::uint16_t>(json, "advice");
    place.depth_low_m = json.number("depth_low_m");
    place.depth_high_m = json.number("depth_high_m");
    place.rode_m = json.number("rode_m");
    place.sounder_limit_m = json.number("sounder_limit_m");
    place.sounder_at_low_water_m = json.number("sounder_at_low_water_m");
    place.condition = json.text_or_null("condition");
    place.radius_m = json.number("radius_m");
    place.spare_m = json.number("spare_m");
    place.spare_is_at_least = json.truth("spare_is_at_least");
    place.wind_limit_kn = json.number("wind_limit_kn");
    place.limit_by = static_cast<LimitBy>(place_of(json, "wind_limit_by", limit_by_names));
    place.reach = static_cast<Reach>(place_of(json, "way_in", reach_words()));
    place.access_level_m = json.number("access_level_m");
    for (const JsonValue& window : json.list("windows")) {
        place.windows.push_back(read_window(window));
    }
    return place;
}

std::string write(const Covered& of_a_yes) {
    return JsonObject()
        .whole("cells", of_a_yes.cells)
        .number("area_m2", of_a_yes.area_m2, 0, Rounded::down)
        .line();
}
Covered read_covered(const JsonValue& json) {
    return {whole<std::int64_t>(json, "cells"), json.number("area_m2")};
}

void write(JsonObject& json, const Tally& tally) {
    JsonObject cells, areas;
    for (std::size_t i = 0; i < verdict_names.size(); ++i) {
        const Covered& covered = tally.by_verdict[i];
        cells.whole(verdict_names[i], covered.cells);
        areas.number(verdict_names[i], covered.area_m2, 0,
                     is_yes(static_cast<Verdict>(i)) ? Rounded::down : Rounded::up);
    }
    json.raw("cells", cells.line()).raw("areas_m2", areas.line());
}
Tally read_tally(const JsonValue& json) {
    const JsonValue cells = json.object("cells"), areas = json.object("areas_m2");
    Tally tally;
    for (std::size_t i = 0; i < verdict_names.size(); ++i) {
        const std::string of(verdict_names[i]);
        tally.by_verdict[i] = {whole<std::int64_t>(cells, of), areas.number(of)};
    }
    return tally;
}

std::string write(const CruiseAnswer& answer, const CruiseBoat& boat) {
    JsonObject json;
    json.text("boat", boat.name).text("folder", answer.folder);
    text_or_null(json, "failure", answer.failure).truth("report", answer.has_report);
    const Covered surveyed = answer.tally.surveyed(), yes = answer.tally.yes();
    json.number("yes_percent", surveyed.area_m2 > 0 ? 100 * yes.area_m2 / surveyed.area_m2 : nothing, 1,
                Rounded::down);
    write(json, answer.tally);
    std::vector<std::string> places;
    for (const CruisePlace& place : answer.places) {
        places.push_back(write(place, boat));
    }
    return json.whole("spots", static_cast<std::int64_t>(answer.spots))
        .raw("best_spots", json_list(places))
        .raw("doubts", json_texts(answer.doubts))
        .line();
}
CruiseAnswer read_answer(const JsonValue& json) {
    CruiseAnswer answer;
    answer.folder = json.text("folder");
    answer.failure = json.text_or_null("failure");
    answer.has_report = json.truth("report");
    answer.tally = read_tally(json);
    for (const JsonValue& place : json.list("best_spots")) {
        answer.places.push_back(read_place(place));
    }
    answer.spots = whole<std::size_t>(json, "spots");
    answer.doubts = json.texts("doubts");
    return answer;
}

std::string write(const CruiseStay& stay, const std::vector<CruiseBoat>& boats) {
    const double east = stay.window[2] > 180 ? stay.window[2] - 360 : stay.window[2];
    JsonObject json;
    json.text("name", stay.name)
        .number("west", stay.window[0], 6)
        .number("south", stay.window[1], 6)
        .number("east", east, 6)
        .number("north", stay.window[3], 6)
        .raw("stay", stay.time ? write(*stay.time) : std::string("null"))
        .text("clock", zone_text(stay.zone));
    text_or_null(json, "station", stay.station)
        .number("low_m", stay.levels.low_m, 2, Rounded::down)
        .number("high_m", stay.levels.high_m, 2, Rounded::up)
        .number("wind_kn", stay.wind_kn, 1);
    text_or_null(json, "shelter", stay.shelter);
    json.raw("all_boats", stay.all_boats ? write(*stay.all_boats) : std::string("null"));
    std::vector<std::string> answers;
    for (std::size_t boat = 0; boat < boats.size(); ++boat) {
        answers.push_back(write(stay.answers[boat], boats[boat]));
    }
    return json.raw("answers", json_list(answers)).line();
}

CruiseStay read_stay(const JsonValue& json) {
    CruiseStay stay;
    stay.name = json.text("name");
    stay.window = {json.number("west"), json.number("south"), json.number("east"), json.number("north")};
    if (stay.window[2] < stay.window[0]) stay.window[2] += 360;
    if (!json.is_null("stay")) stay.time = read_window(json.object("stay"));
    const auto zone = read_zone(json.text("clock"));
    if (!zone) json.refuse("clock");
    stay.zone = *zone;
    stay.station = json.text_or_null("station");
    stay.levels = {json.number("low_m"), json.number("high_m"), 0};
    stay.wind_kn = json.number("wind_kn");
    stay.shelter = json.text_or_null("shelter");
    if (!json.is_null("all_boats")) stay.all_boats = read_covered(json.object("all_boats"));
    for (const JsonValue& answer : json.list("answers")) {
        stay.answers.push_back(read_answer(answer));
    }
    return stay;
}

} // namespace

std::string cruise_json(const CruiseFigures& cruise) {
    std::vector<std::string> boats, stays;
    for (const CruiseBoat& boat : cruise.boats) {
        boats.push_back(JsonObject()
                            .text("name", boat.name)
                            .number("required_depth_m", boat.required_depth_m, 2, Rounded::up)
                            .line());
    }
    for (const CruiseStay& stay : cruise.stays) {
        stays.push_back(write(stay, cruise.boats));
    }
    return json_head("cruise")
        .raw("boats", json_lines(boats))
        .raw("stays", json_lines(stays))
        .text("caution", caution)
        .document();
}

std::vector<CruiseStay> stays_in_cruise_json(const std::string& text, const std::string& source) {
    const JsonValue json = JsonValue::parse(text, source);
    if (json.text("command") != "cruise") json.refuse("command");
    std::vector<CruiseStay> stays;
    for (const JsonValue& stay : json.list("stays")) {
        stays.push_back(read_stay(stay));
    }
    return stays;
}

} // namespace swingroom
