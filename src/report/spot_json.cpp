#include "swingroom/base/version.hpp"
#include "swingroom/boat/rode_figures.hpp"
#include "swingroom/boat/wind_figures.hpp"
#include "swingroom/overlay/position_words.hpp"
#include "swingroom/report/spot_report.hpp"

#include "base/json.hpp"
#include "report/spot_figures.hpp"
#include "report/stay_water.hpp"
#include "report/way_in_words.hpp"

#include <cmath>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <optional>
#include <string>
#include <vector>

namespace swingroom {
namespace {

constexpr Measures metric{};

void add_room(JsonObject& json, const std::string& of, const std::optional<NearestDanger>& danger,
              double room_m, bool surveyed) {
    if (!surveyed) {
        json.null(of + "_room_m").null(of + "_danger").null(of + "_danger_bearing_deg");
        return;
    }
    json.number(of + "_room_m", room_m, 1, Rounded::down);
    if (!danger) {
        json.null(of + "_danger").null(of + "_danger_bearing_deg");
        return;
    }
    json.text(of + "_danger", what_is(*danger));
    if (room_m > 0) {
        json.whole(of + "_danger_bearing_deg", std::lround(danger->bearing_deg) % 360);
    } else {
        json.null(of + "_danger_bearing_deg");
    }
}

std::string way_json(const WayAtPosition& at, const SpotReport& report) {
    const WayDetail& detail = at.detail;
    const WayNeeds& needs = detail.needs;
    JsonObject json;
    json.truth("fits", at.fits).truth("possible", needs.out == WayNeeds::Out::none);
    if (needs.out == WayNeeds::Out::unavailable) return json.line();
    if (needs.out == WayNeeds::Out::rode && std::isnan(report.cell.deepest_m)) {
        return json.null("rode_m").line(); // none is known to do
    }
    json.number("rode_m", rode_value(exact_rode_m(needs.rode_m, report.marks), report.marks, metric), 1);
    if (needs.out == WayNeeds::Out::rode) return json.line();
    if (at.way == Way::sinker) json.number("sinker_from_bow_m", detail.sinker_from_bow_m, 1);
    const Spare spare = spare_of(at, report.cell.facts, metric);
    json.number("sounder_limit_m", static_cast<double>(needs.sounder_limit_m), 1, Rounded::down)
        .number("radius_m", static_cast<double>(needs.radius_m), 1, Rounded::up)
        .number("spare_m", spare.value, 1)
        .text("spare_of", spare.ground ? "ground" : "hull")
        .number("ground_sweep_m", static_cast<double>(needs.ground_m), 1, Rounded::up)
        .number("wind_limit_kn", static_cast<double>(at.wind_limit_kn), 0, Rounded::down)
        .text("wind_limit_by", name(report.cell.limit_by))
        .number("pull_n", detail.pull_n, 0, Rounded::up)
        .number("reach_m", detail.reach_m, 1, Rounded::up)
        .number("pull_angle_deg", detail.angle_deg, 1, Rounded::up)
        .number("tension_n", detail.tension_n, 0, Rounded::up);
    if (report.arrival) {
        json.number("sounder_on_arrival_m",
                    report.arrival->sounder_most_m.at(static_cast<std::size_t>(at.way)), 1, Rounded::down);
    }
    return json.line();
}

void add_place(JsonObject& json, double distance_m, double bearing_deg) {
    json.number("distance_m", distance_m, 0, Rounded::down);
    if (distance_m > 0) {
        json.whole("bearing_deg", std::lround(bearing_deg) % 360);
    } else {
        json.null("bearing_deg");
    }
}

std::string nearby_json(const NearbyHazard& hazard) {
    std::vector<std::string> kinds;
    for (const NearbyHazard::Kind& kind : hazard.kinds) {
        kinds.push_back(
            JsonObject().text("rule", kind.name).number("margin_m", kind.margin_m, 1, Rounded::up).line());
    }
    JsonObject json;
    json.text("label", hazard.label);
    add_place(json, hazard.distance_m, hazard.bearing_deg);
    return json.raw("rules", json_list(kinds)).text("information", hazard.information).line();
}

std::string note_json(const SeabedNote& note) {
    JsonObject json;
    json.text("label", note.label).text("nature", note.nature);
    add_place(json, note.distance_m, note.bearing_deg);
    return json.line();
}

/// What the chart lets expect; null where the depth is no band of a chart.
void add_expected(JsonObject& json, const std::optional<ExpectedDepth>& expected) {
    if (!expected) {
        json.null("charted");
        return;
    }
    constexpr double none = std::numeric_limits<double>::quiet_NaN();
    std::vector<std::string> areas;
    for (const ChartedArea& area : expected->areas) {
        areas.push_back(JsonObject()
                            .text("label", area.label)
                            .number("from_m", area.from_m, 1, Rounded::down)
                            .number("to_m", area.to_m.value_or(none), 1, Rounded::up)
                            .line());
    }
    const bool sounded = expected->soundings > 0;
    JsonObject charted;
    charted.number("from_m", expected->from_m(), 1, Rounded::down)
        .number("to_m", expected->to_m().value_or(none), 1, Rounded::up)
        .raw("areas", json_list(areas))
        .number("soundings_within_m", soundings_within_m, 0)
        .whole("soundings", static_cast<std::int64_t>(expected->soundings))
        .number("soundings_least_m", sounded ? expected->least_m : none, 1, Rounded::down)
        .number("soundings_greatest_m", sounded ? expected->greatest_m : none, 1, Rounded::up);
    if (sounded) {
        JsonObject nearest;
        nearest.number("depth_m", expected->nearest.depth_m, 1, Rounded::down);
        add_place(nearest, expected->nearest.distance_m, expected->nearest.bearing_deg);
        charted.raw("sounding_nearest", nearest.line());
    } else {
        charted.null("sounding_nearest");
    }
    charted.whole("doubtful", static_cast<std::int64_t>(expected->doubtful))
        .number("doubtful_least_m", expected->doubtful > 0 ? expected->doubtful_least_m : none, 1,
                Rounded::down);
    json.raw("charted", charted.line());
}

/// Where that is, and what is answered of it.
void add_answer(JsonObject& json, const SpotReport& report) {
    const PositionReport& cell = report.cell;
    json.number("longitude", report.asked.lon, 6)
        .number("latitude", report.asked.lat, 6)
        .whole("verdict", static_cast<int>(cell.answer.verdict))
        .text("meaning", verdict_words(cell.answer.verdict, cell.answer.advice))
        .raw("cell", JsonObject()
                         .whole("column", cell.col)
                         .whole("row", cell.row)
                         .number("longitude", cell.centre.lon, 6)
                         .number("latitude", cell.centre.lat, 6)
                         .line())
        .number("depth_low_m", static_cast<double>(cell.depth_low_m), 1, Rounded::down)
        .number("depth_high_m", cell.depth_high_m, 1, Rounded::up)
        .number("required_depth_m", cell.required_depth_m, 1, Rounded::up);
    if (cell.source.empty()) {
        json.null("depth_from");
    } else {
        json.text("depth_from", cell.source);
    }
    add_expected(json, report.expected);
}

/// Rooms, ground, and what hangs from the roller.
void add_surroundings(JsonObject& json, const PositionReport& cell) {
    const bool surveyed = cell.answer.verdict != Verdict::unsurveyed;
    const auto room_m = [&](const std::optional<NearestDanger>& danger, float known_m) {
        return danger ? static_cast<double>(known_m) : cell.reach_m;
    };
    add_room(json, "hull", cell.hull_danger, room_m(cell.hull_danger, cell.facts.hull_room_m), surveyed);
    add_room(json, "ground", cell.ground_danger, room_m(cell.ground_danger, cell.facts.ground_room_m),
             surveyed);
    json.text("seabed", name(cell.facts.seabed))
        .number("slope",
                slope_known(cell) ? static_cast<double>(cell.facts.slope)
                                  : std::numeric_limits<double>::quiet_NaN(),
                2, Rounded::up);
    if (cell.ways.empty()) {
        json.null("hanging_load_n").null("trip_line_m");
    } else {
        json.number("hanging_load_n", cell.hanging_load_n, 0, Rounded::up)
            .number("trip_line_m", cell.trip_line_m, 1, Rounded::up);
    }
    json.raw("here", json_texts(cell.here));
}

/// What is told with a tide alone.
void add_water(JsonObject& json, const SpotReport& report) {
    if (report.tide == nullptr) return;
    json.raw("water", water_json(*report.tide));
    if (report.arrival) json.raw("arrival", arrival_json(*report.arrival, report.cell));
    JsonObject afloat;
    for (const Way way : all_ways) {
        afloat.raw(name(way),
                   afloat_json(report.cell.water.at(static_cast<std::size_t>(way)), report.tide->stay));
    }
    json.raw("afloat", afloat.lines());
}

void add_way_in(JsonObject& json, const SpotReport& report) {
    if (report.way_in != nullptr && report.cell.reach) {
        json.raw("way_in", way_in_json(report.cell, {report.way_in, report.tide, metric}));
    } else {
        json.null("way_in");
    }
}

void add_reasons(JsonObject& json, const PositionReport& cell) {
    std::vector<std::string> reasons;
    for (const Shortfall& shortfall : cell.shortfalls) {
        reasons.push_back(JsonObject()
                              .whole("value", shortfall.bit)
                              .truth("decides", bears_on(shortfall.bit, cell.answer.verdict))
                              .text("sentence", sentence_of(shortfall))
                              .line());
    }
    json.raw("reasons", json_lines(reasons));
}

void add_alternatives(JsonObject& json, const std::optional<Alternatives>& alternatives) {
    if (alternatives) {
        json.raw("would_do", proposals_json(alternatives->proposals))
            .raw("nearest_yes", nearest_yes_json(alternatives->nearest))
            .number("nearest_yes_within_m", alternatives->nearest.looked_m, 0, Rounded::down);
        if (alternatives->nearest.out_of_reach) {
            json.raw("nearer_out_of_reach", nearest_out_of_reach_json(alternatives->nearest));
        }
    } else {
        json.null("would_do").null("nearest_yes").null("nearest_yes_within_m");
    }
}

void add_advice(JsonObject& json, const PositionReport& cell) {
    std::vector<std::string> advice;
    for (const BitName& name : advice_names) {
        if (cell.answer.advice & name.bit) {
            advice.push_back(JsonObject().whole("value", name.bit).text("sentence", name.sentence).line());
        }
    }
    json.raw("advice", json_lines(advice));
}

void add_nearby(JsonObject& json, const SpotReport& report) {
    std::vector<std::string> nearby, notes;
    for (const NearbyHazard& hazard : report.nearby) {
        nearby.push_back(nearby_json(hazard));
    }
    for (const SeabedNote& note : report.notes) {
        notes.push_back(note_json(note));
    }
    json.number("nearby_within_m", nearby_m, 0)
        .raw("nearby", json_lines(nearby))
        .raw("seabed_notes", json_lines(notes));
}

} // namespace

std::string spot_json(const SpotReport& report) {
    JsonObject json = json_head("spot");
    add_answer(json, report);
    add_surroundings(json, report.cell);
    add_water(json, report);
    JsonObject ways;
    for (const WayAtPosition& way : report.cell.ways) {
        ways.raw(name(way.way), way_json(way, report));
    }
    json.raw("ways", ways.lines());
    add_way_in(json, report);
    add_reasons(json, report.cell);
    add_alternatives(json, report.alternatives);
    add_advice(json, report.cell);
    add_nearby(json, report);
    return json.text("caution", caution).document();
}

} // namespace swingroom
