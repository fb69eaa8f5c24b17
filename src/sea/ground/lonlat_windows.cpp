#include "swingroom/sea/lonlat_windows.hpp"

#include "swingroom/base/measures.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace swingroom {
namespace {

// WGS 84 (EPSG:7030).
constexpr double equator_radius_m = 6378137, flattening = 1 / 298.257223563;
constexpr double eccentricity2 = flattening * (2 - flattening);

constexpr double steps_per_degree = 1e6;
/// What geodesics and sums of degrees may be off by; far below a step.
constexpr double rounding_tolerance_deg = 1e-9;

double radians(double degrees) { return degrees * std::numbers::pi / 180; }

/// The radius of a circle of latitude. It falls towards the poles.
double parallel_radius_m(double lat) {
    const double sine = std::sin(radians(lat));
    return equator_radius_m * std::cos(radians(lat)) / std::sqrt(1 - eccentricity2 * sine * sine);
}

/// The latitude that a geodesic of that length reaches at most: along the meridian no degree is longer than
/// the way to it.
/// @param pole  90 or -90
double reached_lat(LonLat from, double distance_m, double pole) {
    if (geodesic(from, {from.lon, pole}).distance_m <= distance_m) return pole;
    return destination(from, pole > 0 ? 0 : 180, distance_m).lat;
}

/// How many degrees of longitude a geodesic of that length passes at most: as many as it would on the
/// smallest circle of latitude that it meets. 180 where it may get around a pole.
double reached_lon(double distance_m, double greatest_lat) {
    if (greatest_lat >= 90) return 180;
    return std::min(180.0, distance_m / parallel_radius_m(greatest_lat) * 180 / std::numbers::pi);
}

/// Around a circle, to the last digit of what is reckoned; longitudes as the centre's.
LonLatBox exact_window(LonLat centre, double radius_m) {
    const double south = reached_lat(centre, radius_m, -90), north = reached_lat(centre, radius_m, 90);
    const double half_deg = reached_lon(radius_m, std::max(std::abs(south), std::abs(north)));
    return {centre.lon - half_deg, south, centre.lon + half_deg, north};
}

LonLatBox united(const LonLatBox& a, const LonLatBox& b) {
    return {std::min(a[0], b[0]), std::min(a[1], b[1]), std::max(a[2], b[2]), std::max(a[3], b[3])};
}

double outwards_down(double degrees) {
    return std::floor((degrees - rounding_tolerance_deg) * steps_per_degree) / steps_per_degree;
}
double outwards_up(double degrees) { return -outwards_down(-degrees); }

/// Outwards to whole steps, and in the turn in which windows are told.
LonLatBox told_window(const LonLatBox& exact) {
    const double south = std::max(-90.0, outwards_down(exact[1])),
                 north = std::min(90.0, outwards_up(exact[3]));
    const double west = outwards_down(exact[0]), east = outwards_up(exact[2]);
    if (east - west >= 360) return {-180, south, 180, north};
    const double turn_deg = 360 * std::floor((west + 180) / 360);
    return {west - turn_deg, south, east - turn_deg, north};
}

/// A position in the turn of 360 degrees that brings it nearest to another.
LonLat beside(LonLat position, LonLat other) {
    return {other.lon + std::remainder(position.lon - other.lon, 360), position.lat};
}

} // namespace

LonLatBox window_around(LonLat centre, double radius_m) {
    return told_window(exact_window(centre, radius_m));
}

double length_of_way_m(std::span<const LonLat> way) {
    double length_m = 0;
    for (std::size_t i = 1; i < way.size(); ++i) {
        length_m += geodesic(way[i - 1], way[i]).distance_m;
    }
    return length_m;
}

std::vector<LonLatBox> windows_along(std::span<const LonLat> way, double within_m, std::size_t stretches) {
    // No point of the way is farther than half a step from one of the points on it that circles are drawn
    // around: these are so much greater.
    const double step_m = within_m / 8, radius_m = within_m + step_m / 2;
    const double stretch_m = length_of_way_m(way) / static_cast<double>(stretches);
    std::vector<LonLatBox> windows;
    LonLat last = way.front();
    const auto add = [&](LonLat point, double from_start_m) {
        last = beside(point, last);
        const LonLatBox circle = exact_window(last, radius_m);
        const double stretches_before = stretch_m > 0 ? std::floor(from_start_m / stretch_m) : 0;
        const std::size_t stretch = std::min(stretches - 1, static_cast<std::size_t>(stretches_before));
        if (windows.size() <= stretch) {
            windows.resize(stretch + 1, circle);
        } else {
            windows.back() = united(windows.back(), circle);
        }
    };
    add(way.front(), 0);
    double before_m = 0;
    for (std::size_t i = 1; i < way.size(); ++i) {
        const Geodesic leg = geodesic(way[i - 1], way[i]);
        const double steps = std::max(1.0, std::ceil(leg.distance_m / step_m));
        for (double step = 1; step <= steps; ++step) {
            const double on_leg_m = leg.distance_m * step / steps;
            add(destination(way[i - 1], leg.azimuth_deg, on_leg_m), before_m + on_leg_m);
        }
        before_m += leg.distance_m;
    }
    std::transform(windows.begin(), windows.end(), windows.begin(), told_window);
    return windows;
}

std::string bounds_text(const LonLatBox& window) {
    const auto degrees = [](double value) { return fixed(value, 6); };
    const double east = window[2] > 180 ? window[2] - 360 : window[2];
    return degrees(window[0]) + "," + degrees(window[1]) + "," + degrees(east) + "," + degrees(window[3]);
}

} // namespace swingroom
