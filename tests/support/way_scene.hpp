#pragma once

#include "swingroom/overlay/overlay.hpp"
#include "swingroom/overlay/way_in.hpp"

#include <vector>

namespace swingroom::testing_support {

/// To somewhere amid the raster, whatever there is.   @param job  must outlive it
inline WayIn way_from_the_middle(const OverlayJob& job) {
    const UnderWay needs{3, job.tables->boat().required_depth_m()};
    const Window all = job.depths->grid().extent();
    WayIn way_in{.needs = needs,
                 .job = &job,
                 .access =
                     AccessLevels::from_places(job, needs, std::vector{GridCell{all.cols / 2, all.rows / 2}}),
                 .places = {}};
    way_in.lowest_m = static_cast<float>(job.tables->conditions().water.low_m);
    way_in.highest_m = static_cast<float>(job.tables->conditions().water.high_m);
    return way_in;
}

} // namespace swingroom::testing_support
