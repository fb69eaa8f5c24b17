#pragma once

#include "swingroom/base/fact.hpp"
#include "swingroom/base/measures.hpp"
#include "swingroom/overlay/way_in.hpp"
#include "swingroom/sea/georeference.hpp"

#include "cli/options/access_options.hpp"

#include <functional>
#include <memory>
#include <string>
#include <vector>

namespace swingroom::cli {

/// Whether a raster has so many cells that nobody looks for a way over all of it: a window of a file that
/// claims any size is small work, and stays so.
bool too_large_for_way_in(Window raster);

/// What the way in is asked about.
struct WayInRequest {
    const AccessOptions& options;
    OverlayJob job; ///< over all of the raster
    const Georeference& georeference;
    std::string raster, boat_file; ///< for messages
    Measures measures;
    /// Whether levels are asked for that the water does not come to during the stay.
    bool exact = false;
};

/// The way in, and what is to be told of it. It may be moved: what points to its parts goes on doing so.
struct FoundWayIn {
    std::unique_ptr<OverlayJob> job; ///< that it was looked for by, with the way in
    std::unique_ptr<WayIn> way_in;
    std::vector<Fact> facts;
    /// Why it is not known where it begins, or how wide it is, with the cure; empty: it is.
    std::string warning;
};

/// Looks for the way in all over the raster. Where it is asked for by name and cannot be had, that is an
/// error; otherwise it is not known.
/// @param progress  as AccessLevels has it
/// @throws InputError  a start outside the raster or where she does not float clear; and where the way is
///                     asked for by name: nobody says how wide she is, cells that are too small for it, and a
///                     raster without an edge to come in over
FoundWayIn find_way_in(const WayInRequest& request, const std::function<void(double)>& progress);

/// What can be said of it before it is looked for: finding the way in would end with these errors, too.
/// @throws InputError  as find_way_in(), but for a raster without an edge to come in over
void check_way_in(const WayInRequest& request);

} // namespace swingroom::cli
