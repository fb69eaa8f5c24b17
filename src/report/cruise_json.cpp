#include "swingroom/base/version.hpp"
#include "swingroom/report/cruise_page.hpp"
#include "swingroom/report/why_not.hpp"

#include "base/json.hpp"
#include "publish/styles/answer_words.hpp"
#include "report/verdict_names.hpp"

#include <cstdint>
#include <limits>
#include <string_view>

namespace swingroom {
namespace {

constexpr double nothing = std::numeric_limits<double>::quiet_NaN();

std::string window_json(const TimeWindow& window) {
    return JsonObject().text("from", utc_text(window.from)).text("to", utc_text(window.to)).line();
}

std::string place_json(const CruisePlace& place, const CruiseBoat& boat) {
    JsonObject json;
    json.text("name", place.name)
        .number("longitude", place.position.lon, 6)
        .number("latitude", place.position.lat, 6)
        .whole("verdict", static_cast<std::int64_t>(told(place.verdict, place.advice)))
        .text("meaning", verdict_words(place.verdict, place.advice))
        .number("depth_low_m", place.depth_low_m, 1, Rounded::down)
        .number("depth_high_m", place.depth_high_m, 1, Rounded::up)
        .number("rode_m", rode_value(place.rode_m, boat.marks, Measures{}), 1)
        .number("sounder_limit_m", place.sounder_limit_m, 1, Rounded::down)
        .number("radius_m", place.radius_m, 1, Rounded::up)
        .number("spare_m", place.spare_m, 1, Rounded::down)
        .number("wind_limit_kn", place.wind_limit_kn, 0, Rounded::down)
        .text("wind_limit_by", name(place.limit_by))
        .text("way_in", reach_word(place.reach));
    std::vector<std::string> windows;
    for (const TimeWindow& window : place.windows) {
        windows.push_back(window_json(window));
    }
    return json.raw("windows", json_list(windows)).line();
}

std::string areas_json(const Tally& tally) {
    JsonObject areas;
    for (std::size_t i = 0; i < verdict_names.size(); ++i) {
        areas.number(verdict_names[i], tally.by_verdict[i].area_m2, 0);
    }
    return areas.line();
}

std::string answer_json(const CruiseAnswer& answer, const CruiseBoat& boat) {
    JsonObject json;
    json.text("boat", boat.name).text("folder", answer.folder);
    if (!answer.failure.empty()) return json.text("failure", answer.failure).line();
    const Covered surveyed = answer.tally.surveyed(), yes = answer.tally.yes();
    json.null("failure")
        .number("yes_percent", surveyed.area_m2 > 0 ? 100 * yes.area_m2 / surveyed.area_m2 : nothing, 1,
                Rounded::down)
        .raw("areas_m2", areas_json(answer.tally))
        .whole("spots", static_cast<std::int64_t>(answer.spots));
    std::vector<std::string> places;
    for (const CruisePlace& place : answer.places) {
        places.push_back(place_json(place, boat));
    }
    return json.raw("best_spots", json_list(places)).raw("doubts", json_texts(answer.doubts)).line();
}

std::string stay_json(const CruiseStay& stay, const std::vector<CruiseBoat>& boats) {
    const double east = stay.window[2] > 180 ? stay.window[2] - 360 : stay.window[2];
    JsonObject json;
    json.text("name", stay.name)
        .number("west", stay.window[0], 6)
        .number("south", stay.window[1], 6)
        .number("east", east, 6)
        .number("north", stay.window[3], 6);
    if (stay.time) {
        json.text("arrive", utc_text(stay.time->from)).text("depart", utc_text(stay.time->to));
    } else {
        json.null("arrive").null("depart");
    }
    json.number("low_m", stay.levels.low_m, 2, Rounded::down)
        .number("high_m", stay.levels.high_m, 2, Rounded::up)
        .number("wind_kn", stay.wind_kn, 1);
    if (stay.shelter.empty()) {
        json.null("shelter");
    } else {
        json.text("shelter", stay.shelter);
    }
    std::vector<std::string> answers;
    for (std::size_t boat = 0; boat < boats.size(); ++boat) {
        answers.push_back(answer_json(stay.answers[boat], boats[boat]));
    }
    return json.raw("answers", json_list(answers)).line();
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
        stays.push_back(stay_json(stay, cruise.boats));
    }
    return json_head("cruise")
        .raw("boats", json_lines(boats))
        .raw("stays", json_lines(stays))
        .text("caution", caution)
        .document();
}

} // namespace swingroom
