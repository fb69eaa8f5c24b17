#pragma once

#include <limits>

namespace swingroom {

/// What may be known of the depth where she lets go, when she reads it off her echo sounder and veers for the
/// reading: chart depth is somewhere between the two sides, and near the reading. A reading is the greatest
/// that the sounder shows within a boat's length around, taken to chart datum. So how the seabed slopes from
/// the transducer to the anchor makes nothing deeper than the reading, which its own error and that of the
/// level alone do; but the place of the anchor may be shoaler by the slope, too.
struct SoundedBand {
    double shoal_m = 0, deep_m = 0; ///< the two sides of the depth, shoal <= deep
    /// How much deeper than a reading the seabed under the anchor may be, and how much shoaler; >= 0.
    double deeper_m = 0, shoaler_m = 0;
};

/// The unbroken run of readings, from the shoal side on, at which a way can be had. Readings are chart
/// depths; the rode for a reading is chosen for the deepest that it may stand for at high water, up to the
/// next mark.
struct SounderRun {
    /// The greatest reading of the run, rounded down: let go only where the sounder shows no more. NaN where
    /// not even the shoal side will do, and what follows then means nothing.
    float limit_m = std::numeric_limits<float>::quiet_NaN();
    float rode_m = 0;   ///< for the greatest reading
    float radius_m = 0; ///< the greatest swinging radius of any reading, rounded up
    float ground_m = 0; ///< the greatest ground sweep of any reading, rounded up
    bool whole = false; ///< the run ends at the deep side: no reading is too deep

    /// Whether there is any reading at which the way can be had: false where the limit is NaN.
    [[nodiscard]] bool any() const { return limit_m == limit_m; }
    /// Whether the way is to be had only where the sounder shows no more than the limit.
    [[nodiscard]] bool conditional() const { return any() && !whole; }
};

} // namespace swingroom
