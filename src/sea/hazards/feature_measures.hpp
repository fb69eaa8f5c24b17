#pragma once

#include "swingroom/sea/hazard_rules.hpp"
#include "swingroom/water/uncertainty.hpp"

#include "sea/hazards/found_feature.hpp"

#include <optional>
#include <string>

namespace swingroom {

/// Code of QUAPOS, the quality of its position; 0 if it is not given.
int position_quality(const FoundFeature& found);
/// How far a feature of no chart may lie beside its place, by what it states itself, in metres.
/// @param name  for messages   @throws InputError  what is stated is no length
double stated_position_m(const FoundFeature& found, const std::string& name);
/// The margin of a rule and what the feature's own radius adds to it, in metres.
/// @param name  for messages   @throws InputError  the radius is no length
double margin_m(const HazardRule& rule, const FoundFeature& found, const std::string& name);
/// How near the hull may come to a feature under way, in metres, as Hazard::under_way_m has it.
/// @param name  for messages   @throws InputError  the radius is no length
std::optional<double> under_way_m(const HazardRule& rule, const FoundFeature& found, const std::string& name);
/// The least depth over a feature, its uncertainty taken off; none where it is not known or doubtful.
/// @param of_job  what is assumed where neither the feature nor a zone of confidence tells the uncertainty
std::optional<double> least_depth_m(const HazardRule& rule, const FoundFeature& found,
                                    const DepthUncertainty& of_job);

} // namespace swingroom
