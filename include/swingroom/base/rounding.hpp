#pragma once

#include <bit>
#include <cstdint>

namespace swingroom {

// The neighbour of a float is one step of its bits away, towards zero or away from it by its sign; unlike
// std::nextafter this has no call and no branch, so that loops over rasters vectorize.

/// Narrows a double to a float and never makes it larger: for rooms, spares, depths for the keel, wind
/// limits. One last digit upwards could be a false yes.
inline float narrow_down(double v) {
    const auto f = static_cast<float>(v);
    const auto bits = std::bit_cast<std::int32_t>(f);
    const std::int32_t step = static_cast<double>(f) > v ? 1 : 0;
    return std::bit_cast<float>(bits < 0 ? bits + step : bits - step);
}

/// Narrows a double to a float and never makes it smaller: for radii, rodes, margins, depths for the rode.
inline float narrow_up(double v) {
    const auto f = static_cast<float>(v);
    const auto bits = std::bit_cast<std::int32_t>(f);
    const std::int32_t step = static_cast<double>(f) < v ? 1 : 0;
    return std::bit_cast<float>(bits < 0 ? bits - step : bits + step);
}

} // namespace swingroom
