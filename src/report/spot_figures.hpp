#pragma once

#include "swingroom/base/measures.hpp"
#include "swingroom/overlay/position.hpp"
#include "swingroom/room/judge.hpp"
#include "swingroom/room/verdict.hpp"

#include <cstdint>

/// What text and JSON of a position must not tell differently.
namespace swingroom {

/// Room less need, as both are printed: a lack is that of the printed figures.
struct Spare {
    double value = 0; ///< in the unit of the measures
    bool ground = false;
};
Spare spare_of(const WayAtPosition& at, const CellFacts& facts, const Measures& measures);

/// Not in an area of a chart, whose depth is the same throughout, nor beside a deep edge that is not charted:
/// no seabed of any size is as steep as this.
bool slope_known(const PositionReport& cell);

/// Whether a reason says why the answer is no better: not so those of ways that demand less than the best
/// one.
bool bears_on(std::uint32_t bit, Verdict verdict);

} // namespace swingroom
