#pragma once

#include "swingroom/base/measures.hpp"
#include "swingroom/boat/rode_figures.hpp"
#include "swingroom/overlay/position.hpp"
#include "swingroom/overlay/tally.hpp"

#include <cstddef>
#include <string>
#include <vector>

namespace swingroom {

/// What a run has found, for who looks on while it ends.
struct Closing {
    const Tally& tally; ///< of the run
    /// The best drop point; none: there is none, or none was asked for.
    const PositionReport* best = nullptr;
    std::size_t warnings = 0; ///< how many the run has told
    RodeMarks marks;          ///< of the boat's rode
    Measures measures;        ///< of what people read
};

/// Three short lines, or a few more: what share of the surveyed water is a yes, and what of it by the
/// sounder; the best place that she can get to, in two where one is too short, or the leading reason where
/// there is none; and what is doubtful of the run and of that place, or why the rest is not. None takes more
/// than 80 columns.
std::vector<std::string> closing_lines(const Closing& run);

} // namespace swingroom
