#pragma once

#include "swingroom/sea/georeference.hpp"
#include "swingroom/water/instant.hpp"

#include <optional>
#include <string>
#include <vector>

namespace swingroom {

/// A point of a route, or a way point by itself.
struct RoutePoint {
    LonLat position;               ///< WGS 84
    std::string name;              ///< as the file has it, which may be anything; empty: it has none
    std::optional<ClockTime> time; ///< of its element `time`, to the second; nothing: it has none
};

/// A route: points in the order in which they are sailed to.
struct Route {
    std::string name;               ///< as the file has it; empty: it has none
    std::vector<RoutePoint> points; ///< two or more in most files
};

/// What a GPX file (version 1.0 or 1.1) says of ways.
struct RouteFile {
    std::vector<Route> routes;               ///< `rte`
    std::vector<RoutePoint> way_points;      ///< `wpt`, in the order of the file
    std::vector<std::vector<LonLat>> tracks; ///< segments of all `trk`, each one way
};

/// Reads a GPX file whole.
/// @throws InputError  no such file, no GPX, a position that is none, a time that cannot be read or is no
/// date
/// @throws IoError     it cannot be read, or not to its end
RouteFile read_routes(const std::string& path);

} // namespace swingroom
