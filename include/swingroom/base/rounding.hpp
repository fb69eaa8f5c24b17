#pragma once

#include <cmath>
#include <limits>

namespace swingroom {

/// Narrows a double to a float and never makes it larger: for rooms, spares, depths for the keel, wind
/// limits. One last digit upwards could be a false yes.
inline float narrow_down(double v) {
    const auto f = static_cast<float>(v);
    return static_cast<double>(f) > v ? std::nextafter(f, -std::numeric_limits<float>::infinity()) : f;
}

/// Narrows a double to a float and never makes it smaller: for radii, rodes, margins, depths for the rode.
inline float narrow_up(double v) {
    const auto f = static_cast<float>(v);
    return static_cast<double>(f) < v ? std::nextafter(f, std::numeric_limits<float>::infinity()) : f;
}

} // namespace swingroom
