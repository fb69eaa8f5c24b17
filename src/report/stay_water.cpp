#include "report/stay_water.hpp"

#include "swingroom/water/level_text.hpp"

#include "base/json.hpp"

#include <cmath>
#include <cstddef>
#include <limits>

namespace swingroom {
namespace {

constexpr double none = std::numeric_limits<double>::quiet_NaN();

std::vector<std::string> turn_lines(const StayTide& tide) {
    std::vector<std::string> lines;
    for (const Turn& turn : turns_of_stay(tide)) {
        lines.push_back(JsonObject()
                            .text("time", utc_text(turn.time))
                            .number("height_m", turn.height_m, 2)
                            .text("type", turn.high ? "high" : "low")
                            .line());
    }
    return lines;
}

} // namespace

std::string stay_times_text(const StayTide& tide) {
    return window_text({tide.stay.arrive(), tide.stay.depart()}, tide.zone) + " " + zone_text(tide.zone);
}

std::string stay_text(const StayTide& tide, const Measures& measures) {
    const WaterLevels levels = tide.stay.levels();
    return stay_times_text(tide) + ", water " + levels_text({levels.low_m, levels.high_m}, measures);
}

std::string stay_levels_text(const WaterLevels& levels, const ReportInput& input) {
    const Measures& measures = input.measures;
    if (input.tide != nullptr) return levels_text({levels.low_m, levels.high_m}, measures);
    return length_number(levels.low_m, Rounded::down, measures, 2) + " to " +
           length_text(levels.high_m, Rounded::up, measures, 2) + " above chart datum";
}

std::vector<Turn> turns_of_stay(const StayTide& tide) {
    return tide.curve->turns(tide.stay.arrive(), tide.stay.depart());
}

std::string sounder_limit_text(const Arrival& arrival, Way way, const Measures& measures) {
    const double most_m = arrival.sounder_most_m.at(static_cast<std::size_t>(way));
    return "no more than " + length_text(most_m, Rounded::down, measures) +
           (arrival.reading.of_water ? " of water, " : ", ") +
           clock_text(arrival.water.at, arrival.water.zone);
}

std::vector<Fact> water_facts(const WaterOfWay& water, const StayTide& tide, const Measures& measures) {
    if (std::isnan(water.hours_afloat)) return {};
    const Fact never{"afloat", "at no time of the stay"};
    if (std::isnan(water.level_needed_m)) return {never}; // aground at high water, too
    if (std::isinf(water.level_needed_m)) {
        return {{"level needed", "none will do: its circle meets what no water clears"}, never};
    }
    return {{"least water",
             length_text(water.least_water_m, Rounded::down, measures) + " at low water in its circle"},
            {"level needed",
             level_needed_text(water.level_needed_m, measures) + " floats her all over its circle"},
            {"afloat", afloat_text(tide.stay, water.level_needed_m, tide.zone, measures)}};
}

std::string afloat_json(const WaterOfWay& water, const Stay& stay) {
    JsonObject json;
    json.number("least_water_m", water.least_water_m, 1, Rounded::down)
        .number("level_needed_m", water.level_needed_m, 1, Rounded::up)
        .number("hours_afloat", water.hours_afloat, 1, Rounded::down);
    if (std::isnan(water.hours_afloat)) return json.null("windows").line();
    std::vector<std::string> windows;
    if (!std::isnan(water.level_needed_m)) {
        for (const TimeWindow& window : stay.windows(water.level_needed_m)) {
            windows.push_back(
                JsonObject().text("from", utc_text(window.from)).text("to", utc_text(window.to)).line());
        }
    }
    return json.raw("windows", json_list(windows)).line();
}

std::string water_json(const StayTide& tide) {
    const WaterLevels levels = tide.stay.levels();
    return JsonObject()
        .text("file", tide.file)
        .text("station", tide.station)
        .text("source", tide.source)
        .text("datum", tide.datum)
        .number("longitude", tide.place ? tide.place->lon : none, 6)
        .number("latitude", tide.place ? tide.place->lat : none, 6)
        .text("arrive", utc_text(tide.stay.arrive()))
        .text("depart", utc_text(tide.stay.depart()))
        .text("clock", zone_text(tide.zone))
        .number("low_m", levels.low_m, 2, Rounded::down)
        .number("high_m", levels.high_m, 2, Rounded::up)
        .number("below_m", tide.allowances.below_m, 2, Rounded::up)
        .number("above_m", tide.allowances.above_m, 2, Rounded::up)
        .text("bounds", tide.curve->bounds_text())
        .raw("turns", json_list(turn_lines(tide)))
        .raw("doubts", json_texts(tide.doubts))
        .line();
}

std::string arrival_json(const Arrival& arrival, const PositionReport& place) {
    const ArrivalWater& water = arrival.water;
    const SounderReading& reading = arrival.reading;
    JsonObject json;
    json.text("at", utc_text(water.at))
        .number("level_least_m", water.level.least_m, 2, Rounded::down)
        .number("level_greatest_m", water.level.greatest_m, 2, Rounded::up)
        .number("level_predicted_m", water.predicted_m, 2)
        .number("sounder_predicted_m", reading.predicted_m, 1)
        .number("sounder_least_m", reading.least_m, 1, Rounded::down)
        .number("sounder_greatest_m", reading.greatest_m, 1, Rounded::up)
        .number("sounder_error_m", reading.error_m, 1, Rounded::up)
        .number("deeper_at_highest_m", arrival.deeper_at_highest_m, 1, Rounded::up)
        .truth("transducer_known", !reading.of_water)
        .truth("falling", water.falling);
    if (water.next_low) {
        json.text("next_low", utc_text(water.next_low->time))
            .number("next_low_m", water.next_low->height_m, 2);
    } else {
        json.null("next_low").null("next_low_m");
    }
    const bool yes = is_yes(place.answer.verdict);
    return json.text("lowest_at", utc_text(water.lowest_at))
        .number("falls_predicted_m", water.falls_predicted_m, 1)
        .number("falls_m", water.falls_m, 1, Rounded::up)
        .raw("sentences", json_texts(yes ? arrival_sentences(arrival, place) : std::vector<std::string>()))
        .line();
}

} // namespace swingroom
