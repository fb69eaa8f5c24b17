#pragma once

#include "swingroom/boat/gear.hpp"
#include "swingroom/boat/tackle.hpp"

#include <cmath>
#include <random>
#include <sstream>

namespace swingroom {

/// 14 m, 15 m2 of drag area, 60 m of 10 mm chain, 20 kg of steel; no gusts, no allowances.
inline Boat yacht() {
    std::istringstream in(R"([hull]
length = 14 m
draught = 2.1 m
bow_roller = 1.4 m
windage_area = 15
[rode]
chain = 60 m
chain_diameter = 10 mm
[anchor]
type = scoop
mass = 25 kg
holding.sand = 8 kN
holding.mud = 2.5 kN
[sinker]
mass = 20 kg
at = 1 spans
[policy]
gust = 1
position_allowance = 0
set_distance = 0
)");
    return read_boat(in, "yacht.ini");
}

inline double uniform(std::mt19937_64& random, double a, double b) {
    return std::uniform_real_distribution<double>(a, b)(random);
}

/// Boats of all sorts, and what they are asked to do.
struct Trial {
    Boat boat;
    Conditions conditions;
    double uncertainty_m;
};
inline Trial random_trial(std::mt19937_64& random) {
    Trial trial{yacht(), {}, uniform(random, 0, 3)};
    Boat& boat = trial.boat;
    boat.hull.length_m = uniform(random, 5, 18);
    boat.hull.bow_roller_m = uniform(random, 0.5, 2);
    boat.hull.draught_m = uniform(random, 0.5, 3);
    boat.hull.windage_area_m2 = random() % 3 == 0 ? 0 : uniform(random, 4, 40);
    boat.rode.chain_m = uniform(random, 5, 100);
    boat.rode.chain_kg_per_m = uniform(random, 0.8, 4);
    if (random() % 2 == 0) {
        const double diameter_mm = uniform(random, 8, 20);
        boat.rode.rope_m = uniform(random, 10, 100);
        boat.rode.rope_kg_per_m = nylon_kg_per_m(diameter_mm);
        boat.rode.rope_stiffness_n = nylon_stiffness_n(diameter_mm, RopeMake::laid);
        const RopeMake stiffest = random() % 2 == 0 ? RopeMake::laid : RopeMake::braided;
        if (random() % 3 != 0) boat.rode.rope_stiffest_n = nylon_stiffness_n(diameter_mm, stiffest);
    }
    boat.rode.mark_m = random() % 2 == 0 ? 5 : uniform(random, 0.5, 5);
    boat.anchor.holding_n.front() = uniform(random, 1000, 12000);
    boat.sinker = Sinker{};
    boat.sinker->mass_kg = uniform(random, 5, 40);
    boat.sinker->at = static_cast<Sinker::At>(random() % 3);
    boat.sinker->at_value =
        boat.sinker->at == Sinker::At::metres ? uniform(random, 1, 30) : uniform(random, 0.3, 3);
    boat.sinker->line_m =
        random() % 2 == 0 || boat.sinker->at == Sinker::At::best ? uniform(random, 3, 30) : 0;
    boat.policy.scope = uniform(random, 3, 8);
    boat.policy.short_scope = uniform(random, 1.5, boat.policy.scope);
    boat.policy.pull_angle_deg = random() % 2 == 0 ? 0 : uniform(random, 0, 10);
    boat.policy.position_allowance_m = uniform(random, 0, 10);
    boat.policy.set_distance_m = uniform(random, 0, 10);
    const double low_m = uniform(random, -1, 2);
    trial.conditions = {{low_m, low_m + uniform(random, 0, 6)}, uniform(random, 0, 40), 0};
    return trial;
}

} // namespace swingroom
