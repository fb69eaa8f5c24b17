#pragma once

#include "swingroom/report/report.hpp"

#include "report/page_parts.hpp"

#include <string>
#include <vector>

namespace swingroom {

/// What an answer rests on: the inputs with what is doubtful in them, what was assumed, how to run it again,
/// the digests of the files, the cautions.
std::vector<Section> sources_sections(const ReportInput& input);

/// What the run has warned of.
std::vector<std::string> warnings_in(const Provenance& provenance);

} // namespace swingroom
