#pragma once

#include "swingroom/sea/georeference.hpp"
#include "swingroom/sea/hazard_extent.hpp"
#include "swingroom/water/instant.hpp"

#include <optional>
#include <string>
#include <vector>

namespace swingroom::cli {

/// "route.gpx, within 2 nm": a corridor along a way.
struct GivenCorridor {
    std::string file;    ///< as it is written
    double within_m = 0; ///< more than 0
};
/// @param where  what gives it   @throws InputError
GivenCorridor parse_along(const std::string& text, const std::string& where);

/// A stay that a file tells of.
struct StayPlace {
    std::string name;              ///< as stay_name() has it
    LonLat position;               ///< of its point; of a stretch not known
    std::optional<ClockTime> time; ///< of arrival; nothing: the file does not say
};
/// The points of the one route of a GPX file, or its way points where it has no route; those without a name
/// are called after their number.
/// @throws InputError  there is none, or more than one route; a name cannot be one or is there twice
/// @throws IoError
std::vector<StayPlace> places_of_route(const std::string& file);

/// Stretches of a corridor, as windows that hold all of it together.
struct Stretch {
    std::string name; ///< "Along 03"
    LonLatBox window;
};
/// Along the one route of a GPX file, or along its tracks where it has no route, each as long as four times
/// the distance or shorter: longer ones would have windows that reach much farther than the corridor.
/// @throws InputError  there is none, more than one route, or a way so long that it would be 200 or more
/// @throws IoError
std::vector<Stretch> stretches_along(const std::string& file, double within_m);

} // namespace swingroom::cli
