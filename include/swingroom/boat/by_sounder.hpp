#pragma once

#include <limits>

namespace swingroom {

/// What may be known of the depth where she lets go, when she reads it off her echo sounder and veers for the
/// reading: chart depth is somewhere between the two sides, and a reading, taken to chart datum, may be off
/// by the error.
struct SoundedBand {
    double shoal_m = 0, deep_m = 0; ///< the two sides of the depth, shoal <= deep
    double error_m = 0;             ///< of a reading, >= 0
};

/// The unbroken run of readings, from the shoal side on, at which a way can be had. Readings are chart
/// depths; the rode for a reading is chosen for that reading and its error at high water, up to the next
/// mark.
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
