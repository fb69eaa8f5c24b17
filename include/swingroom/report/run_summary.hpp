#pragma once

#include "swingroom/overlay/overlay.hpp"
#include "swingroom/publish/folder.hpp"
#include "swingroom/publish/overlay_files.hpp"
#include "swingroom/report/report.hpp"

#include <cstdint>
#include <string>
#include <vector>

namespace swingroom {

/// What a run has made for one of its boats.
struct BoatSummary {
    std::string folder;                       ///< her folder within the run's; empty: all of that is hers
    const OverlayFiles& files;                ///< after the run
    const OverlayJob& job;                    ///< nothing is told of layers that were not asked for
    const std::vector<std::string>& warnings; ///< a sentence each
    const ReportInput* page;                  ///< what the report was made from; null: it was not asked for
};

/// What a run that is done tells other programs: the folder, its files with their digests, what they hold,
/// and what the page tells of them; of several boats that of each.
/// @param folder  committed   @param boats  at least one; one with a folder of her own, or all
std::string overlay_json(const PendingFolder& folder, const std::vector<BoatSummary>& boats);
/// The same of a folder that holds nothing but exclusions.   @param features  how many polygons there are
std::string exclusions_json(const PendingFolder& folder, std::int64_t features,
                            const std::vector<std::string>& warnings);

} // namespace swingroom
