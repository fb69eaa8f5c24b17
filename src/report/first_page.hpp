#pragma once

#include "swingroom/base/markup.hpp"
#include "swingroom/report/report.hpp"

#include "report/page_parts.hpp"
#include "report/report_page.hpp"

#include <cstdint>
#include <vector>

/// What a skipper takes to the chart table: printed, the first page serves by itself.
namespace swingroom {

/// Title, where it is, what was asked, the caution.
Markup page_header(const ReportContents& contents, const ReportInput& input);
/// The answer, the map, the best places, what is doubtful.
/// @param map  the figure
std::vector<Section> first_sections(const ReportContents& contents, const ReportInput& input, Markup map);

/// All zones of a yes.
std::int64_t zones_of(const ReportContents& contents);
/// What every zone and every drop point has to mind.
Markup advice_of_all(const ReportContents& contents);

} // namespace swingroom
