#pragma once

#include <cstddef>
#include <limits>

namespace swingroom {

/// The least and the greatest of some values; of none the least is infinite, the greatest negative infinity.
struct Extremes {
    float least = std::numeric_limits<float>::infinity(), most = -std::numeric_limits<float>::infinity();
};

/// Those of neighbours.   @pre no value is NaN
Extremes extremes_of(const float* values, std::size_t count);

} // namespace swingroom
