#include "swingroom/water/level_text.hpp"

#include <cmath>

namespace swingroom {
namespace {

/// A level without its sign, in the unit.
struct Told {
    std::string number;
    const char* side; ///< of chart datum
};
Told told(double level_m, Rounded way, const Measures& measures, int decimals) {
    const double value = length_value(level_m, way, measures, decimals);
    const std::string number = fixed(std::abs(value), decimals);
    const bool is_zero = number.find_first_not_of("0.") == std::string::npos;
    return {number, value < 0 && !is_zero ? "below" : "above"};
}

} // namespace

std::string level_above_datum_text(double level_m, Rounded way, const Measures& measures, int decimals) {
    const Told level = told(level_m, way, measures, decimals);
    return level.number + " " + std::string(unit_name(measures)) + " " + level.side + " chart datum";
}

namespace {

/// @param between  the word between the two
std::string span_text(const LevelBounds& levels, const char* between, const Measures& measures,
                      int decimals) {
    const Told least = told(levels.least_m, Rounded::down, measures, decimals),
               greatest = told(levels.greatest_m, Rounded::up, measures, decimals);
    const std::string unit(unit_name(measures));
    const bool one_side = std::string(least.side) == greatest.side;
    return least.number + (one_side ? "" : " " + unit + " " + least.side) + between + greatest.number + " " +
           unit + " " + greatest.side + " chart datum";
}

} // namespace

std::string between_levels_text(const LevelBounds& levels, const Measures& measures, int decimals) {
    return "between " + span_text(levels, " and ", measures, decimals);
}

std::string levels_text(const LevelBounds& levels, const Measures& measures) {
    return span_text(levels, " to ", measures, 2);
}

} // namespace swingroom
