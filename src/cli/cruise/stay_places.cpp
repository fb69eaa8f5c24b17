#include "cli/cruise/stay_places.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/measures.hpp"
#include "swingroom/sea/lonlat_windows.hpp"
#include "swingroom/sea/routes.hpp"

#include "base/text.hpp"
#include "cli/cruise/cruise_text.hpp"
#include "cli/options/area_options.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <string_view>

namespace swingroom::cli {
namespace {

constexpr double stretch_per_distance = 4;
constexpr std::size_t most_stretches = 200;

/// The one route of a file that has points; none where it has no route at all.
const Route* only_route(const RouteFile& found, const std::string& file) {
    const Route* only = nullptr;
    for (const Route& route : found.routes) {
        if (route.points.empty()) continue;
        if (only) {
            throw InputError(file, "holds more than one route", "export the one that is meant by itself");
        }
        only = &route;
    }
    return only;
}

/// The way of a corridor.
std::vector<LonLat> way_in(const RouteFile& found, const std::string& file) {
    std::vector<LonLat> way;
    if (const Route* const route = only_route(found, file)) {
        for (const RoutePoint& point : route->points) {
            way.push_back(point.position);
        }
        return way;
    }
    for (const std::vector<LonLat>& track : found.tracks) {
        way.insert(way.end(), track.begin(), track.end());
    }
    if (way.empty()) throw InputError(file, "holds no route and no track", "export the way as a route");
    return way;
}

/// "7", "07" of 12.
std::string number_of(std::size_t number, std::size_t all) {
    const std::string text = std::to_string(number);
    return std::string(std::to_string(all).size() - text.size(), '0') + text;
}

} // namespace

GivenCorridor parse_along(const std::string& text, const std::string& where) {
    constexpr std::string_view within_word = "within ";
    const std::size_t comma = text.rfind(',');
    const std::string_view behind =
        comma == std::string::npos ? std::string_view() : trimmed(std::string_view(text).substr(comma + 1));
    const std::string file(trimmed(std::string_view(text).substr(0, std::min(comma, text.size()))));
    if (file.empty() || !behind.starts_with(within_word)) {
        throw InputError(where, swingroom::quoted(text) + " does not say a file and how far off it",
                         "give both, as in along = route.gpx, within 2 nm");
    }
    return {file, parse_distance_m(std::string(trimmed(behind.substr(within_word.size()))), where)};
}

std::vector<StayPlace> places_of_route(const std::string& file) {
    const RouteFile found = read_routes(file);
    const Route* const route = only_route(found, file);
    const std::vector<RoutePoint>& points = route ? route->points : found.way_points;
    if (points.empty()) {
        throw InputError(file, "holds no route and no way points", "export the stays as a route");
    }
    std::vector<StayPlace> places;
    std::vector<std::string> names;
    for (const RoutePoint& point : points) {
        const std::string number = number_of(places.size() + 1, points.size());
        names.push_back(trimmed(point.name).empty() ? "Point " + number : stay_name(point.name, file));
        places.push_back({names.back(), point.position, point.time});
    }
    refuse_names_twice(names, file);
    return places;
}

std::vector<Stretch> stretches_along(const std::string& file, double within_m) {
    const std::vector<LonLat> way = way_in(read_routes(file), file);
    const double length_m = length_of_way_m(way), wanted = length_m / (stretch_per_distance * within_m);
    if (wanted > static_cast<double>(most_stretches)) {
        throw InputError(file,
                         "is a way of " + fixed(length_m / 1852, 0) + " nm, which would be " +
                             fixed(std::ceil(wanted), 0) + " stays",
                         "look farther off it, or export less of it: at most 200 will do");
    }
    const auto count = static_cast<std::size_t>(std::max(1.0, std::ceil(wanted)));
    std::vector<Stretch> stretches;
    for (const LonLatBox& window : windows_along(way, within_m, count)) {
        stretches.push_back({"Along " + number_of(stretches.size() + 1, count), window});
    }
    return stretches;
}

} // namespace swingroom::cli
