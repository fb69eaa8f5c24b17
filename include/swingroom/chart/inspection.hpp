#pragma once

#include "swingroom/chart/bathymetry.hpp"
#include "swingroom/chart/hazards.hpp"

#include <string>
#include <utility>
#include <vector>

namespace swingroom {

/// What a given file is and what is doubtful in it, for people to read before they trust a run.
struct Inspection {
    std::string file;
    enum class Kind { raster, chart, vector } kind = Kind::raster;
    std::vector<std::pair<std::string, std::string>> facts; ///< in the order to be told
    /// What a run would refuse until an option says it, each with the option; none: it can be used as it is.
    std::vector<std::string> open_questions;
    std::vector<std::string> doubts; ///< what a run would accept and a person should look at
    std::vector<ClassCount> counts;  ///< of vector files
};

/// Looks into a raster or a vector file, whichever it is; nothing about it need be said. What has to be said
/// for a run is assumed one way or the other here, only to see the rest, and told as an open question.
/// @throws InputError  no such file, a format that is not read here   @throws IoError  unreadable
Inspection inspect(const std::string& file, const std::vector<HazardRule>& rules);

/// The same of a raster of which a run is told something.   @throws InputError, IoError
Inspection inspect(const BathymetryRequest& request);

} // namespace swingroom
