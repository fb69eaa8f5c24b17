#include "cli/options/conditions_options.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/units.hpp"

#include "cli/options/level_rasters.hpp"
#include "cli/options/options.hpp"
#include "cli/options/plan.hpp"

#include <string>

namespace swingroom::cli {
namespace {

namespace po = boost::program_options;

double level_m(const po::variables_map& given, const Needed& level) {
    const std::string option = std::string("--") + level.name, text = required(given, level);
    if (names_raster(text)) {
        throw InputError(option, "is a raster, and this command looks at no place",
                         "give metres above chart datum; overlay and spot take rasters");
    }
    return within(parse_length(text, option).metres(), {-20, 30}, text, option,
                  "give -20 to 30 m above chart datum");
}

} // namespace

void declare_levels(Options& options, bool must_be_given) {
    // clang-format off
    if (must_be_given) {
        options.add_options()
            ("low-water", text_value("M"), "lowest water; it or a tide must be given\nOf the whole stay, above chart datum, -20 to 30 m, "
             "or a raster of it: a cell takes the least of all cells of the raster that it touches. Not with --tide.")
            ("high-water", text_value("M"), "highest water; it or a tide must be given\nOf the whole stay, above chart datum, -20 to 30 m, "
             "or a raster of it: a cell takes the greatest of all cells of the raster that it touches. Not with --tide.");
    } else {
        options.add_options()
            ("low-water", text_value("M")->default_value("0"), "lowest water of the stay above chart datum\n-20 to 30 m.")
            ("high-water", text_value("M")->default_value("0"), "highest water of the stay above chart datum\n-20 to 30 m.");
    }
    // clang-format on
}

void declare_wind(Options& options) {
    options.add_options()("wind", text_value("KN"),
                          "mean wind planned for; must be given\n"
                          "1 to 100 kn; the boat's gust factor is applied on top.");
}

void declare_current(Options& options) {
    options.add_options()("current", text_value("KN")->default_value("0"),
                          "strongest current of the stay\n0 to 15 kn; its drag is added to the wind's.");
}

WaterLevels levels_of(const po::variables_map& given) {
    const WaterLevels levels{level_m(given, low_water_needed), level_m(given, high_water_needed)};
    if (levels.high_m < levels.low_m) {
        throw InputError("--high-water", "lies below --low-water", "give both above chart datum");
    }
    return levels;
}

Conditions conditions_of(const po::variables_map& given, const WaterLevels& water) {
    Conditions conditions;
    conditions.water = water;
    const std::string wind = required(given, wind_needed);
    conditions.wind_kn =
        within(parse_speed(wind, "--wind").knots(), {1, 100}, wind, "--wind", "give 1 to 100 kn");
    const auto& current = given["current"].as<std::string>();
    conditions.current_kn =
        within(parse_speed(current, "--current").knots(), {0, 15}, current, "--current", "give 0 to 15 kn");
    return conditions;
}

} // namespace swingroom::cli
