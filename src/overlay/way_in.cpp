#include "swingroom/overlay/way_in.hpp"

#include <cassert>

namespace swingroom {

PlaceReach reach_of(const OverlayJob& job, GridCell cell) {
    assert(job.way_in != nullptr);
    const WayIn& way_in = *job.way_in;
    if (!way_in.access) return {};
    AccessLevels::Workspace work;
    Plane<float> level_m;
    way_in.access->levels({cell.col, cell.row, 1, 1}, work, level_m);
    const float access_level_m = way_in.told_m(level_m.at(cell.col, cell.row));
    return {way_in.reach(access_level_m), access_level_m};
}

} // namespace swingroom
