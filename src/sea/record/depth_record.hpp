#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/sea/bathymetry.hpp"
#include "swingroom/sea/sea_record.hpp"

#include "sea/record/record_file.hpp"

#include <cstdint>
#include <filesystem>
#include <memory>
#include <vector>

namespace swingroom {

/// Writes a part's share of the depths of a window, tile by tile.
/// @param source  knows them; it is asked for the tiles of the share alone   @param run  see PartNumber
void record_depths(const DepthSource& source, Window window, const SeaShare& share, std::uint64_t run,
                   const std::filesystem::path& folder, RecordKind kind);

/// What is held of depths that were not recorded.
enum class BeyondRecord {
    mistaken,  ///< that somebody asks for them is a mistake of the program: std::logic_error
    unsurveyed ///< nothing
};

/// The depths that all parts of a run have recorded.
/// @throws InputError, IoError  as open_recorded_sea
std::shared_ptr<const DepthSource> open_recorded_depths(const std::vector<std::filesystem::path>& folders,
                                                        RecordKind kind, BeyondRecord beyond);

} // namespace swingroom
