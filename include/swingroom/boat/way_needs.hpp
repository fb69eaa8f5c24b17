#pragma once

#include "swingroom/boat/seabed.hpp"

#include <cstdint>
#include <limits>

namespace swingroom {

/// What one way to lie asks for at one place.
struct WayNeeds {
    float rode_m = 0;   ///< to veer, rounded up to the marks
    float radius_m = 0; ///< swinging radius with all allowances, for the hull; rounded up
    float ground_m = 0; ///< ground sweep radius with its allowances; rounded up
    /// Why this way is not to be had here whatever the room; the lengths are then 0, but for rode, where
    /// rode_m is the rode that would be needed.
    /// As wide as a length: a struct without padding is copied in one piece, for every cell.
    enum class Out : std::uint32_t { none, rode, unavailable } out = Out::none;
    std::uint32_t row = 0; ///< the tables' own: where they found it
    /// Of a way that is to be had by the sounder alone: the greatest reading, to chart datum, at which it is,
    /// rounded down; the lengths then are the greatest of all readings. NaN else.
    float sounder_limit_m = std::numeric_limits<float>::quiet_NaN();
    /// Whether there is such a limit: false also where the way is out.
    [[nodiscard]] bool by_sounder() const { return sounder_limit_m == sounder_limit_m; }
};

/// Lies of a way that are known of a row of cells, each quantity by itself, in metres.
struct LiesOfRow {
    const WayNeeds* needs = nullptr;
    /// Chart depths less their uncertainty and plus it, and the rooms.
    const float *shoal_m = nullptr, *deep_m = nullptr, *hull_room_m = nullptr, *ground_room_m = nullptr;
    const Seabed* seabed = nullptr;
};

/// What stands behind a WayNeeds, for one place: printed by `spot` and by the boat's own table.
struct WayDetail {
    WayNeeds needs;               ///< as needs() gives it; the rest is 0 where the way is out
    double sinker_from_bow_m = 0; ///< down the rode from the roller; 0 for the ways without
    double pull_n = 0;            ///< horizontal, at the planned wind with its gusts
    double reach_m = 0;      ///< by statics at that pull at low water, rope stretched; no allowance in it
    double taut_reach_m = 0; ///< the same with the rode straight, at the greatest pull that the anchor holds
    double angle_deg = 0;    ///< of the pull at the anchor, at high water
    double tension_n = 0;    ///< at the roller, at high water
    double grounded_m = 0;   ///< rode on the seabed, at high water
    double angle_limit_kn = 0; ///< greatest mean wind with the angle within the allowed one
};

} // namespace swingroom
