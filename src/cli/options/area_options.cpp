#include "cli/options/area_options.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/measures.hpp"
#include "swingroom/base/units.hpp"
#include "swingroom/sea/lonlat_windows.hpp"

#include "base/text.hpp"
#include "cli/options/options.hpp"
#include "cli/options/plan.hpp"

#include <vector>

namespace swingroom::cli {

namespace po = boost::program_options;

double parse_distance_m(const std::string& text, const std::string& where) {
    constexpr Range distances_m = {10, 60 * 1852.0};
    return within(parse_length(text, where).metres(), distances_m, text, where, "give 10 m to 60 nm");
}

GivenCircle parse_around(const std::string& text, const std::string& where) {
    const std::vector<std::string> parts = split(text, ',');
    if (parts.size() != 3) {
        throw InputError(where, swingroom::quoted(text) + " is no position with a distance",
                         "give longitude, latitude and distance with a comma between, as in "
                         "14.31W,47.98N, 1.5 nm");
    }
    const std::string lon(trimmed(parts[0])), lat(trimmed(parts[1]));
    const Position centre = parse_position(lon, lat, where);
    return {{centre.lon, centre.lat}, parse_distance_m(std::string(trimmed(parts[2])), where)};
}

void AreaOptions::declare(Options& options) {
    // clang-format off
    options.group(Group::comes_out);
    options.add_options()
        ("around", text_value("LON,LAT,M"), "only near a position, as 29-02W,47-58N,1.5nm\n"
         "Or in degrees. The cells that the box about all within this distance touches, 10 m to 60 nm; danger outside still counts.");
    options.group(Group::seldom);
    options.add_options()
        ("bounds", text_value("W,S,E,N"), "only this window\n"
         "In place of --around. In degrees, or with letters as 29-03W,47-58N,29-01W,47-59.5N. The cells that this box touches; danger "
         "outside still counts; east below west crosses the antimeridian.");
    // clang-format on
}

void AreaOptions::settle(const po::variables_map& on_command_line, po::variables_map& given) {
    const bool box = is_given(on_command_line, "bounds"), circle = is_given(on_command_line, "around");
    if (box && !circle) given.erase("around");
    if (circle && !box) given.erase("bounds");
    if (is_given(given, "bounds") && is_given(given, "around")) {
        throw InputError("--around", "is given with --bounds", "leave out one of them");
    }
}

bool AreaOptions::is_in(const po::variables_map& given) {
    return is_given(given, "bounds") || is_given(given, "around");
}

std::optional<GivenArea> AreaOptions::accept(const po::variables_map& given) {
    if (const auto box = optional(given, "bounds")) return GivenArea{parse_bounds(*box), "--bounds"};
    if (const auto around = optional(given, "around")) {
        const GivenCircle circle = parse_around(*around, "--around");
        return GivenArea{window_around(circle.centre, circle.radius_m), "--around"};
    }
    return std::nullopt;
}

} // namespace swingroom::cli
