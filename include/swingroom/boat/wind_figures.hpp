#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

namespace swingroom {

/// What a wind limit is taken from, from the surest to the least: each has room and the angle of pull in it.
enum class LimitBy : std::uint8_t {
    holding,       ///< and what the anchor holds on that ground
    least_holding, ///< and, since that is not known, the least that it is known to hold on other ground
    room           ///< and nothing else: what the anchor holds is known of no ground
};

/// In words, as columns of layers, JSON and CSV hold them, by LimitBy.
inline constexpr std::array<std::string_view, 3> limit_by_names = {
    "room and holding", "room and the least holding known", "room alone"};
/// The words of what a limit is taken from.
constexpr std::string_view name(LimitBy by) { return limit_by_names[static_cast<std::size_t>(by)]; }
/// That of a column which name() has filled; what is none of them is `room`, of which least is known.
LimitBy limit_by_of(std::string_view column);

/// "16 kn", "16 kn by room and the least holding known: that of this ground is not known", "16 kn by room
/// alone: holding not known". Where room alone sets no limit up to the greatest that is looked for: "no limit
/// by room alone: holding not known". No wind at all is "0 kn", whatever it is by.
/// @param limit_kn  rounded down
std::string wind_limit_text(double limit_kn, LimitBy by);
/// The same for a table under which wind_limit_note() stands: "16", "16*", "any*".
std::string wind_limit_number(double limit_kn, LimitBy by);
/// What the mark in a table means, and `any`.
inline constexpr std::string_view wind_limit_note =
    "* By room and the angle of pull alone, since what the anchor holds is not known; \"any\" is no limit by "
    "these.";

} // namespace swingroom
