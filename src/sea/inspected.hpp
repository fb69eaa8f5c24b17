#pragma once

#include "swingroom/sea/inspection.hpp"

#include "sea/cells/enc_cells.hpp"
#include "sea/files/vector_file.hpp"

#include <vector>

namespace swingroom {

/// inspect() of a vector file that is open.   @param cell  the cell that it is, or none
Inspection inspected(const VectorFile& file, const EncCells& cell, const std::vector<HazardRule>& rules,
                     const Measures& measures);

} // namespace swingroom
