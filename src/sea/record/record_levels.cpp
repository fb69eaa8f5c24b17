#include "swingroom/sea/sea_record.hpp"

#include "base/byte_stream.hpp"
#include "sea/depths/height_field.hpp"
#include "sea/depths/level_raster.hpp"
#include "sea/depths/shared_depths.hpp"
#include "sea/record/depth_record.hpp"
#include "sea/record/passed_values.hpp"
#include "sea/record/record_file.hpp"

#include <filesystem>
#include <memory>
#include <string>
#include <utility>
#include <vector>

namespace swingroom {

void record_levels(const LevelsRequest& request, const Grid& grid, const std::string& grid_name,
                   const SeaShare& share, const std::filesystem::path& folder) {
    ByteWriter of_run;
    pass_all(of_run, grid, request.low.file, request.low.level_m, request.high.file, request.high.level_m);
    for (const auto& [level, kind] : {std::pair(&request.low, RecordKind::low_levels),
                                      std::pair(&request.high, RecordKind::high_levels)}) {
        if (level->file.empty()) continue;
        const std::unique_ptr<DepthSource> raster = open_level_raster(level->file);
        // Whoever looks at cells beside those that bear on the grid does not mind what is there.
        constexpr int beside_cells = 2;
        const Window region = common(
            grown(touched_region(raster->grid(), grid, raster->sources().front(), grid_name), beside_cells),
            raster->grid().extent());
        record_depths(*raster, region, share, checksum(of_run.all()), folder, kind);
    }
}

StayLevels open_recorded_levels(const std::vector<std::filesystem::path>& folders,
                                const LevelsRequest& request, const Grid& grid,
                                const std::string& grid_name) {
    const auto opened = [&](const LevelRequest& level, RecordKind kind) {
        StayLevels::Level of{level.level_m, nullptr};
        if (!level.file.empty()) {
            of.raster =
                std::make_unique<SharedDepths>(open_recorded_depths(folders, kind, BeyondRecord::unsurveyed));
        }
        return of;
    };
    return {opened(request.low, RecordKind::low_levels), opened(request.high, RecordKind::high_levels), grid,
            grid_name};
}

} // namespace swingroom
