#pragma once

#include "swingroom/base/markup.hpp"
#include "swingroom/report/report.hpp"

#include "report/report_page.hpp"

namespace swingroom {

/// The water of the stay: its curve with arrival, departure and the level that the neediest drop point needs,
/// high and low waters, what to look for on arrival at the best drop point, and how sure all of that is.
/// Empty where two levels alone are known.
Markup water_section(const ReportContents& contents, const ReportInput& input);

} // namespace swingroom
