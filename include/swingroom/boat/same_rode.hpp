#pragma once

#include "swingroom/base/rounding.hpp"
#include "swingroom/boat/rode_tables.hpp"
#include "swingroom/boat/way_needs.hpp"

#include <cstddef>
#include <cstdint>

namespace swingroom {

/// A length of rode that a way takes, looked up once, and what places where it does need: neighbours mostly
/// take the same. Its functions are without calls and branches, so that loops over cells vectorise.
class SameRode {
public:
    /// @param tables, table  outlive it   @param high_m  the span at high water of such a place, within the
    /// deepest of the table
    SameRode(const RodeTables& tables, const WayTable& table, double high_m)
        : tackle_(tables.tackle), grading_(tables.steps.radius), at_(table.row_of(high_m)),
          row_(table.rows[at_]), radius_m_(table.radius_m.data() + row_.radius_at) {}

    /// 1 if it is the one for such a depth, too, else 0.
    [[nodiscard]] int serves(double depth_deep_m) const {
        const double high_m = tackle_.high_span_m(depth_deep_m);
        return static_cast<int>(row_.span_above_m < high_m) & static_cast<int>(high_m <= row_.span_limit_m);
    }
    /// How many steps of its table of radii such a place lies above the deepest that it serves.
    [[nodiscard]] std::uint32_t radius_steps(double depth_shoal_m) const {
        return row_.radius.steps_below(grading_, tackle_.low_span_m(depth_shoal_m));
    }
    /// WayNeeds::radius_m there.
    [[nodiscard]] float radius_m(std::uint32_t radius_steps) const {
        return radius_m_[grading_.bin(radius_steps)];
    }
    /// WayNeeds::ground_m of such a place.
    [[nodiscard]] float ground_m(double depth_shoal_m) const {
        return narrow_up(row_.rode_m - tackle_.low_span_m(depth_shoal_m) + tackle_.ground_allowance_m());
    }
    /// What such a place needs, its radii being known.
    [[nodiscard]] WayNeeds needs(float radius_m, float ground_m) const {
        return {row_.rode_up_m, radius_m, ground_m, WayNeeds::Out::none, static_cast<std::uint32_t>(at_)};
    }
    /// The same by its depth.
    [[nodiscard]] WayNeeds needs(double depth_shoal_m) const {
        return needs(radius_m(radius_steps(depth_shoal_m)), ground_m(depth_shoal_m));
    }

private:
    const Tackle& tackle_;
    const BinGrading& grading_;
    std::size_t at_;
    const RodeRow& row_;
    const float* radius_m_; ///< by its bins
};

} // namespace swingroom
