#include "boat/hanging_load.hpp"

#include "swingroom/boat/gear.hpp"

#include "boat/crossing.hpp"

#include <algorithm>
#include <limits>

namespace swingroom {
namespace {

double chain_and_rope_air_n(const Rode& rode, double chain_m, double rope_m) {
    return (rode.chain_kg_per_m * chain_m + rode.rope_kg_per_m * rope_m) * gravity_m_per_s2;
}

} // namespace

double hanging_n(const Boat& boat, double depth_m) {
    const double wet_m = std::max(0.0, depth_m), roller_m = boat.hull.bow_roller_m;
    const double chain_wet_m = std::min(boat.rode.chain_m, wet_m);
    const double chain_dry_m = std::clamp(boat.rode.chain_m - wet_m, 0.0, roller_m);
    return in_water_n(boat.anchor.mass_kg + boat.rode.chain_kg_per_m * chain_wet_m, steel_kg_per_m3) +
           in_water_n(boat.rode.rope_kg_per_m * (wet_m - chain_wet_m), nylon_kg_per_m3) +
           chain_and_rope_air_n(boat.rode, chain_dry_m, roller_m - chain_dry_m);
}

double depth_of_load_m(const Boat& boat, double rated_n) {
    constexpr double deepest_m = 2000;
    const auto spare_n = [&](double depth_m) { return rated_n - hanging_n(boat, depth_m); };
    if (spare_n(deepest_m) >= 0) return std::numeric_limits<double>::infinity();
    if (spare_n(0) <= 0) return 0;
    return crossing(spare_n, 0, deepest_m);
}

} // namespace swingroom
