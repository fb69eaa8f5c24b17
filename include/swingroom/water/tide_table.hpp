#pragma once

#include "swingroom/water/level_curve.hpp"

#include <chrono>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace swingroom {

/// How far the water may stand below the cosine between two turns of a table: the greater of a length and a
/// share of that tide's range. The usual 0.1 m and 10 % were never too small in a year at eleven open coasts,
/// by comparison with harmonic predictions; in estuaries and where the tide has a stand the water may lie
/// lower still.
struct CurveAllowance {
    double least_m = 0.1;
    double share_of_range = 0.1;
};

/// The tide by a table of high and low waters. Between two turns the keel is given the cosine less an
/// allowance, never less than the lower of the two, the rode the higher of the two; both widened by half the
/// last digit that the table gives. Where two turns are so far apart that a pair may be missing, no cosine
/// counts, but the lowest and the highest of the turns around, by the allowance.
class TideTable final : public LevelCurve {
public:
    /// @param turns  at least two, in the order of time, high and low in turn
    /// @param half_digit_m  half of the last digit of the heights
    /// @throws InputError  naming `where` and the two turns that are at fault
    /// @param zone  of the clock that messages tell times by
    TideTable(std::vector<Turn> turns, double half_digit_m, CurveAllowance allowance, std::string_view where,
              ZoneOffset zone = ZoneOffset(0));

    [[nodiscard]] Instant first() const override { return turns_.front().time; }
    [[nodiscard]] Instant last() const override { return turns_.back().time; }
    [[nodiscard]] double height_m(Instant at) const override;
    [[nodiscard]] std::vector<LevelBounds> by_minute(Instant from, int minutes) const override;
    [[nodiscard]] std::vector<Turn> turns(Instant from, Instant to) const override;
    [[nodiscard]] std::string bounds_text() const override;

    /// No tide that turns twice a day takes longer from one turn to the next, nor does a diurnal one.
    static constexpr std::chrono::minutes longest_tide = std::chrono::hours(13);

private:
    /// Of the two turns of a tide. Of one that is too long, so that a pair of turns may have been left out in
    /// it, of those around it, too.
    [[nodiscard]] std::pair<double, double> extremes_m(std::size_t tide) const;
    /// The tide that a moment lies in, as the index of its first turn.
    [[nodiscard]] std::size_t tide_of(Instant at) const;
    [[nodiscard]] double cosine_m(std::size_t tide, Instant at) const;
    [[nodiscard]] LevelBounds bounds_in(std::size_t tide, Instant from, Instant to) const;

    std::vector<Turn> turns_;
    double half_digit_m_;
    CurveAllowance allowance_;
};

/// What makes a subordinate station's turns of those of its reference: minutes later, and heights times a
/// ratio, plus a difference. For high and for low waters apart; the heights of both stations are above their
/// datum.
struct StationOffsets {
    struct Offset {
        std::chrono::seconds later{0};
        double ratio = 1, difference_m = 0;
    };
    Offset high, low;
};

/// The turns of a subordinate station.
/// @throws InputError  naming `where`: they would no longer follow each other, high above low
std::vector<Turn> subordinate_turns(const std::vector<Turn>& reference, const StationOffsets& offsets,
                                    std::string_view where, ZoneOffset zone = ZoneOffset(0));

} // namespace swingroom
