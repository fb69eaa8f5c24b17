#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/sea/georeference.hpp"
#include "swingroom/sea/place_names.hpp"

#include "sea/files/vector_file.hpp"

#include <span>
#include <vector>

namespace swingroom {

/// The named places of charts that lie in a window, or reach into it: by kind, those around its middle first,
/// of these the smallest, each name once.
/// @param files  those that are no cells have no such objects   @param georeference  of the window's grid
std::vector<PlaceName> place_names(std::span<const VectorFile> files, const Georeference& georeference,
                                   Window window);

} // namespace swingroom
