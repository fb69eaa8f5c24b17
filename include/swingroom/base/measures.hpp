#pragma once

#include "swingroom/base/units.hpp"

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

namespace swingroom {

/// Which way a figure is rounded for print: room, depth for the keel and limits down; needs up.
enum class Rounded { nearest, up, down };

/// A number rounded to so many decimals. A tolerance of 5e-4 of the last decimal is forgiven, since it is no
/// more than what a float carries of 35.1 m, or of 210 ft in metres: that does not become 35.2, or 210.1.
/// Nearest leaves it as it is, for the writer to round.
double rounded(double value, int decimals, Rounded way);

/// A number with so many decimals, with a point whatever the locale; rounded to nearest, up, or down.
std::string fixed(double value, int decimals);
/// The same rounded up, as `rounded` does.
std::string fixed_up(double value, int decimals);
/// The same rounded down, as `rounded` does.
std::string fixed_down(double value, int decimals);

/// A unit that lengths and depths are printed in.
enum class LengthUnit { metre, foot, fathom };
/// Their names, in the order of the enumerators.
inline constexpr std::array<std::string_view, 3> length_unit_names = {"m", "ft", "fm"};

/// How positions are printed: decimal degrees, or degrees and decimal minutes.
enum class PositionForm { degrees, minutes };
/// Their names, in the order of the enumerators.
inline constexpr std::array<std::string_view, 2> position_form_names = {"degrees", "minutes"};

/// What people want to read: the unit of lengths and the form of positions. Files for machines stay in metres
/// and degrees, with the unit in the name.
struct Measures {
    LengthUnit length = LengthUnit::metre;         ///< of lengths and depths
    PositionForm position = PositionForm::degrees; ///< of positions

    /// Whether people read the same.
    friend bool operator==(const Measures&, const Measures&) = default;
};

/// The name of the unit of lengths: "m", "ft" or "fm".
constexpr std::string_view unit_name(const Measures& measures) {
    return length_unit_names[static_cast<std::size_t>(measures.length)];
}

/// A length in the wanted unit as it is printed: what is missing is told of figures that stand beside it.
double length_value(double metres, Rounded way, const Measures& measures, int decimals = 1);
/// The same as text, without the unit's name: for tables.   @param decimals  of the unit
std::string length_number(double metres, Rounded way, const Measures& measures, int decimals = 1);
/// "5.5 m", "18.0 ft", "3.0 fm".
std::string length_text(double metres, Rounded way, const Measures& measures, int decimals = 1);
/// Metres in a unit.
constexpr double metres_per_unit(const Measures& measures) {
    constexpr std::array metres = {1.0, Length::feet(1).metres(), Length::fathoms(1).metres()};
    return metres[static_cast<std::size_t>(measures.length)];
}
/// How far off something lies, rounded down: whole units below half a nautical mile, "0.56 nm" from there on.
std::string distance_text(double metres, const Measures& measures);

/// "-29.043932 47.987038" (longitude first, as it is given), or "47°59.2222'N 29°02.6359'W" (latitude first,
/// as it is spoken). A unit of the last decimal is at most 0.2 m.
std::string position_text(double lon, double lat, const Measures& measures);

/// Longitude and latitude in degrees.
struct Position {
    double lon = 0, lat = 0; ///< east and north positive
};
/// Reads two words. Plain decimal degrees: longitude first, east and north positive. With the letters N, S,
/// E, W before or behind: in any order, decimal degrees, degrees and decimal minutes, or degrees, minutes and
/// seconds: 47.987N, 47°59.222'N, N47-59.222, "47 59 13.3 N". The marks ° ' " may be left out or be : or -.
/// @param where  what messages name; nothing: LON, LAT or LON LAT
/// @throws InputError  one letter without the other, minutes or seconds of 60 and more, decimals before the
///                     last part, a sign beside a letter, out of -180..360 or -90..90
Position parse_position(std::string_view first, std::string_view second, std::string_view where = {});
/// The same of both in one text: "47°59.222'N 29°02.636'W", "-29.04 47.99". A comma may stand
/// between them; alone it is not enough where there are no letters, since it may be meant for the decimals.
Position parse_position(std::string_view both);
/// Whether a word has one of the letters N, S, E, W.
bool has_compass_letter(std::string_view word);

} // namespace swingroom
