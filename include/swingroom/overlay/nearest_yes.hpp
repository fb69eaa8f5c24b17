#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/overlay/overlay.hpp"
#include "swingroom/room/verdict.hpp"
#include "swingroom/sea/georeference.hpp"

#include <cstdint>
#include <limits>
#include <optional>

namespace swingroom {

/// How far a skipper looks for another place: two nautical miles. Common practice, no source.
inline constexpr double yes_within_m = 2 * 1852.0;

/// A cell that is a yes, seen from a position.
struct NearestYes {
    LonLat centre;                 ///< of the cell
    int col = 0, row = 0;          ///< the cell, counted from the raster's first
    Verdict verdict = Verdict::no; ///< its answer, however it stands to the way in
    std::uint16_t advice = 0;      ///< bits of `advice` there
    /// The greatest reading of the sounder that will do there; NaN: any.
    float sounder_limit_m = std::numeric_limits<float>::quiet_NaN();
    /// Geodesic distance from the position to that centre, and the true bearing at the position.
    double distance_m = 0, bearing_deg = 0;
};

/// What was found, and how far was looked.
struct YesSearch {
    /// One that a way leads to at some level of the stay, or may; nothing: none within the distance.
    std::optional<NearestYes> nearest;
    /// One that no way leads to, where it is nearer than that, or there is none else.
    std::optional<NearestYes> out_of_reach;
    /// All cells of the raster whose centre is no further than this were looked at; less than what was asked
    /// for where there are so many cells that it would take long.
    double looked_m = 0;
};

/// The cells within a distance of a position, and what bears on their answers: what has to be known of the
/// sea for nearest_yes().
Window window_around(const GroundMetric& metric, const TackleTables& tables, Window extent, GridPoint at,
                     double within_m);

/// The cell nearest to a position, by its centre, that is a yes, whatever kind of yes; with a way in that she
/// gets to. Squares around the position are run one after the other, each twice as wide as the one before, so
/// that one near by is found at once.
/// @param job  its window and wanted layers do not matter; all of window_around() must be prepared
/// @param within_m  none further than this
YesSearch nearest_yes(const OverlayJob& job, const Georeference& georeference, LonLat from, double within_m);

} // namespace swingroom
