#include "overlay/extremes.hpp"

#include "room/vectorised.hpp"

#include <algorithm>
#include <bit>
#include <cstdint>

namespace swingroom {
namespace {

/// A whole number that is the greater the greater the float is, and back again: of whole numbers the least
/// is found in wide vectors, of floats one after another.
std::int32_t rank_of(float value) {
    const auto bits = std::bit_cast<std::int32_t>(value);
    return bits ^ ((bits >> 31) & 0x7fffffff);
}
float of_rank(std::int32_t rank) { return std::bit_cast<float>(rank ^ ((rank >> 31) & 0x7fffffff)); }

} // namespace

SWINGROOM_VECTORISED Extremes extremes_of(const float* values, std::size_t count) {
    const Extremes none;
    std::int32_t least = rank_of(none.least), most = rank_of(none.most);
    for (std::size_t i = 0; i < count; ++i) {
        const std::int32_t rank = rank_of(values[i]);
        least = std::min(least, rank);
        most = std::max(most, rank);
    }
    return {of_rank(least), of_rank(most)};
}

} // namespace swingroom
