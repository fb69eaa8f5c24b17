#pragma once

#include "swingroom/water/stay.hpp"

#include <array>
#include <cstddef>
#include <vector>

namespace swingroom {

/// Stay::hours_afloat() for millions of levels: the same hours, found without a search through the stay.
class HoursTable {
public:
    explicit HoursTable(const Stay& stay);

    /// How long the water stands at a level or above it for sure, in hours, rounded down.
    /// @param level_m  above chart datum; may be infinite
    [[nodiscard]] float hours(double level_m) const;

private:
    static constexpr std::size_t steps = 4096;
    /// Rises with the level, however it is rounded.
    [[nodiscard]] std::size_t step_of(double level_m) const;

    std::vector<double> falling_m_; ///< lower bounds of the minutes, the highest first
    double lowest_m_ = 0, steps_per_m_ = 0;
    /// How many minutes are of a higher step; one more than there are steps, the last of which is 0.
    std::array<std::size_t, steps + 1> above_{};
};

} // namespace swingroom
