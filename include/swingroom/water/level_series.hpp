#pragma once

#include "swingroom/water/level_curve.hpp"

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace swingroom {

/// The level by a series of heights at most an hour apart, joined by straight lines. At low water a straight
/// line lies above the tide, at high water below it, by up to an eighth of the greatest second difference of
/// the heights; a tenth more is taken, since that difference is itself seen at the heights alone (by 5 % too
/// small at most, in a year at five stations).
class LevelSeries final : public LevelCurve {
public:
    /// A height at a moment.
    struct Height {
        Instant time;
        double height_m = 0; ///< above chart datum
    };

    /// @param heights  at least three, in the order of time; no step over an hour, nor over one and a half
    /// times
    ///                 the commonest
    /// @param half_digit_m  half of the last digit of the heights
    /// @throws InputError  naming `where` and the moment at fault
    /// @param zone  of the clock that messages tell times by
    LevelSeries(std::vector<Height> heights, double half_digit_m, std::string_view where,
                ZoneOffset zone = ZoneOffset(0));

    [[nodiscard]] Instant first() const override { return heights_.front().time; }
    [[nodiscard]] Instant last() const override { return heights_.back().time; }
    [[nodiscard]] double height_m(Instant at) const override;
    [[nodiscard]] std::vector<LevelBounds> by_minute(Instant from, int minutes) const override;
    /// Of the heights as given: a turn is the first of the highest, or lowest, of them.
    [[nodiscard]] std::vector<Turn> turns(Instant from, Instant to) const override;
    [[nodiscard]] std::string bounds_text() const override;

    /// How far the true level may lie off the straight lines, in metres.
    [[nodiscard]] double slack_m() const { return slack_m_; }

private:
    [[nodiscard]] std::size_t step_of(Instant at) const;

    std::vector<Height> heights_;
    double slack_m_ = 0;
};

} // namespace swingroom
