#pragma once

#include "swingroom/boat/boat.hpp"
#include "swingroom/water/level_curve.hpp"

#include <limits>

namespace swingroom {

/// What the echo sounder reads at a place at a moment, in metres; its own error is told beside it.
struct SounderReading {
    /// From the shoal side of the depth at the lower bound of the level to its deep side at the upper one,
    /// never below 0. The greatest is infinite where the deep edge is not charted; both are NaN where nothing
    /// is known of the depth.
    double least_m = std::numeric_limits<double>::quiet_NaN(),
           greatest_m = std::numeric_limits<double>::quiet_NaN();
    /// The likeliest: from the middle of the depth and the likeliest level. NaN where there is no such
    /// middle: the depth is a band of a chart, or nothing is known of it.
    double predicted_m = std::numeric_limits<double>::quiet_NaN();
    double error_m = 0; ///< so much less than the least, or more than the greatest, it may show as well
    /// Nobody says how deep the transducer is: these are depths of the water, and the sounder shows less.
    bool of_water = false;

    /// Whether anything is known of it.
    [[nodiscard]] bool known() const { return least_m == least_m; }
};

/// @param shoal_m, deep_m  chart depth less and plus all that it may be off, as in CellFacts; NaN: unsurveyed
/// @param level  of the water at the moment, above chart datum
SounderReading sounder_reading(double shoal_m, double deep_m, const LevelBounds& level,
                               const Sounder& sounder);

/// The most that the sounder may show at a moment where a way is a yes by the sounder up to a limit: where it
/// shows no more, the depth is no more than the limit and Boat::reading_error_m(). It is the limit and the
/// middle of the level's bounds, less the transducer's depth; where the level is known less well than
/// Policy::level_error_m has it, not its middle but what is so much above its lower bound.
/// @param limit_m  SounderRun::limit_m, to chart datum; NaN: there is none
/// @returns metres; NaN where there is no limit; of the water where nobody says how deep the transducer is
double sounder_may_show_m(double limit_m, const LevelBounds& level, const Boat& boat);
/// The level that this counts with, above chart datum. Whoever takes a reading to chart datum by it is off by
/// no more than Policy::level_error_m, where the level is known as well as that.
double counted_level_m(const LevelBounds& level, const Boat& boat);

/// The height of the water that a reading is compared with where a limit to chart datum is told as what the
/// sounder shows: the level less how deep the transducer is, if that is known.
double shown_above_datum_m(double level_m, const Sounder& sounder);

} // namespace swingroom
