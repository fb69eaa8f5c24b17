// The boat's report for programs: CSV and JSON, in metres.

#include "swingroom/base/version.hpp"
#include "swingroom/boat/rode_figures.hpp"
#include "swingroom/boat/wind_figures.hpp"
#include "swingroom/report/boat_report.hpp"
#include "swingroom/room/judge.hpp"

#include "base/json.hpp"

#include <algorithm>
#include <string_view>

namespace swingroom {
namespace {

std::string json_way(const DepthLine& line, Way way, const RodeMarks& marks, LimitBy limit_by) {
    const WayDetail& detail = line.ways[static_cast<std::size_t>(way)];
    const bool out = detail.needs.out != WayNeeds::Out::none;
    JsonObject json;
    json.truth("possible", !out);
    if (detail.needs.out == WayNeeds::Out::unavailable) return json.line();
    json.number("rode_m", rode_value(exact_rode_m(detail.needs.rode_m, marks), marks, Measures{}, 2), 2);
    if (out) return json.line();
    json.number("radius_m", static_cast<double>(detail.needs.radius_m), 2, Rounded::up)
        .number("ground_sweep_m", static_cast<double>(detail.needs.ground_m), 2, Rounded::up)
        .number("wind_limit_kn", static_cast<double>(line.wind_limit_kn[static_cast<std::size_t>(way)]), 1,
                Rounded::down)
        .text("wind_limit_by", name(limit_by))
        .number("reach_m", detail.reach_m, 3, Rounded::up)
        .number("pull_angle_deg", detail.angle_deg, 3, Rounded::up)
        .number("tension_n", detail.tension_n, 1, Rounded::up)
        .number("grounded_m", detail.grounded_m, 3, Rounded::down);
    if (way == Way::sinker) json.number("sinker_from_bow_m", detail.sinker_from_bow_m, 3);
    return json.line();
}

/// @param by  the member that holds what the line is by
std::string json_depth(std::string_view by, const DepthLine& line, const RodeMarks& marks, LimitBy limit_by) {
    JsonObject json;
    json.number(by, line.depth_m, 3);
    for (const Way way : all_ways) {
        json.raw(name(way), json_way(line, way, marks, limit_by));
    }
    return json.number("hanging_load_n", line.hanging_load_n, 1, Rounded::up)
        .number("trip_line_m", line.trip_line_m, 2, Rounded::up)
        .truth("beyond_windlass", line.beyond_windlass)
        .truth("beyond_recovery", line.beyond_recovery)
        .line();
}

/// Rode and radius of a way, or nothing, each behind its comma.
std::string by_reading(const DepthLine& line, Way way, const RodeMarks& marks) {
    const WayNeeds& needs = line.ways[static_cast<std::size_t>(way)].needs;
    if (needs.out != WayNeeds::Out::none) return ",,";
    return "," + fixed(rode_value(exact_rode_m(needs.rode_m, marks), marks, Measures{}, 2), 2) + "," +
           fixed_up(static_cast<double>(needs.radius_m), 2);
}

/// What a reading is allowed to be off by, and the table by reading.
void add_readings(JsonObject& json, const TackleTables& tables, const BoatReport& report) {
    if (report.readings.empty()) return;
    const Boat& boat = tables.boat();
    std::vector<std::string> readings;
    for (const DepthLine& line : report.readings) {
        readings.push_back(json_depth("reading_m", line, rode_marks(boat), tables.limit_by(Seabed::unknown)));
    }
    json.raw("sounder", JsonObject()
                            .number("deeper_m", report.deeper_m, 3, Rounded::up)
                            .number("shoaler_m", report.shoaler_m, 3, Rounded::up)
                            .number("sounder_error_m", boat.sounder.error_m, 3, Rounded::up)
                            .number("level_error_m", boat.policy.level_error_m, 3, Rounded::up)
                            .number("over_m", boat.sounded_over_m(), 3, Rounded::up)
                            .number("slope", Judge::least_sounded_slope, 3, Rounded::up)
                            .line())
        .raw("readings", json_lines(readings));
}

std::string json_worth(const SinkerWorth& worth) {
    return JsonObject()
        .number("wind_kn", worth.wind_kn, 0)
        .number("pull_n", worth.pull_n, 1, Rounded::up)
        .number("held_rode_m", worth.held_rode_m, 3, Rounded::up)
        .number("held_radius_saved_m", worth.radius_saved_as_it_is_m(), 3, Rounded::down)
        .number("cut_rode_without_m", worth.cut_rode_without_m, 3, Rounded::up)
        .number("cut_rode_with_m", worth.cut_rode_with_m, 3, Rounded::up)
        .number("cut_rode_saved_m", worth.rode_saved_m(), 3, Rounded::down)
        .number("cut_radius_saved_m", worth.radius_saved_when_cut_m(), 3, Rounded::down)
        .line();
}

} // namespace

std::string boat_csv(const TackleTables& tables, const BoatReport& report) {
    const RodeMarks marks = rode_marks(tables.boat());
    std::string text = "depth_m";
    for (const Way way : all_ways) {
        const std::string suffix = "_" + std::string(name(way));
        text += ",rode" + suffix + "_m,radius" + suffix + "_m,wind_limit" + suffix + "_kn";
    }
    text += ",sinker_from_bow_m,hanging_load_n,trip_line_m,beyond_windlass,beyond_recovery,wind_limit_by";
    for (const Way way : all_ways) {
        const std::string suffix = "_by_reading_" + std::string(name(way));
        text += ",rode" + suffix + "_m,radius" + suffix + "_m";
    }
    text += "\n";
    for (std::size_t at = 0; at < report.depths.size(); ++at) {
        const DepthLine& line = report.depths[at];
        text += fixed(line.depth_m, 2);
        for (const Way way : all_ways) {
            const WayNeeds& needs = line.ways[static_cast<std::size_t>(way)].needs;
            if (needs.out != WayNeeds::Out::none) {
                text += ",,,";
                continue;
            }
            text += "," + fixed(rode_value(exact_rode_m(needs.rode_m, marks), marks, Measures{}, 2), 2) +
                    "," + fixed_up(static_cast<double>(needs.radius_m), 2) + "," +
                    fixed_down(static_cast<double>(line.wind_limit_kn[static_cast<std::size_t>(way)]), 1);
        }
        const WayDetail& sinker = line.ways[static_cast<std::size_t>(Way::sinker)];
        text += "," + (sinker.needs.out == WayNeeds::Out::none ? fixed(sinker.sinker_from_bow_m, 2) : "");
        text += "," + fixed_up(line.hanging_load_n, 0) + "," + fixed_up(line.trip_line_m, 2) + "," +
                (line.beyond_windlass ? "1" : "0") + "," + (line.beyond_recovery ? "1" : "0") + "," +
                std::string(name(tables.limit_by(Seabed::unknown)));
        for (const Way way : all_ways) {
            text += at < report.readings.size() ? by_reading(report.readings[at], way, marks) : ",,";
        }
        text += "\n";
    }
    return text;
}

std::string boat_json(const TackleTables& tables, const BoatReport& report) {
    const Conditions& conditions = tables.conditions();
    JsonObject holding, boat;
    for (std::size_t i = 0; i < seabed_names.size(); ++i) {
        if (tables.holding_known(static_cast<Seabed>(i))) {
            holding.number(seabed_names[i], std::min(999.0, tables.holding_limit_kn(static_cast<Seabed>(i))),
                           1, Rounded::down);
        }
    }
    for (const auto& [key, value] : tables.boat().as_read) {
        boat.text(key, value);
    }
    std::vector<std::string> depths, worths;
    for (const DepthLine& line : report.depths) {
        depths.push_back(
            json_depth("depth_m", line, rode_marks(tables.boat()), tables.limit_by(Seabed::unknown)));
    }
    for (const SinkerWorth& worth : report.sinker_worths) {
        worths.push_back(json_worth(worth));
    }
    JsonObject json = json_head("boat");
    json.text("name", tables.boat().name)
        .raw("boat", boat.line())
        .raw("conditions", JsonObject()
                               .number("low_water_m", conditions.water.low_m, 3, Rounded::down)
                               .number("high_water_m", conditions.water.high_m, 3, Rounded::up)
                               .number("wind_kn", conditions.wind_kn, 3, Rounded::up)
                               .number("current_kn", conditions.current_kn, 3, Rounded::up)
                               .number("pull_n", tables.loads().pull_n(conditions.wind_kn), 1, Rounded::up)
                               .line())
        .raw("holding_limit_kn", holding.line())
        .raw("depths", json_lines(depths));
    add_readings(json, tables, report);
    if (!worths.empty()) {
        json.raw("sinker", JsonObject().number("depth_m", report.sinker_depth_m, 3).line())
            .raw("sinker_worth", json_lines(worths));
    }
    return json.text("caution", caution).document();
}

} // namespace swingroom
