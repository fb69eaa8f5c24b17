#pragma once

#include "swingroom/base/markup.hpp"
#include "swingroom/report/report.hpp"

#include <string>

namespace swingroom {

/// Why the area is no yes: which share of what is surveyed has which leading reason. Empty where nothing is
/// surveyed.
Markup why_not_section(const ReportInput& input);
/// Why there is no zone at all, for the head of the page.
std::string nowhere_words(const ReportInput& input);

} // namespace swingroom
