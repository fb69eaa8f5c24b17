#include "publish/raster/cell_digest.hpp"

#include "room/vectorised.hpp"

namespace swingroom {
namespace {

template <class T>
inline std::uint64_t sum_of(const T* cells, const std::uint32_t* weights, std::size_t count) {
    std::uint64_t sum = 0;
    for (std::size_t i = 0; i < count; ++i) {
        sum += static_cast<std::uint64_t>(CellDigest::bits(cells[i])) * weights[i];
    }
    return sum;
}

} // namespace

// Templates cannot be compiled for several processors: one function for each type of cell.

SWINGROOM_VECTORISED std::uint64_t CellDigest::weighted_sum(const float* cells, const std::uint32_t* weights,
                                                            std::size_t count) {
    return sum_of(cells, weights, count);
}
SWINGROOM_VECTORISED std::uint64_t CellDigest::weighted_sum(const std::uint8_t* cells,
                                                            const std::uint32_t* weights, std::size_t count) {
    return sum_of(cells, weights, count);
}
SWINGROOM_VECTORISED std::uint64_t CellDigest::weighted_sum(const std::uint16_t* cells,
                                                            const std::uint32_t* weights, std::size_t count) {
    return sum_of(cells, weights, count);
}
SWINGROOM_VECTORISED std::uint64_t CellDigest::weighted_sum(const std::uint32_t* cells,
                                                            const std::uint32_t* weights, std::size_t count) {
    return sum_of(cells, weights, count);
}

} // namespace swingroom
