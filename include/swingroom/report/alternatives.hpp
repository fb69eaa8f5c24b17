#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/base/measures.hpp"
#include "swingroom/overlay/nearest_yes.hpp"
#include "swingroom/overlay/overlay.hpp"
#include "swingroom/overlay/position.hpp"
#include "swingroom/overlay/what_if.hpp"
#include "swingroom/sea/georeference.hpp"
#include "swingroom/sea/hazard_rules.hpp"

#include <string>
#include <vector>

namespace swingroom {

/// What a skipper can do about a place that is no yes.
struct Alternatives {
    bool surveyed = true;            ///< whether a depth is known: where not, nothing can be proposed
    std::vector<Proposal> proposals; ///< what would make it one, each alone; empty: nothing alone does
    YesSearch nearest;               ///< the nearest cell that is one
    bool no_way_in = false;          ///< nothing but that no way leads to it makes it none
};

/// Looks for them.
/// @param cell  examine() of the place, which is no yes, or out of reach   @param from  the position that was
/// asked about
/// @param rules, known  as WhatIf
Alternatives find_alternatives(const PositionReport& cell, const OverlayJob& job,
                               const Georeference& georeference, LonLat from,
                               const std::vector<HazardRule>& rules, Window known);

/// "0.4 m more water at low water (0.90 m above chart datum)", with a tide "water from 0.9 m above chart
/// datum on, 0.4 m more than at its lowest". Rounded so that it still does what it says, in any unit.
std::string change_text(const Proposal& proposal, const Measures& measures);
/// The same with the answer that it leads to: "...: yes, at short scope".
std::string proposal_text(const Proposal& proposal, const Measures& measures);
/// That nothing was found, and what was tried.
std::string nothing_alone();
/// Lines for people.
std::vector<std::string> alternatives_lines(const Alternatives& alternatives, const Measures& measures);

/// For programs: the same figures, in metres, knots, kilograms and degrees.
std::string proposals_json(const std::vector<Proposal>& proposals);
/// An object, or null where none was found: the nearest that is in reach, and the nearest that is not, where
/// it is nearer.
std::string nearest_yes_json(const YesSearch& search);
std::string nearest_out_of_reach_json(const YesSearch& search);

} // namespace swingroom
