#pragma once

#include "swingroom/sea/inspection.hpp"

#include "sea/cells/charted_soundings.hpp"
#include "sea/cells/enc_cells.hpp"
#include "sea/files/vector_file.hpp"

#include <vector>

namespace swingroom {

/// inspect() of a vector file that is open.   @param cell  the cell that it is, or none
Inspection inspected(const VectorFile& file, const EncCells& cell, const std::vector<HazardRule>& rules,
                     const Measures& measures);

/// inspect() of a raster, and how it lies to the soundings of charts.   @param soundings  none: no charts
Inspection inspected(const BathymetryRequest& request, const std::vector<ChartedSounding>& soundings,
                     const Measures& measures);

} // namespace swingroom
