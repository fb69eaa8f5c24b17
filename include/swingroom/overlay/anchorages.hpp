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
    bool is_point = false; ///< a berth that is charted as a point: it has one answer
};

/// What one block counts of an anchorage.
struct AnchoragePart {
    std::size_t anchorage = 0; ///< its place among those of the run
    Tally tally;               ///< of its cells in the block
};

/// An anchorage of a run.
struct ChartedAnchorage {
    std::string label;    ///< as AnchorageAnswers
    bool is_point = true; ///< as AnchorageAnswers
};
/// The anchorages of a run, in the order of the hazards; hazards of effect::anchorage. One that is made of
/// several hazards is one.
std::vector<ChartedAnchorage> charted_anchorages(const HazardField& hazards);

} // namespace swingroom
