#pragma once

#include "swingroom/boat/way.hpp"

#include <array>
#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

namespace swingroom {

/// The answer for a cell. Those by the sounder are a yes with a condition: let go only where it shows no more
/// than the limit of the way. The last one stands in the place of any yes where she cannot get there: she
/// could lie in the cell, but no way leads to it at any level of the stay that is sure. Cells are judged
/// without it; it is what is told of them, see told().
enum class Verdict : std::uint8_t {
    unsurveyed = 0,
    no = 1,
    sinker = 2,
    short_scope = 3,
    full = 4,
    sinker_by_sounder = 5,
    short_by_sounder = 6,
    full_by_sounder = 7,
    out_of_reach = 8
};

/// Words for people, by Verdict.
inline constexpr std::array<std::string_view, 9> verdict_phrases = {
    "unsurveyed",
    "no",
    "yes, at short scope with sinker",
    "yes, at short scope",
    "yes, at full scope",
    "yes, by the sounder, at short scope with sinker",
    "yes, by the sounder, at short scope",
    "yes, by the sounder, at full scope",
    "no way in: room and depth would do"};

/// The words of a verdict.
inline std::string_view phrase(Verdict v) { return verdict_phrases[static_cast<std::size_t>(v)]; }
/// What stands behind the words of a yes where `advice::unknown_holding` is set.
inline constexpr std::string_view holding_not_known = "; holding not known";
/// What stands before the words of a yes where `advice::out_of_reach` is set: who reads only the beginning
/// must not read a yes.
inline constexpr std::string_view no_way_in = "no way in during the stay; else ";
/// The words of a verdict with what nobody has checked: "yes, at full scope; holding not known"; of a yes
/// that is out of reach "no way in during the stay; else yes, at full scope; holding not known".
/// @param advice  bits of `advice` at the place
std::string verdict_words(Verdict verdict, std::uint16_t advice);
/// Whether verdict_words() say so.
constexpr bool says_holding_not_known(std::string_view words) { return words.ends_with(holding_not_known); }
/// Whether the boat can lie there in any way; neither `no` nor `unsurveyed` is a yes.
constexpr bool is_yes(Verdict v) { return v >= Verdict::sinker && v <= Verdict::full_by_sounder; }
/// Whether a yes holds only where the sounder shows no more than a limit.
constexpr bool is_by_sounder(Verdict v) {
    return v >= Verdict::sinker_by_sounder && v <= Verdict::full_by_sounder;
}
/// The verdict of a cell where this is the way that she lies in.   @param by_sounder  with that condition
constexpr Verdict yes_to(Way way, bool by_sounder = false) {
    constexpr std::array yes = {Verdict::full, Verdict::short_scope, Verdict::sinker};
    constexpr std::array sounded = {Verdict::full_by_sounder, Verdict::short_by_sounder,
                                    Verdict::sinker_by_sounder};
    return (by_sounder ? sounded : yes)[static_cast<std::size_t>(way)];
}
/// The way that a yes stands for.
constexpr Way way_of(Verdict v) {
    switch (v) {
    case Verdict::full:
    case Verdict::full_by_sounder:
        return Way::full;
    case Verdict::short_scope:
    case Verdict::short_by_sounder:
        return Way::short_scope;
    default:
        return Way::sinker;
    }
}

/// From the best answer, 0, to the worst: by the way, and of one way the plain yes before that with a
/// condition; then those that are out of reach.
constexpr int rank_of(Verdict v) {
    if (v == Verdict::out_of_reach) return 6;
    if (!is_yes(v)) return v == Verdict::no ? 7 : 8;
    return 2 * static_cast<int>(way_of(v)) + (is_by_sounder(v) ? 1 : 0);
}

/// What can be said of two cells together, for an overview: the more demanding way of both is to be had in
/// both only if it is in each, and a condition on one of them is a condition on both.
constexpr Verdict worse(Verdict a, Verdict b) {
    if (!is_yes(a) || !is_yes(b)) return rank_of(a) > rank_of(b) ? a : b;
    const Way way = way_of(a) > way_of(b) ? way_of(a) : way_of(b);
    return yes_to(way, is_by_sounder(a) || is_by_sounder(b));
}

/// All of them, the best first.
inline constexpr std::array verdicts_by_rank = {
    Verdict::full,      Verdict::full_by_sounder,   Verdict::short_scope,  Verdict::short_by_sounder,
    Verdict::sinker,    Verdict::sinker_by_sounder, Verdict::out_of_reach, Verdict::no,
    Verdict::unsurveyed};

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
/// Number of the first of the twelve bits by way; those between the last of the others and this are free.
inline constexpr int first_way_bit = 12;
/// The four that each way has of its own.
enum class OfWay : std::uint8_t { hull_room, ground_room, rode, unavailable };
/// The bit of a way's own reason: four bits for full scope, then four for short scope, then four for the
/// sinker.
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
inline constexpr std::uint16_t read_chart = 1u << 7;   ///< a warning or a restriction of the chart applies
inline constexpr std::uint16_t poor_survey = 1u << 8;  ///< charted dangers may lie beside their place
inline constexpr std::uint16_t uncharted = 1u << 9;    ///< none of the charts given covers this
inline constexpr std::uint16_t sound_first = 1u << 10; ///< a yes up to a reading of the sounder alone
/// A survey speaks in the place of a chart's depth area, and they differ, or the chart is newer.
inline constexpr std::uint16_t survey_and_chart_differ = 1u << 11;
/// No way leads here at any level of the stay that is sure: of a yes that is then none.
inline constexpr std::uint16_t out_of_reach = 1u << 12;
/// The way here is open at some levels of the stay, and at others not.
inline constexpr std::uint16_t wait_for_water = 1u << 13;
/// Whether a way leads here is not known.
inline constexpr std::uint16_t way_unknown = 1u << 14;
} // namespace advice

/// Name and sentence of a bit, for legends, reports and `spot`; ordered by bit, gaps left out.
struct BitName {
    /// One bit of `reason` or of `advice`.
    std::uint32_t bit;
    /// A few words and the whole sentence, both for people.
    std::string_view name, sentence;
};
/// Of every reason: ten that forbid every way, then four by way.
extern const std::array<BitName, 22> reason_names;
/// Of every advice.
extern const std::array<BitName, 15> advice_names;

/// What is told of a cell that was judged so: of a yes that is out of reach that it is.
/// @param advice  of the cell
constexpr Verdict told(Verdict judged, std::uint16_t advice) {
    return is_yes(judged) && (advice & advice::out_of_reach) != 0 ? Verdict::out_of_reach : judged;
}

} // namespace swingroom
