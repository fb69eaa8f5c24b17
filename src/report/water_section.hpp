#pragma once

#include "swingroom/base/markup.hpp"
#include "swingroom/report/report.hpp"

#include "report/report_page.hpp"

namespace swingroom {

/// The water of the stay: its curve with arrival, departure and the levels that the best places need, high
/// and low waters, when places float her that do not do so all the time, what to look for on arrival at the
/// best one, and how sure all of that is. Empty where two levels alone are known.
Markup water_section(const ReportContents& contents, const ReportInput& input);

} // namespace swingroom
