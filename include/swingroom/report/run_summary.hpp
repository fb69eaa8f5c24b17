#pragma once

#include "swingroom/overlay/overlay.hpp"
#include "swingroom/publish/folder.hpp"
#include "swingroom/publish/overlay_files.hpp"
#include "swingroom/report/report.hpp"

#include <cstdint>
#include <string>
#include <vector>

namespace swingroom {

/// What a run that is done tells other programs: the folder, its files with their digests, what they hold,
/// and what the page tells of them.
/// @param job   nothing is told of layers that were not asked for
/// @param page  what the report was made from; none: it was not asked for
std::string overlay_json(const PendingFolder& folder, const OverlayFiles& files, const OverlayJob& job,
                         const std::vector<std::string>& warnings, const ReportInput* page);
/// The same of a folder that holds nothing but exclusions.   @param features  how many polygons there are
std::string exclusions_json(const PendingFolder& folder, std::int64_t features,
                            const std::vector<std::string>& warnings);

} // namespace swingroom
