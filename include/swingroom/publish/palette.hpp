#pragma once

#include "swingroom/room/map_class.hpp"
#include "swingroom/room/verdict.hpp"

#include <array>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <string_view>

namespace swingroom {

/// Red, green, blue, 0 to 255.
using Colour = std::array<std::uint8_t, 3>;

/// A pattern over a colour, so that colour is never the only sign.
enum class Hatch : std::uint8_t {
    none,
    falling,
    dotted,
    level,
    solid,
    crossed,
    upright,
    rising,
    stippled, ///< of maps alone, like the next
    sparse,
    gridded
};

/// How a verdict is drawn in every output: rasters, styles, tiles, pictures.
struct VerdictLook {
    /// The answer that it stands for; the list has them in their order.
    Verdict verdict;
    /// Of the whole area in rasters and pictures.
    Colour colour;
    /// What tells the answers apart where colours do not: no two answers share one.
    Hatch hatch;
};

/// Ends of ColorBrewer's schemes. The least CIEDE2000 between any two of the five answers without a condition
/// is 22 for normal, protan, deutan and tritan sight (Machado 2009, full severity), and 18 to the nearest
/// tint of paper charts at 60 %: `palette_test` measures it. Grey is for what is not known. An answer with a
/// condition is a lighter one of its way, found by a search for the greatest distance to all the others (13
/// at the least), and has a pattern where the plain one has none of its kind. What is out of reach is found
/// in the same way: nearly black, and barred like a gate, so that nobody takes it for a yes.
inline constexpr std::array<VerdictLook, verdict_phrases.size()> verdict_looks = {
    {{Verdict::unsurveyed, {128, 128, 128}, Hatch::none},
     {Verdict::no, {140, 45, 4}, Hatch::falling},
     {Verdict::sinker, {236, 112, 20}, Hatch::dotted},
     {Verdict::short_scope, {128, 125, 186}, Hatch::level},
     {Verdict::full, {1, 102, 94}, Hatch::solid},
     {Verdict::sinker_by_sounder, {240, 235, 40}, Hatch::crossed},
     {Verdict::short_by_sounder, {239, 143, 252}, Hatch::upright},
     {Verdict::full_by_sounder, {41, 201, 185}, Hatch::rising},
     {Verdict::out_of_reach, {30, 0, 40}, Hatch::gridded}}};

/// How a verdict is drawn.
constexpr const VerdictLook& look(Verdict verdict) {
    return verdict_looks[static_cast<std::size_t>(verdict)];
}

/// How a class is drawn on the maps of people: by day on white, at night on black.
struct MapLook {
    /// The class that it stands for; the list has them in their order.
    MapClass of;
    /// Of the whole area.
    Colour day, night;
    /// Tells apart what colours do not, in grey too; two that have none differ in lightness.
    Hatch hatch;
};

/// Found by a search for the greatest distance between any two, the answers kept near their colours of
/// verdict_looks. The least CIEDE2000 for normal, protan, deutan and tritan sight is 9.8 by day and 10.5 at
/// night; of two without a hatch the lightness L* differs by 8 or more: `palette_test` measures it.
inline constexpr std::array<MapLook, map_class_count> map_looks = {
    {{MapClass::full, {12, 118, 132}, {1, 129, 81}, Hatch::solid},
     {MapClass::full_by_sounder, {88, 221, 212}, {10, 164, 113}, Hatch::rising},
     {MapClass::short_scope, {137, 118, 184}, {52, 93, 165}, Hatch::level},
     {MapClass::short_by_sounder, {249, 150, 255}, {151, 56, 106}, Hatch::upright},
     {MapClass::sinker, {207, 93, 21}, {135, 100, 10}, Hatch::dotted},
     {MapClass::sinker_by_sounder, {216, 226, 70}, {133, 145, 19}, Hatch::crossed},
     {MapClass::out_of_reach, {56, 0, 96}, {32, 0, 176}, Hatch::gridded},
     {MapClass::no, {248, 254, 240}, {23, 8, 27}, Hatch::none},
     {MapClass::margin, {209, 122, 131}, {55, 40, 6}, Hatch::falling},
     {MapClass::shoal, {103, 169, 189}, {20, 38, 78}, Hatch::none},
     {MapClass::drying, {98, 100, 70}, {74, 76, 9}, Hatch::stippled},
     {MapClass::land, {149, 124, 83}, {95, 70, 60}, Hatch::none},
     {MapClass::unsurveyed, {167, 166, 166}, {43, 43, 44}, Hatch::sparse}}};

/// How a class is drawn.
constexpr const MapLook& look(MapClass of) { return map_looks[static_cast<std::size_t>(of)]; }

/// What else a map is drawn with.
struct MapInk {
    /// As the style sheet of maps calls it.
    std::string_view name;
    /// By day and at night.
    Colour day, night;
};
/// Lines and words, what is around words, what is under the map, what is soft, and inside marks.
inline constexpr std::array<MapInk, 5> map_inks = {{{"ink", {22, 22, 22}, {190, 182, 160}},
                                                    {"halo", {255, 255, 255}, {8, 8, 8}},
                                                    {"paper", {255, 255, 255}, {0, 0, 0}},
                                                    {"soft", {70, 74, 80}, {140, 134, 118}},
                                                    {"mark", {255, 255, 255}, {24, 22, 18}}}};

/// The ink of a hatch over a colour: darker by day, lighter at night.
constexpr Colour ink_over(const Colour& colour, bool night) {
    Colour ink{};
    for (std::size_t i = 0; i < ink.size(); ++i) {
        ink[i] =
            static_cast<std::uint8_t>(night ? colour[i] + (255 - colour[i]) * 2 / 9 : colour[i] * 6 / 10);
    }
    return ink;
}

/// How an exclusion is drawn, by the worst of what it forbids: its outline and a pattern, so that chart and
/// verdict stay to be seen below. Neither a verdict's colour nor the magenta of charts.
struct ExclusionLook {
    std::string_view forbids; ///< what the property "forbids" starts with; empty: it only advises
    /// What legends call it.
    std::string_view label;
    /// Of the outline and of the pattern.
    Colour colour;
    /// The pattern inside the outline, between whose strokes chart and verdict stay to be seen; none: the
    /// outline alone.
    Hatch hatch;
};

/// At least 11 from each other and from the answers' colours, measured in the same way.
inline constexpr std::array<ExclusionLook, 4> exclusion_looks = {
    {{"hull", "a hull must not meet it", {20, 20, 20}, Hatch::falling},
     {"ground", "anchor and rode must not meet it", {0, 30, 110}, Hatch::level},
     {"letting go", "letting go is not allowed", {0, 80, 200}, Hatch::dotted},
     {"", "advice only: trip line, reading the chart", {90, 90, 90}, Hatch::none}}};

/// Viridis (Smith and van der Walt 2015, CC0, as published in matplotlib's _cm_listed.py), entries 32, 56 ...
/// 200 of its 256: the ends are left out, of which one is near the land's buff and one near black text.
inline constexpr std::array<Colour, 8> ramp = {{{71, 45, 123},
                                                {62, 73, 137},
                                                {51, 99, 141},
                                                {41, 122, 142},
                                                {33, 145, 140},
                                                {34, 167, 133},
                                                {63, 188, 115},
                                                {112, 207, 87}}};

/// How many of several boats, from the fewest to all: entries 85, 113 ... 227 of the same, which end below in
/// a blue that is lighter than a no, and above before the yellow that is lost on white. So the darker, the
/// fewer, in grey too.
inline constexpr std::array<Colour, 6> boats_ramp = {
    {{49, 104, 142}, {38, 130, 142}, {31, 158, 137}, {53, 183, 121}, {110, 206, 88}, {181, 222, 43}}};

/// The colour of a count on that scale, between its entries in a straight line.
/// @param count  1 to `boats`
constexpr Colour colour_of_boats(std::size_t count, std::size_t boats) {
    const std::size_t steps = boats - 1, way = (count - 1) * (boats_ramp.size() - 1);
    const std::size_t below = steps == 0 ? boats_ramp.size() - 1 : way / steps;
    if (below + 1 >= boats_ramp.size()) return boats_ramp.back();
    Colour colour{};
    for (std::size_t i = 0; i < colour.size(); ++i) {
        const std::size_t share = way % steps;
        colour[i] = static_cast<std::uint8_t>(
            (boats_ramp[below][i] * (steps - share) + boats_ramp[below + 1][i] * share) / steps);
    }
    return colour;
}

/// Upper ends of the steps that a layer of figures is drawn in, each in a colour of the ramp; the last step
/// has none.
using RampSteps = std::array<double, ramp.size()>;
namespace ramp_steps {
/// The end of a last step, which goes on without one.
inline constexpr double no_end = std::numeric_limits<double>::infinity();
/// Of least depths at low water; the first step is what dries.
inline constexpr RampSteps depth_m = {0, 2, 3, 5, 7, 10, 15, no_end};
/// Of rooms; the first step is cells that are unsafe themselves or touch one that is.
inline constexpr RampSteps room_m = {0, 20, 30, 40, 60, 80, 100, no_end};
inline constexpr RampSteps length_m = {20, 30, 40, 50, 60, 80, 100, no_end}; ///< rode, radius
/// Of spare room; the first step is where the way does not fit, or just does.
inline constexpr RampSteps spare_m = {0, 2, 5, 10, 20, 30, 50, no_end};
/// Of wind limits; the first step is where the way is good for no wind.
inline constexpr RampSteps wind_kn = {0, 5, 10, 15, 20, 25, 30, no_end};
/// Of hours of a stay; the first step is where she is never afloat all around.
inline constexpr RampSteps hours = {0, 3, 6, 12, 24, 48, 96, no_end};
/// Of levels of the water; the first step is where chart datum is enough.
inline constexpr RampSteps level_m = {0, 1, 2, 3, 4, 6, 8, no_end};
} // namespace ramp_steps

} // namespace swingroom
