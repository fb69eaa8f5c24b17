#pragma once

#include "swingroom/publish/palette.hpp"
#include "swingroom/room/verdict.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace swingroom {

/// How features of a vector layer are drawn whose column holds a value. The first that fits counts; one
/// without a value fits all that are left.
struct FeatureLook {
    /// The property that decides, the same in all looks of a list.
    std::string column;
    std::string value; ///< the whole number that the column holds, or what its text starts with
    /// Whether the column holds whole numbers, which are compared as a whole, and not text.
    bool is_number = false;
    /// What legends call it.
    std::string label;
    /// Of the outline, and of the pattern or filling inside.
    Colour colour{};
    /// None: the outline alone.
    Hatch hatch = Hatch::none;
    /// Polygons whose inside is coloured, and has its pattern in ink; else outline and pattern alone are in
    /// the colour, so that what they lie on is seen.
    bool filled = false;
};

/// The looks of zones and spots, by verdict, the best first. Spots in formats without that column are drawn
/// all alike by the last one.
/// @param out_of_reach  whether some may be
inline std::vector<FeatureLook> looks_by_verdict(bool points, bool out_of_reach = false) {
    std::vector<FeatureLook> looks;
    for (const Verdict verdict : verdicts_by_rank) {
        if (!is_yes(verdict) && !(out_of_reach && verdict == Verdict::out_of_reach)) continue;
        const VerdictLook& of_verdict = look(verdict);
        looks.push_back({"verdict", std::to_string(static_cast<int>(verdict)), true,
                         std::string(phrase(verdict)), of_verdict.colour, of_verdict.hatch, !points});
    }
    if (points) looks.push_back({"verdict", "", true, "drop point", exclusion_looks[0].colour, Hatch::none});
    return looks;
}

/// The looks of swinging circles, by verdict: outlines alone, for they lie on zones and over each other.
inline std::vector<FeatureLook> looks_of_circles(bool out_of_reach = false) {
    std::vector<FeatureLook> looks = looks_by_verdict(false, out_of_reach);
    for (FeatureLook& look : looks) {
        look.hatch = Hatch::none;
        look.filled = false;
    }
    return looks;
}

/// The looks of ways in, by when they are open.
inline std::vector<FeatureLook> looks_of_ways() {
    return {{"open", "always", false, "way in at every level of the stay", {75, 0, 130}, Hatch::none},
            {"open", "", false, "way in while the water is high enough", {190, 0, 60}, Hatch::none}};
}

/// The looks of exclusions, by what they forbid.
inline std::vector<FeatureLook> looks_by_prohibition() {
    std::vector<FeatureLook> looks;
    for (const ExclusionLook& of_exclusion : exclusion_looks) {
        looks.push_back({"forbids", std::string(of_exclusion.forbids), false, std::string(of_exclusion.label),
                         of_exclusion.colour, of_exclusion.hatch});
    }
    return looks;
}

/// The look of a value of the looks' column; null where none fits.
inline const FeatureLook* look_of(const std::vector<FeatureLook>& looks, std::string_view value) {
    for (const FeatureLook& look : looks) {
        if (look.is_number && !look.value.empty() ? value == look.value : value.starts_with(look.value)) {
            return &look;
        }
    }
    return nullptr;
}

} // namespace swingroom
