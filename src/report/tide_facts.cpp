#include "swingroom/report/tide_facts.hpp"

#include "swingroom/base/measures.hpp"
#include "swingroom/water/level_text.hpp"

#include <algorithm>
#include <cmath>
#include <string>

namespace swingroom {
namespace {

/// By UTC, and by the clock where that is another one.
std::string moment_text(Instant at, ZoneOffset zone) {
    return zone == ZoneOffset(0) ? utc_text(at) : utc_text(at) + " (" + clock_text(at, zone) + ")";
}

double width_at_arrival_m(const StayTide& tide) {
    const LevelBounds bounds = tide.stay.at(tide.stay.arrive());
    return bounds.greatest_m - bounds.least_m;
}

double centimetres_up(double metres) {
    constexpr double rounding_tolerance_cm = 1e-6; // what sums of decimals carry
    return std::ceil(metres * 100 - rounding_tolerance_cm) / 100;
}

} // namespace

double level_error_m(const StayTide& tide) {
    const Instant arrival = tide.stay.arrive();
    const double below_prediction_m = tide.curve->height_m(arrival) - tide.stay.at(arrival).least_m;
    return centimetres_up(std::max(width_at_arrival_m(tide) / 2, below_prediction_m));
}
double level_within_m(const StayTide& tide) { return centimetres_up(width_at_arrival_m(tide)); }

std::vector<Fact> tide_facts(const StayTide& tide) {
    std::vector<Fact> facts = {{"tide", "the file " + tide.file}};
    const auto add = [&facts](const char* name, const std::string& value) {
        if (!value.empty()) facts.push_back({name, value});
    };
    add("tide station", tide.station);
    add("tide source", tide.source);
    add("tide datum", tide.datum);
    add("tide curve", tide.curve->bounds_text());
    add("tide allowances", "the water may stand " + fixed_up(tide.allowances.below_m, 2) + " m below and " +
                               fixed_up(tide.allowances.above_m, 2) + " m above the prediction, as was said");
    add("stay",
        moment_text(tide.stay.arrive(), tide.zone) + " to " + moment_text(tide.stay.depart(), tide.zone));
    const WaterLevels levels = tide.stay.levels();
    add("levels of the stay", between_levels_text({levels.low_m, levels.high_m}) +
                                  ", the curve's own error and the allowances in them");
    for (const std::string& note : tide.notes) {
        facts.push_back({"tide read so", note});
    }
    if (!tide.place) {
        facts.push_back(
            assumed_fact("tide station's distance",
                         "the file does not say where its station is, so that nobody knows how far "
                         "away; range and times of the tide change along a coast"));
    }
    return facts;
}

} // namespace swingroom
