#include "report/spot_figures.hpp"

#include "swingroom/room/why_not.hpp"

namespace swingroom {

Spare spare_of(const WayAtPosition& at, const CellFacts& facts, const Measures& measures) {
    const WayNeeds& needs = at.detail.needs;
    const double hull_m = static_cast<double>(facts.hull_room_m) - static_cast<double>(needs.radius_m),
                 ground_m = static_cast<double>(facts.ground_room_m) - static_cast<double>(needs.ground_m);
    const bool ground = ground_m < hull_m;
    if (at.spare_m >= 0) {
        return {length_value(static_cast<double>(at.spare_m), Rounded::down, measures), ground};
    }
    const float room_m = ground ? facts.ground_room_m : facts.hull_room_m;
    const float need_m = ground ? needs.ground_m : needs.radius_m;
    return {length_value(static_cast<double>(room_m), Rounded::down, measures) -
                length_value(static_cast<double>(need_m), Rounded::up, measures),
            ground};
}

bool slope_known(const PositionReport& cell) {
    constexpr float steepest = 20;
    return !cell.facts.stepped && cell.facts.slope <= steepest;
}

bool bears_on(std::uint32_t bit, Verdict verdict) {
    if (!is_yes(verdict)) return true;
    const int more_demanding = static_cast<int>(way_of(verdict));
    return bit < 1u << (reason::first_way_bit + 4 * more_demanding);
}

} // namespace swingroom
