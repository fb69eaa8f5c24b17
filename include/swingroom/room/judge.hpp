#pragma once

#include "swingroom/base/rounding.hpp"
#include "swingroom/boat/tables.hpp"
#include "swingroom/room/hazard.hpp"
#include "swingroom/room/verdict.hpp"

#include <algorithm>
#include <array>
#include <cstdint>
#include <limits>

namespace swingroom {

/// All that is known of a cell before it is judged. Depths in metres below chart datum, NaN where unsurveyed.
struct CellFacts {
    float shoal_m = 0, deep_m = 0;
    float hull_room_m = 0, ground_room_m = 0;
    float slope = 0;          ///< rise over run, rounded up
    std::uint8_t effects = 0; ///< bits of `effect` that touch the cell
    Seabed seabed = Seabed::unknown;
};

/// What is said of a cell. The lies hold only where `judged` is true: the cell is surveyed and floats the
/// hull.
struct CellAnswer {
    Verdict verdict = Verdict::unsurveyed;
    std::uint32_t reasons = 0;
    std::uint16_t advice = 0;
    bool judged = false;
    std::array<Lie, all_ways.size()> lies{};
    /// spare_m() of each way; NaN where the way is out.
    std::array<float, all_ways.size()> spare_m{};
};

/// Room less what a way needs of it, the worse of hull and ground, rounded down.
inline float spare_m(const CellFacts& cell, const Lie& lie) {
    return narrow_down(std::min(static_cast<double>(cell.hull_room_m) - lie.radius_m,
                                static_cast<double>(cell.ground_room_m) - lie.ground_m));
}

/// Judges cells one by one: the same functions behind the layers and behind a single position.
class Judge {
public:
    /// @param tables  must outlive the judge   @param coarse  cells exceed a third of the least radius
    Judge(const TackleTables& tables, bool coarse);

    /// Everything about a cell.
    [[nodiscard]] CellAnswer judge(const CellFacts& cell) const;
    /// judge().verdict, by the shortest way.
    [[nodiscard]] Verdict verdict(const CellFacts& cell) const {
        Lie lie;
        return verdict(cell, lie);
    }
    /// @param lie  of a yes: what its way asks for; else whatever was looked at last
    [[nodiscard]] Verdict verdict(const CellFacts& cell, Lie& lie) const {
        if (!(cell.shoal_m <= cell.deep_m)) return Verdict::unsurveyed;
        // No way needs less room than the least radius, which settles most cells near danger at once.
        if (!(cell.hull_room_m >= least_radius_m_) || forbids(cell) != 0) return Verdict::no;
        for (const Way way : all_ways) {
            if (!tables_->has_rode(way, cell.deep_m)) continue;
            lie = tables_->lie(way, cell.shoal_m, cell.deep_m);
            if (cell.hull_room_m >= lie.radius_m && cell.ground_room_m >= lie.ground_m) return yes_to(way);
        }
        return Verdict::no;
    }
    /// judge().advice of a surveyed cell, but for what the wind has to say.
    [[nodiscard]] std::uint16_t advice(const CellFacts& cell) const;
    /// What the wind has to say of a yes cell, from the limit of its way.
    [[nodiscard]] std::uint16_t wind_advice(float wind_limit_kn) const;
    /// Whether the slope bears on the verdict.
    [[nodiscard]] bool minds_slope() const {
        return greatest_slope_ < std::numeric_limits<double>::infinity();
    }

    /// Whether the cell is surveyed and floats the hull at low water: where not, no way can be asked about.
    [[nodiscard]] bool floats(const CellFacts& cell) const { return cell.shoal_m >= afloat_m_; }
    /// Least water at low water, rounded down; NaN where unsurveyed.
    [[nodiscard]] float depth_low_m(const CellFacts& cell) const {
        return narrow_down(cell.shoal_m + low_m_);
    }
    /// Wind limit of a way in a floating cell, hull room counted; 0 where the ground room does not fit the
    /// way.
    [[nodiscard]] float wind_limit_kn(Way way, const CellFacts& cell) const;

private:
    /// Reasons that forbid whatever the way.
    [[nodiscard]] std::uint32_t forbids(const CellFacts& cell) const {
        const double deep_high_m = cell.deep_m + high_m_;
        std::uint32_t reasons = 0;
        if (!floats(cell)) reasons |= reason::too_shallow;
        if (cell.effects & effect::hull) reasons |= reason::hull_danger;
        if (cell.effects & effect::ground) reasons |= reason::ground_danger;
        if (cell.effects & effect::drop) reasons |= reason::drop_forbidden;
        if (deep_high_m > windlass_m_) reasons |= reason::windlass;
        if (deep_high_m > recovery_m_) reasons |= reason::recovery;
        if (cell.slope > greatest_slope_) reasons |= reason::steep;
        return reasons | of_ground_[static_cast<std::size_t>(cell.seabed)];
    }

    const TackleTables* tables_;
    double low_m_, high_m_, least_radius_m_, windlass_m_, recovery_m_, greatest_slope_;
    float afloat_m_; ///< least chart depth that floats the hull at low water, rounded up
    bool coarse_;
    std::array<std::uint32_t, seabed_names.size()> of_ground_{}; ///< reasons that the ground alone gives
};

} // namespace swingroom
