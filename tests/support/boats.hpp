#pragma once

#include "swingroom/boat/boat.hpp"

#include <sstream>
#include <string>
#include <string_view>
#include <vector>

namespace swingroom::testing_support {

/// A handful of small boats that differ in what they carry, in what limits them and in what they are asked;
/// small, so that they fit into small scenes.
struct TrialBoat {
    std::string_view name, file;
};

inline const std::vector<TrialBoat>& trial_boats() {
    static const std::vector<TrialBoat> boats = {
        {"dinghy, chain only", R"([hull]
length = 4 m
draught = 0.4 m
bow_roller = 0.5 m
windage_area = 2.5
[rode]
chain = 30 m
chain_diameter = 6 mm
mark = 1 m
[anchor]
type = plough
mass = 6 kg
holding.sand = 2500 N
holding.mud = 900 N
[policy]
scope = 4
short_scope = 2.5
under_keel = 0.3
position_allowance = 1
set_distance = 1
)"},
        {"cruiser with a sinker, everything limited", R"([hull]
length = 7 m
draught = 1.2 m
bow_roller = 0.9 m
windage_area = 5
[rode]
chain = 45 m
chain_diameter = 8 mm
mark = 2 m
[anchor]
type = scoop
mass = 12 kg
holding.clay = 6 kN
holding.sand = 5 kN
[sinker]
mass = 15 kg
at = 1.5 spans
[windlass]
rated_pull = 330 N
[crew]
recovery_depth = 12 m
[policy]
scope = 4
short_scope = 2
pull_angle = 4
under_keel = 0.4
wave_height = 0.4
gust = 1.3
position_allowance = 2
set_distance = 2
max_slope = 0.2
)"},
        {"rope behind little chain, sinker slid on a line", R"([hull]
length = 6 m
draught = 0.8 m
bow_roller = 0.8 m
windage_area = 4
[rode]
chain = 6 m
chain_diameter = 6 mm
rope = 40 m
rope_diameter = 12 mm
mark = 5 m
[anchor]
type = fluke
mass = 8 kg
holding.sand = 4 kN
holding.rock = 100 N
[sinker]
mass = 8 kg
material = lead
at = best
line = 12 m
[policy]
scope = 5
short_scope = 3
pull_angle = 6
under_keel = 0.3
position_allowance = 1.5
set_distance = 2
)"},
        {"from the table of loads, nothing known of holding", R"([hull]
length = 5 m
draught = 0.5 m
bow_roller = 0.6 m
beam = 1.9 m
tender = 2 m
[rode]
chain = 25 m
chain_diameter = 8 mm
mark = 0.5 m
[anchor]
type = claw
mass = 8 kg
[crew]
recovery_depth = 6 m
[policy]
scope = 3
short_scope = 1.5
pull_angle = 8
position_allowance = 0
set_distance = 0
)"},
    };
    return boats;
}

inline Boat read_trial_boat(const TrialBoat& boat) {
    std::istringstream in(std::string(boat.file));
    return read_boat(in, std::string(boat.name));
}

} // namespace swingroom::testing_support
