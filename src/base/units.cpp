#include "swingroom/base/units.hpp"

#include "swingroom/base/error.hpp"

#include "base/text.hpp"

#include <charconv>
#include <cmath>
#include <cstddef>
#include <span>
#include <string>
#include <system_error>

namespace swingroom {
namespace {

struct Unit {
    std::string_view name;
    double factor; // to the first unit of its list
};

constexpr Unit length_units[] = {{"m", 1},       {"cm", 0.01},   {"mm", 0.001},   {"km", 1000},
                                 {"ft", 0.3048}, {"in", 0.0254}, {"fm", 1.8288},  {"nm", 1852},
                                 {"nmi", 1852},  {"NM", 1852},   {"cable", 185.2}};
constexpr Unit area_units[] = {
    {"m2", 1}, {"m\u00b2", 1}, {"ft2", 0.3048 * 0.3048}, {"ft\u00b2", 0.3048 * 0.3048}, {"ha", 10000}};
constexpr Unit mass_units[] = {{"kg", 1}, {"g", 0.001}, {"t", 1000}, {"lb", 0.45359237}};
constexpr Unit force_units[] = {{"N", 1}, {"kN", 1000}, {"kgf", 9.80665}, {"lbf", 4.4482216152605}};
constexpr Unit speed_units[] = {{"kn", 1}, {"m/s", 3600.0 / 1852}, {"km/h", 1000.0 / 1852}};

/// On the ends of a value; a line feed is none of them.
constexpr std::string_view blanks = " \t\r";

/// The number at the start of a text; what follows it is left in `rest`.
double leading_number(std::string_view text, std::string_view where, std::string_view& rest) {
    std::string_view digits = text;
    if (digits.starts_with('+') && !digits.starts_with("+-")) digits.remove_prefix(1);
    double value = 0;
    const auto [end, error] = std::from_chars(digits.data(), digits.data() + digits.size(), value);
    if (error == std::errc::result_out_of_range) {
        throw InputError(std::string(where), quoted(text) + " is out of range", "give a smaller number");
    }
    if (error != std::errc{} || !std::isfinite(value)) {
        throw InputError(std::string(where), quoted(text) + " is not a number",
                         "give a number with a point for the decimals");
    }
    rest = digits.substr(static_cast<std::size_t>(end - digits.data()));
    if (rest.size() > 1 && rest[0] == ',' && rest[1] >= '0' && rest[1] <= '9') {
        throw InputError(std::string(where), quoted(text) + " is not a number",
                         "decimals have a point, not a comma");
    }
    rest = trimmed(rest);
    return value;
}

double in_first_unit(std::string_view text, std::string_view where, std::span<const Unit> units) {
    std::string_view name;
    const double value = leading_number(trimmed(text, blanks), where, name);
    if (name.empty()) return value;
    std::string known;
    for (const Unit& unit : units) {
        if (unit.name == name) {
            const double converted = value * unit.factor;
            if (std::isfinite(converted)) return converted;
            throw InputError(std::string(where), quoted(text) + " is out of range", "give a smaller number");
        }
        known += (known.empty() ? "" : ", ") + std::string(unit.name);
    }
    throw InputError(std::string(where), quoted(text) + " has the unknown unit " + quoted(name),
                     "use one of " + known);
}

} // namespace

double parse_number(std::string_view text, std::string_view where) {
    std::string_view rest;
    const double value = leading_number(trimmed(text, blanks), where, rest);
    if (!rest.empty()) {
        throw InputError(std::string(where), quoted(text) + " is not a number",
                         "give a number with a point for the decimals");
    }
    return value;
}

Length parse_length(std::string_view text, std::string_view where) {
    return Length::metres(in_first_unit(text, where, length_units));
}
SurfaceArea parse_area(std::string_view text, std::string_view where) {
    return SurfaceArea::square_metres(in_first_unit(text, where, area_units));
}
Mass parse_mass(std::string_view text, std::string_view where) {
    return Mass::kilograms(in_first_unit(text, where, mass_units));
}
Force parse_force(std::string_view text, std::string_view where) {
    return Force::newtons(in_first_unit(text, where, force_units));
}
Speed parse_speed(std::string_view text, std::string_view where) {
    return Speed::knots(in_first_unit(text, where, speed_units));
}

} // namespace swingroom
