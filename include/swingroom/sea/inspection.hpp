#pragma once

#include "swingroom/base/fact.hpp"
#include "swingroom/base/measures.hpp"
#include "swingroom/base/message.hpp"
#include "swingroom/room/metric.hpp"
#include "swingroom/sea/bathymetry.hpp"
#include "swingroom/sea/hazard_extent.hpp"
#include "swingroom/sea/hazards.hpp"

#include <cstddef>
#include <functional>
#include <limits>
#include <optional>
#include <string>
#include <vector>

namespace swingroom {

/// How a raster lies to the soundings of charts. Medians: a few odd soundings do not move them, a wrong sign,
/// unit or datum does.
struct AgainstCharts {
    std::size_t soundings = 0; ///< how many lie in cells with a depth; with none the rest means nothing
    double median_m = 0;       ///< of raster less chart, metres; positive: the raster is the deeper
    double turned_m = 0;       ///< of the same if the raster's sign were the other one
    double explained_m = 0;    ///< of how far both may be off together
};

/// What a given file is and what is doubtful in it, for people to read before they trust a run.
struct Inspection {
    std::string file; ///< as it was given
    /// What kind of file it is: a raster of depths, an S-57 cell, another vector file.
    enum class Kind { raster, chart, vector } kind = Kind::raster;
    std::vector<Fact> facts; ///< in the order to be told
    /// What a run would refuse until it is said, each with the setting that says it; none: it can be used as
    /// it is.
    std::vector<Message> open_questions;
    std::vector<Message> doubts;    ///< what a run would accept and a person should look at
    std::vector<ClassCount> counts; ///< of vector files

    /// Of the corners of a raster, of what a chart covers; nothing for other vector files.
    std::optional<LonLatBox> bounds;
    /// What the facts of a raster say, as numbers.
    struct Raster {
        int cols = 0, rows = 0; ///< cells across and down
        CellSize cell;          ///< on the ground, in the middle row
        double with_depth = 0;  ///< the share of the cells that have one
        /// Below chart datum, uncertainty included; NaN where no cell has a depth.
        double shoalest_m = std::numeric_limits<double>::quiet_NaN(),
               deepest_m = std::numeric_limits<double>::quiet_NaN();
        /// Where charts are given with it.
        std::optional<AgainstCharts> against_charts{};
    };
    std::optional<Raster> raster; ///< nothing for other files
};

/// Looks into a raster or a vector file, whichever it is; nothing about it need be said. What has to be said
/// for a run is assumed one way or the other here, only to see the rest, and told as an open question.
/// @param measures  of lengths and positions in the facts
/// @throws InputError  no such file, a format that is not read here   @throws IoError  unreadable
Inspection inspect(const std::string& file, const std::vector<HazardRule>& rules,
                   const Measures& measures = {});

/// The same of a raster of which a run is told something.   @throws InputError, IoError
Inspection inspect(const BathymetryRequest& request, const Measures& measures = {});

/// What is said of rasters, from their names, in their order.
using SaidOfRasters = std::function<std::vector<BathymetryRequest>(const std::vector<std::string>& rasters)>;
/// The same of files that belong together, in their order: where rasters and charts are among them, it is
/// also told how the rasters lie to the charts' soundings.
/// @param said  none: nothing is said of the rasters   @throws InputError, IoError
std::vector<Inspection> inspect(const std::vector<std::string>& files, const std::vector<HazardRule>& rules,
                                const Measures& measures = {}, const SaidOfRasters& said = {});

} // namespace swingroom
