#include "swingroom/room/hazard.hpp"

#include "swingroom/boat/boat.hpp"

namespace swingroom {

HullNeeds hull_needs(const Boat& boat, const WaterLevels& water) {
    return {.required_depth_m = boat.required_depth_m(),
            .low_water_m = water.low_m,
            .air_draught_m = boat.hull.air_draught_m,
            .high_water_m = water.high_m,
            .clearance_datum_m = water.clearance_datum_m};
}

std::vector<Effects> effects_on(std::span<const Hazard> hazards, const HullNeeds& hull) {
    std::vector<Effects> effects;
    effects.reserve(hazards.size());
    for (const Hazard& hazard : hazards) {
        effects.push_back(effects_on(hazard, hull));
    }
    return effects;
}

} // namespace swingroom
