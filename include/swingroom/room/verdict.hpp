#pragma once

#include "swingroom/boat/way.hpp"

#include <array>
#include <cstddef>
#include <cstdint>
#include <string_view>

namespace swingroom {

/// The answer for a cell; a greater number is a better answer, so that the worst of several is their minimum.
enum class Verdict : std::uint8_t { unsurveyed = 0, no = 1, sinker = 2, short_scope = 3, full = 4 };

inline constexpr std::array<std::string_view, 5> verdict_phrases = {
    "unsurveyed", "no", "yes, at short scope with sinker", "yes, at short scope", "yes, at full scope"};

inline std::string_view phrase(Verdict v) { return verdict_phrases[static_cast<std::size_t>(v)]; }
constexpr bool is_yes(Verdict v) { return v >= Verdict::sinker; }
constexpr Verdict yes_to(Way way) {
    constexpr std::array yes = {Verdict::full, Verdict::short_scope, Verdict::sinker};
    return yes[static_cast<std::size_t>(way)];
}
/// The way that a yes stands for.
constexpr Way way_of(Verdict v) {
    return v == Verdict::full ? Way::full : v == Verdict::short_scope ? Way::short_scope : Way::sinker;
}

/// Everything that forbids, as bits of the `reasons` layer. The first ones forbid every way; the last twelve
/// are four for each way and say why that way is out, also where a less demanding way is a yes.
namespace reason {
inline constexpr std::uint32_t unsurveyed = 1u << 0;  ///< no depth in the cell
inline constexpr std::uint32_t too_shallow = 1u << 1; ///< less water here at low water than the hull requires
inline constexpr std::uint32_t hull_danger = 1u << 2; ///< inside the margin of a danger to the hull
inline constexpr std::uint32_t ground_danger = 1u << 3;  ///< inside the margin of a danger to anchor or chain
inline constexpr std::uint32_t drop_forbidden = 1u << 4; ///< letting go is not allowed here
inline constexpr std::uint32_t windlass = 1u << 5;       ///< hanging load above the windlass's rated pull
inline constexpr std::uint32_t recovery = 1u << 6; ///< deeper than a fouled anchor can be recovered from
inline constexpr std::uint32_t steep = 1u << 7;    ///< slope above the policy's max_slope
inline constexpr std::uint32_t seabed = 1u << 8;   ///< ground that no anchor holds in (rock, coral)
inline constexpr std::uint32_t holding =
    1u << 9; ///< the planned wind pulls more than the anchor holds in this ground
inline constexpr int first_way_bit = 12;
/// The four that each way has of its own.
enum class OfWay : std::uint8_t { hull_room, ground_room, rode, unavailable };
constexpr std::uint32_t of_way(Way way, OfWay what) {
    return 1u << (first_way_bit + 4 * static_cast<int>(way) + static_cast<int>(what));
}
} // namespace reason

/// Advice bits of the `advice` layer: none of them forbids.
namespace advice {
inline constexpr std::uint16_t trip_line = 1u << 0;       ///< foul ground near: a trip line is wise
inline constexpr std::uint16_t poor_holding = 1u << 1;    ///< ground that holds poorly, or a note of it near
inline constexpr std::uint16_t unknown_holding = 1u << 2; ///< nature of the seabed not known
inline constexpr std::uint16_t steep = 1u << 3;           ///< steeper than 1 in 10 and yet allowed
inline constexpr std::uint16_t coarse_data = 1u << 4;     ///< cells larger than a third of the least radius
inline constexpr std::uint16_t deep_recovery = 1u << 5;   ///< beyond an untrained diver's depth at high water
inline constexpr std::uint16_t wind_above_limit = 1u << 6; ///< the planned wind is above the wind limit here
inline constexpr std::uint16_t read_chart = 1u << 7;  ///< a warning or a restriction of the chart applies
inline constexpr std::uint16_t poor_survey = 1u << 8; ///< charted dangers may lie beside their place
inline constexpr std::uint16_t uncharted = 1u << 9;   ///< none of the charts given covers this
} // namespace advice

/// Name and sentence of a bit, for legends, reports and `spot`; ordered by bit, gaps left out.
struct BitName {
    std::uint32_t bit;
    std::string_view name, sentence;
};
extern const std::array<BitName, 22> reason_names;
extern const std::array<BitName, 10> advice_names;

} // namespace swingroom
