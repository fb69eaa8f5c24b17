#pragma once

#include "swingroom/boat/tables.hpp"

#include <array>
#include <functional>
#include <optional>
#include <vector>

namespace swingroom {

/// A sinker for a rode of this length, or none.
using HangSinker = std::function<std::optional<HungSinker>(double rode_m)>;

/// The least rode that pulls at the anchor no steeper than angle_deg, rounded up in its last digits; chain
/// next to the anchor, as if there were enough of it (rode_parts). Not rounded to marks.
/// @param pull_n > 0, @param span_m > 0
double least_rode_m(const Rode& rode, double pull_n, double angle_deg, double span_m,
                    const HangSinker& sinker);

/// What the sinker buys at one wind in one depth of water: with the rode left as it is, and with the rode cut
/// to the same angle of pull (but never below the short scope's ratio). Spans are those of high water for the
/// rode, of low water for the reach; the cut rode ends at no mark, and there are no allowances.
struct SinkerWorth {
    /// The mean wind asked about, and the horizontal pull there, with gusts and current, in newtons.
    double wind_kn = 0, pull_n = 0;
    /// The rode that is left as it is, and the reach, from anchor to roller, that it has without the sinker
    /// and with it.
    double held_rode_m = 0, held_reach_without_m = 0, held_reach_with_m = 0;
    /// The least rode that keeps the angle of pull and the short scope's ratio without a sinker, and its
    /// reach.
    double cut_rode_without_m = 0, cut_reach_without_m = 0;
    /// The same with the sinker where it hangs at that span.
    double cut_rode_with_m = 0, cut_reach_with_m = 0;
    /// What the sinker takes off the swinging radius if no rode is hauled in, in metres; allowances cancel
    /// out.
    [[nodiscard]] double radius_saved_as_it_is_m() const { return held_reach_without_m - held_reach_with_m; }
    /// How much less rode will do with the sinker, in metres.
    [[nodiscard]] double rode_saved_m() const { return cut_rode_without_m - cut_rode_with_m; }
    /// What it takes off the radius if each rode is as short as its angle allows, in metres.
    [[nodiscard]] double radius_saved_when_cut_m() const { return cut_reach_without_m - cut_reach_with_m; }
};
/// The boat has a sinker.   @param held_rode_m  the rode that is left as it is
SinkerWorth sinker_worth(const TackleTables& tables, double depth_m, double held_rode_m, double wind_kn);
/// The rode of full scope in that depth, as the tables have it: up to its mark.
double full_scope_rode_m(const TackleTables& tables, double depth_m);

/// One line of the table that a skipper pins up.
struct DepthLine {
    double depth_m = 0; ///< below chart datum
    /// By Way; those that are not to be had there say so in `needs.out`.
    std::array<WayDetail, all_ways.size()> ways;
    /// At each way's own radius, on the worst of the known holding grounds; by room alone where no holding
    /// is known, which TackleTables::limit_by tells of Seabed::unknown.
    std::array<float, all_ways.size()> wind_limit_kn{};
    /// What hangs from the roller at high water when the anchor breaks out, in newtons, and the trip line's
    /// length.
    double hanging_load_n = 0, trip_line_m = 0;
    /// Whether the depth at high water is more than the windlass lifts from, or than the crew can recover
    /// from.
    bool beyond_windlass = false, beyond_recovery = false;
    /// Whether the rode aboard is enough for at least one way; windlass and crew do not count in this.
    [[nodiscard]] bool any_way() const {
        for (const WayDetail& way : ways) {
            if (way.needs.out == WayNeeds::Out::none) return true;
        }
        return false;
    }
};
/// The line of one chart depth, taken as known without uncertainty; the seabed counts as unknown.
DepthLine depth_line(const TackleTables& tables, double depth_m);

/// The line of a reading of the sounder, taken to chart datum: rode for the deepest that it may stand for,
/// the radius for the shoalest, but for no depth that would not float her.
/// @param deeper_m, shoaler_m  as in SoundedBand; together at most tables.greatest_apart_m()
DepthLine reading_line(const TackleTables& tables, double reading_m, double deeper_m, double shoaler_m);

/// From the least depth that floats the hull at low water to the first at which no way is to be had, in steps
/// that widen with the depth: half units to 5, whole ones to 12, twos to 30, fives beyond.
/// @param unit_m  of the steps, so that a table in fathoms has round depths too
std::vector<DepthLine> depth_table(const TackleTables& tables, double unit_m = 1);
/// The same by reading: the same steps, to the first reading at which no way is to be had.
/// @param deeper_m, shoaler_m  as in reading_line()
std::vector<DepthLine> reading_table(const TackleTables& tables, double deeper_m, double shoaler_m,
                                     double unit_m = 1);

} // namespace swingroom
