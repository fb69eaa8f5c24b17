#pragma once

#include "swingroom/boat/boat.hpp"
#include "swingroom/boat/gear.hpp"
#include "swingroom/boat/loads.hpp"
#include "swingroom/boat/seabed.hpp"
#include "swingroom/boat/way.hpp"
#include "swingroom/water/levels.hpp"

#include <array>
#include <cstddef>
#include <cstdint>
#include <vector>

namespace swingroom {

/// What a stay is planned for.
struct Conditions {
    /// The levels between which the water moves meanwhile, above chart datum.
    WaterLevels water;
    double wind_kn = 0; ///< mean wind; the policy's gust factor is applied on top
    /// Its drag is added to the wind's as if both came from the same side; 0: none.
    double current_kn = 0;
};

/// No limit is said beyond this mean wind.
inline constexpr float greatest_wind_kn = 80;

/// A boat's tackle in the conditions of a stay: what the statics say of a length of rode at a span, which is
/// the height from the seabed to the bow roller. Everything is computed when it is asked for; TackleTables
/// keeps it by depth.
class Tackle {
public:
    /// @throws InputError where the boat's load is not known or rope is carried and no holding is known
    Tackle(const Boat& boat, const Conditions& conditions);

    /// A copy of what the constructor was given, so that the boat need not outlive it.
    [[nodiscard]] const Boat& boat() const { return boat_; }
    /// What the pull and the spans are reckoned for.
    [[nodiscard]] const Conditions& conditions() const { return conditions_; }
    /// Pull at a mean wind, gusts and current included.
    [[nodiscard]] const LoadCurve& loads() const { return loads_; }
    /// Horizontal pull at the planned wind with its gusts and current, in newtons: what the anchor must hold.
    [[nodiscard]] double planned_pull_n() const { return planned_pull_n_; }
    /// The greatest mean wind that the reach of a straight rode serves.
    [[nodiscard]] double taut_limit_kn() const { return taut_limit_kn_; }
    /// Greatest mean wind whose pull the anchor holds there. Where that is not known, 0 for rock and coral,
    /// elsewhere the least that is known of other ground; NaN where nothing is.
    [[nodiscard]] double holding_limit_kn(Seabed seabed) const {
        return holding_limit_kn_[static_cast<std::size_t>(seabed)];
    }

    /// From a chart depth to the span at high water, which rode is chosen by.
    [[nodiscard]] double high_span_m(double depth_m) const { return depth_m + high_offset_m_; }
    /// From a chart depth to the span at low water, which reaches and radii are taken at.
    [[nodiscard]] double low_span_m(double depth_m) const { return depth_m + low_offset_m_; }
    /// From a span at high water back to the chart depth.
    [[nodiscard]] double depth_of_high_span_m(double span_m) const { return span_m - high_offset_m_; }
    /// What a reach is lengthened by for a radius of the hull, and of anchor and rode on the ground.
    [[nodiscard]] double hull_allowance_m() const { return hull_allowance_m_; }
    /// What the sweep on the ground is longer by: position allowance and the distance that the anchor drags
    /// to set.
    [[nodiscard]] double ground_allowance_m() const { return ground_allowance_m_; }

    /// The rode veered; a sinker counts at its own way only.
    [[nodiscard]] std::vector<RodePart> parts(Way way, double rode_m, double from_bow_m,
                                              Stretch stretch) const;
    /// Where the sinker hangs when so much rode is veered: one place for all spans that this rode serves,
    /// since it is made fast once and the water rises and falls. 0 for the ways without one.
    [[nodiscard]] double sinker_from_bow_m(Way way, double rode_m) const;
    /// Greatest span at high water for which this rode will do, with the sinker where it hangs.
    [[nodiscard]] double span_limit_m(Way way, double rode_m, double from_bow_m) const;
    /// Rode for a span, in whole marks, whether aboard or not.
    /// @param marks  where the search starts: enough for no lesser span; left at the answer
    [[nodiscard]] double needed_rode_m(Way way, double span_m, std::uint64_t& marks) const;
    /// Reach of a straight rode at the greatest pull that can come on it, for all spans from least_m to
    /// most_m.
    [[nodiscard]] double taut_reach_m(double rode_m, double least_m, double most_m) const;

private:
    /// Greatest span at which the rode pulls no steeper than the policy has it.
    [[nodiscard]] double span_limit_by_angle_m(Way way, double rode_m, double from_bow_m) const;
    /// span_limit_m() without what sums of spans are rounded by.
    [[nodiscard]] double exact_span_limit_m(Way way, double rode_m, double from_bow_m) const;

    Boat boat_;
    Conditions conditions_;
    LoadCurve loads_;
    double planned_pull_n_ = 0, greatest_pull_n_ = 0; ///< at the planned wind; that and the best holding
    double sinker_n_ = 0;
    double high_offset_m_ = 0, low_offset_m_ = 0; ///< from chart depths to spans
    double hull_allowance_m_ = 0, ground_allowance_m_ = 0;
    double taut_limit_kn_ = 0;
    std::array<double, seabed_names.size()> holding_limit_kn_{};
};

} // namespace swingroom
