#include "swingroom/room/judge.hpp"

#include "swingroom/base/rounding.hpp"

#include <algorithm>
#include <limits>

namespace swingroom {
namespace {

// Common practice, no source: about the depth that an amateur diver with a small bottle works in.
constexpr double untrained_diver_m = 10;
constexpr float worth_a_word_slope = 0.1F;

bool holds_poorly(Seabed seabed) { return seabed >= Seabed::gravel; }
bool holds_nothing(const Boat& boat, Seabed seabed) {
    const auto holding_n = boat.anchor.holding_n[static_cast<std::size_t>(seabed)];
    return (seabed == Seabed::rock || seabed == Seabed::coral) && holding_n.value_or(0) <= 0;
}

} // namespace

CellAnswer Judge::judge(const CellFacts& cell) const {
    CellAnswer answer;
    answer.spare_m.fill(std::numeric_limits<float>::quiet_NaN());
    if (std::isnan(cell.shoal_m) || std::isnan(cell.deep_m)) {
        answer.reasons = reason::unsurveyed;
        return answer;
    }
    const Boat& boat = tables_->boat();
    const WaterLevels& water = tables_->conditions().water;
    const double deep_high_m = cell.deep_m + water.high_m;

    std::uint32_t forbids = 0; // whatever the way
    const bool afloat = cell.shoal_m + water.low_m >= boat.required_depth_m();
    if (!afloat) forbids |= reason::too_shallow;
    if (cell.effects & effect::hull) forbids |= reason::hull_danger;
    if (cell.effects & effect::ground) forbids |= reason::ground_danger;
    if (cell.effects & effect::drop) forbids |= reason::drop_forbidden;
    if (deep_high_m > tables_->windlass_depth_m()) forbids |= reason::windlass;
    if (deep_high_m > tables_->recovery_depth_m()) forbids |= reason::recovery;
    if (boat.policy.max_slope && cell.slope > *boat.policy.max_slope) forbids |= reason::steep;
    if (holds_nothing(boat, cell.seabed)) forbids |= reason::seabed;

    if (cell.effects & effect::trip_line) answer.advice |= advice::trip_line;
    if (holds_poorly(cell.seabed)) answer.advice |= advice::poor_holding;
    if (!tables_->holding_known(cell.seabed) || cell.seabed == Seabed::unknown)
        answer.advice |= advice::unknown_holding;
    if (cell.slope > worth_a_word_slope) answer.advice |= advice::steep;
    if (coarse_) answer.advice |= advice::coarse_data;
    if (deep_high_m > untrained_diver_m) answer.advice |= advice::deep_recovery;

    answer.verdict = Verdict::no;
    answer.reasons = forbids;
    if (!afloat) return answer; // no rode can be chosen where the boat is aground
    answer.judged = true;
    for (const Way way : all_ways) {
        const auto slot = static_cast<std::size_t>(way);
        const Lie lie = answer.lies[slot] = tables_->lie(way, cell.shoal_m, cell.deep_m);
        if (lie.out != Lie::Out::none) {
            answer.reasons |= reason::of_way(way, lie.out == Lie::Out::rode ? reason::OfWay::rode
                                                                            : reason::OfWay::unavailable);
            continue;
        }
        answer.spare_m[slot] = narrow_down(std::min(static_cast<double>(cell.hull_room_m) - lie.radius_m,
                                                    static_cast<double>(cell.ground_room_m) - lie.ground_m));
        std::uint32_t of_this_way = 0;
        if (cell.hull_room_m < lie.radius_m) of_this_way |= reason::of_way(way, reason::OfWay::hull_room);
        if (cell.ground_room_m < lie.ground_m) of_this_way |= reason::of_way(way, reason::OfWay::ground_room);
        answer.reasons |= of_this_way;
        if ((forbids | of_this_way) == 0) answer.verdict = std::max(answer.verdict, yes_to(way));
    }
    return answer;
}

} // namespace swingroom
