#pragma once

#include "swingroom/sea/exclusions.hpp"

#include <functional>
#include <string>
#include <vector>

namespace swingroom {

/// The danger zones of one class of hazards that lie together.
struct DissolvedExclusion {
    std::string kind;    ///< of the class: the rule's name
    Effects effects = 0; ///< bits of `effect`
    double margin_m = 0; ///< the greatest of those that went into it
    /// Labels of the features whose danger is in here, each once, in the order they came.
    std::vector<std::string> features;
    /// As in Exclusion.
    std::vector<std::vector<GridPoint>> rings;
};

/// The polygons of each_exclusion dissolved: those of one class (one kind with the same effects) that overlap
/// are one, those that do not touch stay apart. Classes come in the order of their first hazard. What memory
/// it takes grows with the vertices that are drawn.
/// @throws InputError, IoError  as each_exclusion
void each_dissolved_exclusion(const HazardsToDraw& drawn,
                              const std::function<void(DissolvedExclusion&&)>& deliver);

} // namespace swingroom
