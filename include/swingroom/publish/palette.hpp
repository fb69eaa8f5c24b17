#pragma once

#include "swingroom/room/verdict.hpp"

#include <array>
#include <cstdint>

namespace swingroom {

/// Red, green, blue, 0 to 255.
using Colour = std::array<std::uint8_t, 3>;

/// A pattern over a colour, so that colour is never the only sign.
enum class Hatch : std::uint8_t { none, falling, dotted, level, solid };

/// How a verdict is drawn in every output: rasters, styles, tiles, pictures.
struct VerdictLook {
    Verdict verdict;
    Colour colour;
    Hatch hatch;
};

/// Ends of ColorBrewer's schemes. The least CIEDE2000 between any two of the four answers is 22 for normal,
/// protan, deutan and tritan sight (Machado 2009, full severity), and 18 to the nearest tint of paper charts
/// at 60 %: `palette_test` measures it. Grey is for what is not known.
inline constexpr std::array<VerdictLook, 5> verdict_looks = {
    {{Verdict::unsurveyed, {128, 128, 128}, Hatch::none},
     {Verdict::no, {140, 45, 4}, Hatch::falling},
     {Verdict::sinker, {236, 112, 20}, Hatch::dotted},
     {Verdict::short_scope, {128, 125, 186}, Hatch::level},
     {Verdict::full, {1, 102, 94}, Hatch::solid}}};

constexpr const VerdictLook& look(Verdict verdict) {
    return verdict_looks[static_cast<std::size_t>(verdict)];
}

} // namespace swingroom
