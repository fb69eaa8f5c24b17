#pragma once

#include "swingroom/overlay/access.hpp"

#include <cstdint>
#include <limits>
#include <optional>
#include <vector>

namespace swingroom {

/// How a place stands to the way in, during a stay.
enum class Reach : std::uint8_t {
    unknown,  ///< it is not known where the way in begins
    always,   ///< a way leads there at every level of the stay
    at_times, ///< only while the water stands high enough
    never     ///< at no level of the stay
};

/// What is known of the way in: where it begins, and at which level of the water each cell is reached.
struct WayIn {
    UnderWay needs;
    /// The job that it was looked for by: over all of the raster. Not null where `access` is something; it
    /// outlives this.
    const OverlayJob* job = nullptr;
    /// Nothing: it is not known where the way in begins, or how wide it has to be.
    std::optional<AccessLevels> access;
    std::vector<GridCell> places; ///< where it begins; empty: on the rim
    /// The lowest level of the stay, and the highest that the water reaches for sure at some time of it,
    /// above chart datum: of a curve the greatest of its lower bounds. Where levels change from place to
    /// place those that the tables are made for.
    float lowest_m = 0, highest_m = 0;
    /// Up to here levels are told apart; above, a cell counts as reached at none. It is the highest level
    /// that the stay may have, though not for sure: what a place out of reach lacks is told up to it.
    float told_up_to_m = std::numeric_limits<float>::infinity();

    /// An access level as it is told.
    [[nodiscard]] float told_m(float access_level_m) const {
        return access_level_m <= told_up_to_m ? access_level_m : std::numeric_limits<float>::infinity();
    }
    /// @param access_level_m  of AccessLevels::levels()
    [[nodiscard]] Reach reach(float access_level_m) const {
        if (!access) return Reach::unknown;
        if (access_level_m <= lowest_m) return Reach::always;
        return access_level_m <= highest_m ? Reach::at_times : Reach::never;
    }
};

/// How a cell stands to the way in.
struct PlaceReach {
    Reach reach = Reach::unknown;
    /// The level above chart datum from which on she gets there; infinite: at none; NaN: not known.
    float access_level_m = std::numeric_limits<float>::quiet_NaN();
};

/// That of a cell.   @param job  with a way in
PlaceReach reach_of(const OverlayJob& job, GridCell cell);

} // namespace swingroom
