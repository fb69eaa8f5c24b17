#pragma once

#include "swingroom/boat/seabed.hpp"
#include "swingroom/room/effect.hpp"
#include "swingroom/room/shape.hpp"
#include "swingroom/water/levels.hpp"

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace swingroom {

struct Boat;

/// What a hull needs of the water over a hazard and of the air under one, metres; levels above chart datum.
struct HullNeeds {
    /// What the hull asks for between surface and seabed, and the lowest level of the stay.
    double required_depth_m = 0, low_water_m = 0;
    double air_draught_m = 0; ///< 0: not known, then nothing overhead is high enough
    /// The highest level of the stay, when there is the least height under a bridge or a cable.
    double high_water_m = 0;
    /// Level that charted clearances are given over: a high water. 0, chart datum itself, is never too high.
    double clearance_datum_m = 0;

    /// @param least_depth_m  over the hazard, below chart datum, its uncertainty taken off
    [[nodiscard]] bool clears_below(double least_depth_m) const {
        return least_depth_m + low_water_m >= required_depth_m;
    }
    /// @param clearance_m  above the level that clearances are given over
    [[nodiscard]] bool clears_above(double clearance_m) const {
        return air_draught_m > 0 && clearance_m + clearance_datum_m - high_water_m >= air_draught_m;
    }
};

/// What a boat at these levels needs.
HullNeeds hull_needs(const Boat& boat, const WaterLevels& water);

/// One hazard: where it is, and what it means, whoever comes there. Whether its depth is a danger is decided
/// by effects_on() where boat and level are known.
struct Hazard : Shape {
    Effects effects = 0;          ///< of the rule, on a hull that needs any depth and any height
    std::optional<Seabed> seabed; ///< what the ground is inside it, if the hazard says that
    /// Least depth over it, metres below chart datum, its uncertainty taken off; none: not known.
    std::optional<double> least_depth_m;
    /// Clear height under it, metres above the level that clearances are given over; none: not known.
    std::optional<double> clearance_m;
    /// How far it may lie beside its charted place, in metres: by what it states itself, and by its zone of
    /// confidence, whether or not that widens its margin; none: nobody says.
    std::optional<double> position_m;
    /// How near a hull may come under way, in metres, in the place of the margin, which is for who swings
    /// there all night; none: as the margin. Negative infinity: she may pass through, since what is forbidden
    /// is to lie there.
    std::optional<double> under_way_m;
    std::string kind;        ///< name of the rule: "cable", "wreck", ...
    std::string label;       ///< layer and feature for messages: "cables #12"
    std::string called;      ///< the name that it bears: "Old Anvil"; mostly empty
    std::string information; ///< what chart and skipper say of it in words
    /// What a note says of the ground, in the chart's terms: "soft mud and shells". Empty: it is no note.
    std::string nature;
};

/// Whether there is a hull to which a hazard is no danger, though it is one to others.
[[nodiscard]] inline bool hull_decides(const Hazard& hazard) {
    return (hazard.effects & effect::hull) != 0 && (hazard.least_depth_m || hazard.clearance_m);
}

/// What a hazard does to a hull: all that its rule says, but that a hull need not avoid what it clears.
[[nodiscard]] inline Effects effects_on(const Hazard& hazard, const HullNeeds& hull) {
    const bool clears = (hazard.least_depth_m && hull.clears_below(*hazard.least_depth_m)) ||
                        (hazard.clearance_m && hull.clears_above(*hazard.clearance_m));
    return clears ? static_cast<Effects>(hazard.effects & ~effect::hull) : hazard.effects;
}

/// The same where a hull may not be asked about: then it clears nothing.
[[nodiscard]] inline Effects effects_on(const Hazard& hazard, const std::optional<HullNeeds>& hull) {
    return hull ? effects_on(hazard, *hull) : hazard.effects;
}

/// The same of each of several.
[[nodiscard]] std::vector<Effects> effects_on(std::span<const Hazard> hazards, const HullNeeds& hull);

} // namespace swingroom
