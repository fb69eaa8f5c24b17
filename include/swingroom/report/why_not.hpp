#pragma once

#include "swingroom/overlay/tally.hpp"

#include <optional>
#include <string>
#include <vector>

namespace swingroom {

/// How much of the surveyed area has one answer: a yes that a way leads to, or may, or none by its leading
/// reason.
struct AnswerShare {
    std::optional<WhyNot> why; ///< nothing: a yes
    Covered covered;           ///< its cells, and their area
    /// Tenths of a percent of the surveyed area. Together they are 1000: what rounding leaves over goes to
    /// those that lose most by it.
    int tenths = 0;
};

/// The yes, then the reasons by their area, the largest first; what does not occur is left out. Empty where
/// nothing is surveyed.
std::vector<AnswerShare> answer_shares(const Tally& tally);
/// "41.3 %"; of what is there and rounds to nothing "under 0.1 %".
std::string share_text(const AnswerShare& share);
/// "of the surveyed area 12.1 % is a yes; why the rest is not: too little rode aboard 61.2 %, ...". Empty
/// where nothing is surveyed.
std::string why_not_text(const Tally& tally);

} // namespace swingroom
