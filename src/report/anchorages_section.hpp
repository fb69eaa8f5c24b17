#pragma once

#include "swingroom/base/markup.hpp"
#include "swingroom/overlay/anchorages.hpp"
#include "swingroom/report/report.hpp"

#include <string>
#include <string_view>

namespace swingroom {

/// How much of each charted anchorage of the window is a yes, and why the rest is not. Empty where there is
/// none.
Markup anchorages_section(const ReportInput& input);

/// "Pool" of the label "ACHARE #60 Pool FFFE0000003E0001"; "ACHARE #60" of what has no name.
std::string anchorage_name(std::string_view label);

/// Why the rest of an anchorage is no yes, by share of its area, the largest first: "too little rode aboard
/// 61.2 %, no depth is known 3.0 %". Empty where all is a yes.
std::string rest_words(const Tally& anchorage);

} // namespace swingroom
