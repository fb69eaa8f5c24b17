#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/sea/bathymetry.hpp"

#include "base/byte_stream.hpp"

#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <vector>

namespace swingroom {

/// Which planes a source of depths fills beside shoal and deep: always the same ones.
struct PlanesFilled {
    bool source = false, banded = false, differs = false; ///< by DepthSource::read
    bool partial = false, joined = false;                 ///< by DepthSource::read_with_parts

    /// What was filled by read_with_parts() into planes that had no window before.
    static PlanesFilled of(const DepthPlanes& with_parts);
    friend bool operator==(const PlanesFilled&, const PlanesFilled&) = default;
};

template <class Bytes>
void pass(Bytes& bytes, Passed<Bytes, PlanesFilled>& filled) {
    pass_all(bytes, filled.source, filled.banded, filled.differs, filled.partial, filled.joined);
}

/// Packs planes without any loss, to the bit.
///
/// Depths come in steps, a survey's in centimetres and a chart's in those of its areas, so that a tile holds
/// few pairs of a shoal and a deep side: these are numbered in their order, and of each cell it is kept by
/// how much its number differs from its neighbour's. Where there are too many pairs the differences of the
/// floats themselves are kept, as whole numbers in their order. What remains is compressed.
class DepthPacking {
public:
    /// More cells than this are not packed at once.
    static constexpr std::size_t most_cells = std::size_t{1} << 22U;

    /// @param filled  those that are kept; each has the window of the depths   @pre at most `most_cells`
    std::vector<std::uint8_t> pack(const DepthPlanes& depths, const PlanesFilled& filled);

private:
    void number_pairs(const DepthPlanes& depths);
    bool pack_pairs();
    void pack_floats(const DepthPlanes& depths);

    /// A hash table of the pairs of sides that were met in a tile: their numbers plus 1, 0 where there is
    /// none.
    std::vector<std::uint32_t> table_;
    std::vector<std::uint64_t> pairs_;   ///< by number, as they were met
    std::vector<std::uint16_t> numbers_; ///< of the cells
    std::vector<std::uint16_t> ranks_;   ///< of the pairs in their order, by number
    std::size_t cols_ = 0;
    std::vector<std::uint8_t> raw_;  ///< what is compressed
    std::vector<std::uint8_t> room_; ///< where it is compressed into
};

/// The planes of a window, of which those that are not filled have none.
/// @param name  of the file, for messages   @throws IoError  they are not what pack() made
void unpack(std::span<const std::uint8_t> packed, Window window, const PlanesFilled& filled,
            DepthPlanes& depths, const std::string& name);

} // namespace swingroom
