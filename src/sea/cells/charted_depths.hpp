#pragma once

#include "swingroom/sea/charted_depths.hpp"

#include "sea/cells/opened_files.hpp"

#include <memory>

namespace swingroom {

/// Of the charts among the files.   @param files  must outlive what is returned
std::unique_ptr<ChartedDepths> charted_depths(const OpenedFiles& files);

} // namespace swingroom
