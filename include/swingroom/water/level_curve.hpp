#pragma once

#include "swingroom/water/instant.hpp"

#include <string>
#include <vector>

namespace swingroom {

/// A high or low water.
struct Turn {
    Instant time;
    double height_m = 0; ///< above chart datum
    bool high = false;
};

/// Between which heights the water stands during a span, in metres above chart datum.
struct LevelBounds {
    double least_m = 0, greatest_m = 0;
};

/// The predicted level of the water over time, in metres above chart datum, with the error that its own form
/// brings in: what a table leaves out between its turns, a series between its heights. How far the water may
/// stand off any prediction is no part of it.
class LevelCurve {
public:
    LevelCurve() = default;
    LevelCurve(const LevelCurve&) = default;
    LevelCurve(LevelCurve&&) = default;
    LevelCurve& operator=(const LevelCurve&) = default;
    LevelCurve& operator=(LevelCurve&&) = default;
    virtual ~LevelCurve() = default;

    /// The first moment that it tells; before it nothing is known.
    [[nodiscard]] virtual Instant first() const = 0;
    /// The last one.
    [[nodiscard]] virtual Instant last() const = 0;
    /// The prediction, for people: no bound.   @pre first() <= at <= last()
    [[nodiscard]] virtual double height_m(Instant at) const = 0;
    /// Bounds of each whole minute from `from` on: element i holds from minute i to minute i + 1, both ends
    /// in.
    /// @pre first() <= from, from + minutes <= last(), minutes >= 0
    [[nodiscard]] virtual std::vector<LevelBounds> by_minute(Instant from, int minutes) const = 0;
    /// High and low waters within a span, both ends in.   @pre first() <= from <= to <= last()
    [[nodiscard]] virtual std::vector<Turn> turns(Instant from, Instant to) const = 0;
    /// How the bounds come about, in a sentence for people.
    [[nodiscard]] virtual std::string bounds_text() const = 0;
};

} // namespace swingroom
