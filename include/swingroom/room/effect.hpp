#pragma once

#include <cstdint>

namespace swingroom {

/// What hazards forbid or advise, as a set of the bits of `effect`.
using Effects = std::uint16_t;

/// What a hazard forbids (the first three) or advises.
namespace effect {
inline constexpr Effects hull = 1;       ///< a hull must not meet it
inline constexpr Effects ground = 2;     ///< an anchor or chain on the seabed must not meet it
inline constexpr Effects drop = 4;       ///< letting go is not allowed here
inline constexpr Effects trip_line = 8;  ///< a trip line is wise here
inline constexpr Effects warn = 16;      ///< the chart has a warning or a restriction to be read
inline constexpr Effects survey = 32;    ///< the survey is poor: dangers may lie beside their charted place
inline constexpr Effects uncharted = 64; ///< no chart covers this: dangers are not known
/// A note of ground that holds poorly or is foul stands near: what lies between two notes is not known.
inline constexpr Effects poor_ground = 128;
inline constexpr Effects note =
    256; ///< says what the ground is at its place, and nothing of what lies around
/// A charted anchorage, which is named where it is: it forbids nothing and advises nothing.
inline constexpr Effects anchorage = 512;
/// A survey speaks here in the place of a chart's depth area, and the two differ, or the chart is the newer:
/// no hazard says so, the depths do.
inline constexpr Effects depths_differ = 1024;
/// What is worth a line on a map or in a list of dangers: not where a survey is poor, or where no chart is,
/// which is most of the sea, and not the ground, which is no danger to meet.
inline constexpr Effects shown = hull | ground | drop | trip_line | warn;
} // namespace effect

} // namespace swingroom
