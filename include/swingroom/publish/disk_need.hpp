#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/overlay/layers.hpp"
#include "swingroom/publish/formats.hpp"

#include <filesystem>
#include <optional>

namespace swingroom {

/// What the rasters of a run take of a disk at their worst moment, in bytes. Zones, spots, exclusions and the
/// report come on top: what they take depends on the answers alone.
struct DiskNeed {
    /// What is certain however well the layers compress.
    double least_bytes = 0;
    /// If they were noise, which does not compress: twice the folder at the most, as the tiles of overviews
    /// are kept aside until their layer is whole.
    double most_bytes = 0;
};

/// @param wanted   layers; those that are no rasters are passed over
DiskNeed disk_need(Window window, LayerSet wanted, const Outputs& outputs);

/// What this program can still write where a folder is.  @returns nothing where that is not told
std::optional<double> free_bytes(const std::filesystem::path& folder);

} // namespace swingroom
