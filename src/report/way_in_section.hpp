#pragma once

#include "swingroom/base/markup.hpp"
#include "swingroom/report/report.hpp"

#include <cstddef>
#include <optional>
#include <string>

namespace swingroom {

/// The page's section of the way in: what she needs, when she can come to the best places and go, the sills,
/// the approaches by their legs. Empty where nobody looked.
Markup way_in_section(const ReportInput& input);

/// For the first page: when to come in to the best place, and when she can leave. Empty where nobody looked,
/// and where it is not known whether there is a way, which the section tells.
std::string when_to_come_text(const ReportInput& input);

/// The first of the drop points, from 0, to which the way is open at times; nothing: there is none.
std::optional<std::size_t> first_at_times(const ReportInput& input);

/// When she can come to a drop point, and go, in a few words for its row of a table; empty where that is not
/// known.   @param number  of the drop point, from 0
std::string way_in_words(std::size_t number, const ReportInput& input);

} // namespace swingroom
