#pragma once

#include "swingroom/base/fact.hpp"
#include "swingroom/base/measures.hpp"
#include "swingroom/overlay/way_in.hpp"
#include "swingroom/sea/georeference.hpp"

#include "cli/options/access_options.hpp"

#include <functional>
#include <string>
#include <vector>

namespace swingroom::cli {

/// What the way in is asked about.
struct WayInRequest {
    const AccessOptions& options;
    const OverlayJob& job; ///< over all of the raster
    const Georeference& georeference;
    std::string raster, boat_file; ///< for messages
    Measures measures;
};

/// The way in, and what is to be told of it.
struct FoundWayIn {
    WayIn way_in;
    std::vector<Fact> facts;
};

/// What she needs under way: by the options, else by the boat file.
/// @throws InputError  neither says how wide she is
UnderWay under_way(const AccessOptions& options, const Boat& boat, const std::string& boat_file);

/// Looks for the way in all over the raster.
/// @param progress  as AccessLevels has it
/// @throws InputError  also a start outside the raster or where she does not float clear, and a raster
///                     without an edge to come in over
FoundWayIn find_way_in(const WayInRequest& request, const std::function<void(double)>& progress);

} // namespace swingroom::cli
