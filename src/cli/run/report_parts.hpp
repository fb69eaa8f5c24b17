#pragma once

#include "swingroom/report/report.hpp"

#include "cli/run/job.hpp"

namespace swingroom::cli {

/// What the report of a run says beside the layers: the boat's table and rode, and another look at each of
/// the inputs, which takes as long as `swingroom inputs` does.   @throws InputError, IoError
ReportInput report_input(const JobOptions& options, const OpenedJob& opened, const Provenance& provenance);

} // namespace swingroom::cli
