#pragma once

#include "swingroom/base/measures.hpp"
#include "swingroom/boat/boat.hpp"
#include "swingroom/boat/rode_figures.hpp"
#include "swingroom/overlay/arrival.hpp"
#include "swingroom/overlay/nearby_hazards.hpp"
#include "swingroom/overlay/overlay.hpp"
#include "swingroom/overlay/position.hpp"
#include "swingroom/overlay/way_in.hpp"
#include "swingroom/report/alternatives.hpp"
#include "swingroom/sea/georeference.hpp"

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace swingroom {

/// A nautical mile: what a skipper looks at around a berth.
inline constexpr double nearby_m = 1852;
/// So many of the nearest hazards are told of at the most: a list for a small screen. Common practice, no
/// source.
inline constexpr std::size_t most_nearby = 5;

/// All that `swingroom spot` says: computed once, written in any format.
struct SpotReport {
    /// The position as it was asked about, in degrees on WGS 84.
    LonLat asked;
    /// What is found of the cell that it lies in, the same as the layers hold there.
    PositionReport cell;
    /// Within nearby_m of the position asked about, the nearest first.
    std::vector<NearbyHazard> nearby;
    std::vector<SeabedNote> notes; ///< as those of the cell, but seen from the position
    /// As that of the cell, but seen from the position.
    std::optional<ExpectedDepth> expected;
    RodeMarks marks;        ///< lengths that are counted by them are told in their unit too
    double low_water_m = 0; ///< above chart datum
    /// Of a place that is no yes, once find_alternatives() has looked for them.
    std::optional<Alternatives> alternatives;
    double transducer_m = 0; ///< how deep it is, which the sounder does not show; 0 where nobody says
    /// The water of the stay over time, which must outlive the report; null: two levels alone are known.
    const StayTide* tide = nullptr;
    std::optional<Arrival> arrival; ///< with `tide`: what to look for when she arrives
    /// What is known of the way in, which must outlive the report; null: nobody looked.
    const WayIn* way_in = nullptr;
};

/// Looks at a position on the raster, and at what lies around it.
/// @param job  its window and wanted layers do not matter   @param georeference  of the raster
/// @pre the position lies on the raster
SpotReport spot_report(const OverlayJob& job, const Georeference& georeference, LonLat position);

/// For people: room, depth for the keel and limits rounded down, needs up, in the unit that is printed.
std::string spot_text(const SpotReport& report, const Measures& measures);
/// For programs: the same figures, in metres and degrees.
std::string spot_json(const SpotReport& report);

} // namespace swingroom
