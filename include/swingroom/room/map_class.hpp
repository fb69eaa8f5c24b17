#pragma once

#include "swingroom/room/verdict.hpp"

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <string_view>

namespace swingroom {

/// What a map shows of a cell: each yes by its way, and of a no what kind of no it is. From the best to the
/// worst, so that of several that are no yes the greatest stands for all.
enum class MapClass : std::uint8_t {
    full,
    full_by_sounder,
    short_scope,
    short_by_sounder,
    sinker,
    sinker_by_sounder,
    out_of_reach, ///< a yes to which no way leads at any level of the stay that is sure
    no,           ///< deep enough and in nobody's margin: rode, room, holding, windlass or slope forbid
    margin,       ///< deep enough, but within a hazard's margin or where letting go is not allowed
    shoal,        ///< too little water at low water
    drying,       ///< stands above chart datum by the depth itself, its uncertainty left aside
    land,         ///< stands above high water, or is charted as land
    unsurveyed
};

/// How many there are.
inline constexpr std::size_t map_class_count = 13;

/// A few words for a legend, by MapClass.
inline constexpr std::array<std::string_view, map_class_count> map_class_words = {
    "yes, at full scope",
    "yes, at full scope, by the sounder",
    "yes, at short scope",
    "yes, at short scope, by the sounder",
    "yes, short scope with sinker",
    "yes, short scope with sinker, by the sounder",
    "no way in, though room and depth would do",
    "no, though deep: room, rode or holding",
    "no: in a margin, or letting go not allowed",
    "too little water at low water",
    "dries at chart datum",
    "land",
    "not surveyed"};

/// The class of an answer; a no whose kind is not known is the mildest.
constexpr MapClass map_class_of(Verdict verdict) {
    constexpr std::array classes = {MapClass::unsurveyed,
                                    MapClass::no,
                                    MapClass::sinker,
                                    MapClass::short_scope,
                                    MapClass::full,
                                    MapClass::sinker_by_sounder,
                                    MapClass::short_by_sounder,
                                    MapClass::full_by_sounder,
                                    MapClass::out_of_reach};
    return classes[static_cast<std::size_t>(verdict)];
}

/// The answer that a class belongs to.
constexpr Verdict verdict_of(MapClass of) {
    constexpr std::array verdicts = {Verdict::full,         Verdict::full_by_sounder,
                                     Verdict::short_scope,  Verdict::short_by_sounder,
                                     Verdict::sinker,       Verdict::sinker_by_sounder,
                                     Verdict::out_of_reach, Verdict::no,
                                     Verdict::no,           Verdict::no,
                                     Verdict::no,           Verdict::no,
                                     Verdict::unsurveyed};
    return verdicts[static_cast<std::size_t>(of)];
}

/// What can be said of two cells together.
constexpr MapClass worse(MapClass a, MapClass b) {
    const MapClass worst = std::max(a, b);
    return worst < MapClass::out_of_reach ? map_class_of(worse(verdict_of(a), verdict_of(b))) : worst;
}

} // namespace swingroom
