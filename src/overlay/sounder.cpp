#include "swingroom/overlay/sounder.hpp"

#include "swingroom/sea/chart_depths.hpp"

#include <algorithm>
#include <cmath>

namespace swingroom {

SounderReading sounder_reading(double shoal_m, double deep_m, const LevelBounds& level,
                               const Sounder& sounder) {
    SounderReading reading;
    reading.error_m = sounder.error_m;
    reading.of_water = !sounder.transducer_m;
    if (std::isnan(shoal_m) || std::isnan(deep_m)) return reading;
    // No sounder shows less than nothing.
    reading.least_m = std::max(0.0, shoal_m + shown_above_datum_m(level.least_m, sounder));
    reading.greatest_m = deep_m >= no_deep_edge_m
                             ? std::numeric_limits<double>::infinity()
                             : std::max(0.0, deep_m + shown_above_datum_m(level.greatest_m, sounder));
    return reading;
}

double counted_level_m(const LevelBounds& level, const Boat& boat) {
    const double middle_m = (level.least_m + level.greatest_m) / 2;
    return std::min(middle_m, level.least_m + boat.policy.level_error_m);
}

double sounder_may_show_m(double limit_m, const LevelBounds& level, const Boat& boat) {
    return limit_m + shown_above_datum_m(counted_level_m(level, boat), boat.sounder);
}

double shown_above_datum_m(double level_m, const Sounder& sounder) {
    return level_m - sounder.transducer_m.value_or(0);
}

} // namespace swingroom
