#pragma once

#include "swingroom/room/hazard.hpp"
#include "swingroom/sea/georeference.hpp"

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace swingroom {

/// A feature that endangers something, seen from a position.
struct NearbyHazard {
    /// A rule that speaks of it.
    struct Kind {
        /// The rule's name, as in Hazard::kind: "cable".
        std::string name;
        /// The greatest margin that the rule gives to any piece of the feature, in metres.
        double margin_m = 0;
    };
    std::vector<Kind> kinds; ///< each once, in the order of the rules
    std::string label;       ///< layer and feature: "cables #3"; empty if it has none
    /// Geodesic distance to the feature itself, not to its margin, on WGS 84; 0 inside of an area. What the
    /// feature was simplified or reprojected by (its placement allowance, centimetres as a rule) is not taken
    /// off.
    double distance_m = 0;
    double bearing_deg = 0;  ///< true, to its nearest point, [0, 360); meaningless at 0 m
    std::string information; ///< what the chart says of it in words; mostly empty
};

/// So many features that endanger nothing are listed among those that do: the nearest.
inline constexpr std::size_t most_warnings = 2;

/// The features nearest to a position, the nearest first: before them all areas that it lies in, which are no
/// nearer to it than to any other position in them and take nobody's place. A feature under several rules is
/// listed once, with all of them; one that goes on in the next chart, with the same rules, name and words, is
/// not listed again beside the part that the position lies in. Only hazards with one of the effects
/// `effect::shown` count.
/// @param hull      whom they endanger; none: any
/// @param within_m  no further than this, up to some 10 km   @param most  how many beside these areas at
/// the most, and besides them of those that no more than warn `most_warnings`
std::vector<NearbyHazard> nearby_hazards(std::span<const Hazard> hazards,
                                         const std::optional<HullNeeds>& hull,
                                         const Georeference& georeference, LonLat from, double within_m,
                                         std::size_t most);

/// What the chart notes of the ground near a position.
struct SeabedNote {
    std::string nature;                     ///< in the chart's terms: "soft mud and shells"
    std::string label;                      ///< layer and feature: "SBDARE #3"
    double distance_m = 0, bearing_deg = 0; ///< as those of a NearbyHazard
};

/// The nearest notes, the nearest first: hazards of `effect::note`.
/// @param within_m, most  as above
std::vector<SeabedNote> nearest_notes(std::span<const Hazard> hazards, const Georeference& georeference,
                                      LonLat from, double within_m, std::size_t most);

} // namespace swingroom
