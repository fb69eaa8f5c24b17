#pragma once

#include "swingroom/base/rounding.hpp"
#include "swingroom/boat/by_sounder.hpp"
#include "swingroom/boat/rode_tables.hpp"
#include "swingroom/boat/same_rode.hpp"
#include "swingroom/boat/seabed.hpp"
#include "swingroom/boat/tackle.hpp"
#include "swingroom/boat/way.hpp"
#include "swingroom/boat/way_needs.hpp"
#include "swingroom/boat/wind_figures.hpp"

#include <cstddef>
#include <cstdint>
#include <limits>
#include <memory>
#include <span>

namespace swingroom {

class WindLimits;

/// What the depths of several places lie between, as TackleTables::needs() takes them.
struct DepthsBetween {
    /// Chart depths less their uncertainty.
    float least_shoal_m = 0, most_shoal_m = 0;
    /// Chart depths plus it.
    float least_deep_m = 0, most_deep_m = 0;
};

/// What the needs of several places lie between.
struct NeedsBetween {
    /// As WayNeeds has them.
    float least_rode_m = 0, most_rode_m = 0, least_radius_m = 0, most_radius_m = 0, least_ground_m = 0;
};

/// Rode, radii and wind limits of a boat by depth, made once per run (under 0.3 s) and rounded the safe way:
/// rode and radii up, wind limits down. Depth in, answer out, by table look-up: rode depends on the deep side
/// of the depth's uncertainty at high water, radii on that rode and the shoal side at low water.
///
/// The ways nest: at any place the short scope takes no more rode, radius and ground than the full scope, and
/// the sinker no more than the short scope.
class TackleTables {
public:
    /// @param greatest_uncertainty_m  half-width of the worst uncertainty that needs() will be asked about,
    /// which
    ///                                bounds how far depth_deep_m and depth_shoal_m are apart
    /// @throws InputError where the boat's load is not known or rope is carried and no holding is known
    TackleTables(const Boat& boat, const Conditions& conditions, double greatest_uncertainty_m);

    /// @param depth_shoal_m  chart depth less its uncertainty   @param depth_deep_m  chart depth plus it;
    ///                       0 <= deep - shoal <= 2 greatest_uncertainty_m; both finite; a cell whose shoal
    ///                       depth at low water floats the hull
    [[nodiscard]] WayNeeds needs(Way way, double depth_shoal_m, double depth_deep_m) const {
        const WayTable& table = tables_.of(way);
        const double high_m = tables_.tackle.high_span_m(depth_deep_m);
        if (!(high_m <= table.deepest_span_m)) return tables_.out_of_reach(table, high_m);
        return SameRode(tables_, table, high_m).needs(depth_shoal_m);
    }

    /// The rode that a way takes at a depth, to be asked about several places.
    /// @pre has_rode(way, depth_deep_m)
    [[nodiscard]] SameRode rode_for(Way way, double depth_deep_m) const {
        return {tables_, tables_.of(way), tables_.tackle.high_span_m(depth_deep_m)};
    }

    /// Whether the rode aboard is enough for a way at that depth: needs().out is none. Cheaper than needs().
    [[nodiscard]] bool has_rode(Way way, double depth_deep_m) const {
        return tables_.tackle.high_span_m(depth_deep_m) <= tables_.of(way).deepest_span_m;
    }

    /// What needs().out is wherever has_rode() is false.
    [[nodiscard]] WayNeeds::Out out_beyond_rode(Way way) const { return tables_.of(way).out; }

    /// The readings of the sounder at which a way can be had where there is so much room. Marks make the
    /// radius jump from one reading to the next, so the run is walked from mark to mark. What the windlass
    /// lifts and the crew recovers ends it, too.
    /// @param band  deeper_m + shoaler_m is at most greatest_apart_m()
    [[nodiscard]] SounderRun by_sounder(Way way, const SoundedBand& band, float hull_room_m,
                                        float ground_room_m) const;
    /// The least wind limit of all readings of a run that fits the room.
    /// @param limit_m  by_sounder().limit_m
    [[nodiscard]] float wind_limit_by_sounder_kn(Way way, const SoundedBand& band, float limit_m,
                                                 double hull_room_m, Seabed seabed) const;
    /// How far apart the deep and the shoal side may be that the tables are asked with.
    [[nodiscard]] double greatest_apart_m() const { return greatest_apart_m_; }

    /// Greatest mean wind in knots for which the way's reach fits the room, the angle of pull stays within
    /// the allowed one and the pull within the anchor's holding on that seabed; rounded down, by less than a
    /// knot (that by the room is a whole knot); 0 where none does or the way is out. At most
    /// greatest_wind_kn. Where holding_limit_kn() is not known, by room and angle alone: limit_by() tells,
    /// and whoever prints a limit says so.
    [[nodiscard]] float wind_limit_kn(Way way, double depth_shoal_m, double depth_deep_m, double hull_room_m,
                                      Seabed seabed) const {
        return wind_limit_kn(way, needs(way, depth_shoal_m, depth_deep_m), depth_shoal_m, depth_deep_m,
                             hull_room_m, seabed);
    }
    /// The same for who knows the lie there already.   @param enough_kn  as of fitting_wind_limit_kn()
    [[nodiscard]] float wind_limit_kn(Way way, const WayNeeds& needs, double depth_shoal_m,
                                      double depth_deep_m, double hull_room_m, Seabed seabed,
                                      float enough_kn = swingroom::greatest_wind_kn) const;
    /// The same of places in a row of cells, but 0 where the ground room does not fit the way.
    /// @param places     those where the way is out are passed over
    /// @param limits_kn  by cell
    void wind_limits_kn(Way way, std::span<const int> places, const LiesOfRow& lies, float* limits_kn) const;
    /// The same where the room is known to fit the way, which spares looking for its radius. Nothing else is
    /// known of a way that is less demanding than one that fits: that it does, too, if it is to be had.
    /// @param enough_kn  whoever asks does not care how far the limit is above it, and is told no more: to
    ///                   compare with the least of others takes a fraction of what finding it takes
    /// @pre has_rode(way, depth_deep_m)
    [[nodiscard]] float fitting_wind_limit_kn(Way way, double depth_shoal_m, double depth_deep_m,
                                              double hull_room_m, Seabed seabed,
                                              float enough_kn = swingroom::greatest_wind_kn) const;
    /// What no way that fits has less than there: its rode is chosen for the planned wind.
    [[nodiscard]] double sure_wind_limit_kn(Seabed seabed) const {
        const double holding_kn = holding_limit_kn(seabed); // not less if NaN
        return holding_kn < conditions().wind_kn ? holding_kn : conditions().wind_kn;
    }
    /// What each of several places needs of a way at the least and at the most, without a look at any of
    /// them.
    /// @pre the way is to be had at all of them by its rode
    [[nodiscard]] NeedsBetween needs_between(Way way, const DepthsBetween& depths) const;
    /// No place of several where a way fits has a lower wind limit.
    /// @param least_hull_room_m  of all of them   @param enough_kn  as of fitting_wind_limit_kn()
    /// @pre the way is to be had at all of them by its rode
    [[nodiscard]] float least_wind_limit_kn(Way way, const DepthsBetween& depths, double least_hull_room_m,
                                            Seabed seabed, float enough_kn) const;
    /// What the wind limits on that ground are taken from.
    [[nodiscard]] LimitBy limit_by(Seabed seabed) const;
    /// What the least limit of several grounds is by: the least known of them.
    /// @param seabeds  a bit for each, by its number
    [[nodiscard]] LimitBy limit_by(std::uint16_t seabeds) const;
    /// No limit is said beyond it, in knots: whatever holds in more is given as this.
    static constexpr float greatest_wind_kn = swingroom::greatest_wind_kn;

    /// Whether the boat file or a published law says what the anchor holds there.
    [[nodiscard]] bool holding_known(Seabed seabed) const {
        return boat().anchor.holding_n[static_cast<std::size_t>(seabed)].has_value();
    }
    /// Greatest mean wind whose pull the anchor holds there. Where that is not known, 0 for rock and coral,
    /// elsewhere the least that is known of other ground; NaN where nothing is.
    [[nodiscard]] double holding_limit_kn(Seabed seabed) const {
        return tables_.tackle.holding_limit_kn(seabed);
    }
    /// Horizontal pull at the planned wind with its gusts and current, in newtons: what the anchor must hold.
    [[nodiscard]] double planned_pull_n() const { return tables_.tackle.planned_pull_n(); }
    /// Pull at a mean wind, gusts and current included.
    [[nodiscard]] const LoadCurve& loads() const { return tables_.tackle.loads(); }

    /// Everything behind needs() at a place; not for the hot loop.
    [[nodiscard]] WayDetail detail(Way way, double depth_shoal_m, double depth_deep_m) const;

    /// Weight hanging from the roller when the anchor breaks out at high water, in newtons: anchor and chain
    /// in water, and what of the chain hangs between water and roller in air.
    [[nodiscard]] double hanging_load_n(double depth_deep_m) const;
    /// Length of a buoyed trip line: depth at high water and one metre for waves.
    [[nodiscard]] double trip_line_m(double depth_deep_m) const;
    /// Depth at high water beyond which the windlass or the crew is overtaxed; infinity where not given.
    [[nodiscard]] double windlass_depth_m() const { return windlass_depth_m_; }
    /// The depth that [crew] recovery_depth gives, counted at high water; infinity where it is not given.
    [[nodiscard]] double recovery_depth_m() const { return recovery_depth_m_; }

    /// Greatest hull radius and ground sweep of any way at any depth: the halo that a block needs.
    [[nodiscard]] double greatest_radius_m() const { return greatest_radius_m_; }
    /// Least hull radius of any way that is to be had at any depth that floats her: what cell size is
    /// measured against.
    [[nodiscard]] double least_radius_m() const { return least_radius_m_; }
    /// Deepest depth_deep_m at which any way is to be had; negative infinity when none is anywhere.
    [[nodiscard]] double greatest_depth_m() const { return greatest_depth_m_; }
    /// How coarse the tables of radii are, in metres, where the deep and the shoal side are so far apart:
    /// radii are those of a span at low water that is less by up to so much. Fine (0.05 m) where the depth is
    /// well known, and widening with how far the sides are apart.
    [[nodiscard]] double radius_step_m(double apart_m) const;
    /// The same for the worst uncertainty that the tables were made for.
    [[nodiscard]] double radius_step_m() const { return radius_step_m(greatest_apart_m_); }
    /// The step of the winds that reaches are tabled for, a knot, but up to 4 for a very long rode with very
    /// close marks. Limits are found to the knot all the same: between two steps the statics are asked.
    [[nodiscard]] double wind_step_kn() const { return tables_.steps.wind_kn; }
    /// The tables' own copy of the boat that they were made for.
    [[nodiscard]] const Boat& boat() const { return tables_.tackle.boat(); }
    /// The water levels, wind and current that they were made for.
    [[nodiscard]] const Conditions& conditions() const { return tables_.tackle.conditions(); }

private:
    /// @param high_m, low_m  spans at high and at low water
    [[nodiscard]] float wind_limit_kn(Way way, const RodeRow& row, bool fits, double high_m, double low_m,
                                      double hull_room_m, Seabed seabed, float enough_kn) const;
    void measure_radii();

    double greatest_apart_m_; ///< deep and shoal side
    RodeTables tables_;
    std::shared_ptr<WindLimits> wind_; ///< one for all copies
    double windlass_depth_m_ = std::numeric_limits<double>::infinity(),
           recovery_depth_m_ = std::numeric_limits<double>::infinity(), greatest_radius_m_ = 0,
           least_radius_m_ = std::numeric_limits<double>::infinity(),
           greatest_depth_m_ = -std::numeric_limits<double>::infinity();
};

} // namespace swingroom
