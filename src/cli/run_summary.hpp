#pragma once

#include "swingroom/publish/folder.hpp"
#include "swingroom/publish/overlay_files.hpp"

#include <cstdint>
#include <string>
#include <vector>

namespace swingroom::cli {

/// What a run that is done tells other programs: the folder, its files with their digests, what they hold.
/// @param wanted  the layers that were asked for: nothing is told of others
std::string overlay_json(const PendingFolder& folder, const OverlayFiles& files, LayerSet wanted,
                         const std::vector<std::string>& warnings);
std::string exclusions_json(const PendingFolder& folder, std::int64_t features,
                            const std::vector<std::string>& warnings);

} // namespace swingroom::cli
