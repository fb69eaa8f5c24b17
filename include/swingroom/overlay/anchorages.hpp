#pragma once

#include "swingroom/overlay/tally.hpp"
#include "swingroom/room/hazard_field.hpp"

#include <cstddef>
#include <string>
#include <vector>

namespace swingroom {

/// A charted anchorage, or a berth in one, of which some cells lie in the window of a run.
struct AnchorageAnswers {
    std::string label; ///< layer and feature: "ACHARE #60 Pool FFFE0000003E0001"
    /// What its cells in the window are: those that it touches, of a point the one that it lies in.
    Tally tally;
};

/// What one block counts of an anchorage.
struct AnchoragePart {
    std::size_t anchorage = 0; ///< its place among those of the run
    Tally tally;               ///< of its cells in the block
};

/// The anchorages of a run by their names, in the order of the hazards; hazards of effect::anchorage. One
/// that is made of several hazards is one.
std::vector<std::string> anchorage_labels(const HazardField& hazards);

} // namespace swingroom
