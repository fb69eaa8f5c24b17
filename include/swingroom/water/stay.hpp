#pragma once

#include "swingroom/water/level_curve.hpp"
#include "swingroom/water/levels.hpp"

#include <string_view>
#include <vector>

namespace swingroom {

/// How far the water may stand off its prediction, by weather above all; both are 0 or more, in metres.
struct LevelAllowances {
    double below_m = 0; ///< under it: for the keel
    double above_m = 0; ///< over it: for rode and clearances
};

/// A time without interruption; whole minutes.
struct TimeWindow {
    Instant from, to;
    /// How long it lasts, in hours.
    [[nodiscard]] double hours() const;
};

/// The water during a stay, as bounds from minute to minute: what is promised of it holds at every moment.
class Stay {
public:
    /// @param arrive, depart  put outwards to whole minutes
    /// @throws InputError  naming `where`: they are not in order, more than a year apart, or not within the
    /// curve
    /// @param zone  of the clock that messages tell times by
    Stay(const LevelCurve& curve, Instant arrive, Instant depart, LevelAllowances allowances,
         std::string_view where, ZoneOffset zone = ZoneOffset(0));

    [[nodiscard]] Instant arrive() const { return arrive_; }
    [[nodiscard]] Instant depart() const { return arrive_ + std::chrono::minutes(minutes()); }
    [[nodiscard]] int minutes() const { return static_cast<int>(by_minute_.size()); }

    /// Lowest and highest level, rounded outwards to centimetres.
    [[nodiscard]] WaterLevels levels() const;
    /// The highest level that the water reaches for sure at some time of it: the greatest of the lower
    /// bounds.
    [[nodiscard]] double highest_sure_m() const { return falling_.front(); }
    /// Bounds at a moment of the stay: those of its minute.
    [[nodiscard]] LevelBounds at(Instant moment) const;

    /// The times at which the water stands at a level or above it for sure.
    [[nodiscard]] std::vector<TimeWindow> windows(double level_m) const;
    /// How long that is, in hours: all windows together. Never more than it is; falls as the level rises.
    [[nodiscard]] double hours_afloat(double level_m) const;

private:
    Instant arrive_;
    std::vector<LevelBounds> by_minute_;
    std::vector<double> falling_; ///< lower bounds of the minutes, the highest first
};

} // namespace swingroom
