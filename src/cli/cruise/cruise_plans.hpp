#pragma once

#include <boost/program_options.hpp>

#include <filesystem>
#include <string>
#include <vector>

namespace swingroom::cli {

/// A stay with all boats: a run of `overlay`.
struct PlannedRun {
    std::string folder; ///< its name within the folder of the cruise: safe, and no other's
    /// Before names of features, for each boat in their order: three characters that neither another boat nor
    /// another run of the cruise has.
    std::vector<std::string> prefixes;
    /// The whole plan, as text: what `overlay --plan` reads, from wherever, to the same answer and folder.
    std::string plan;
    /// The same as options of `overlay`, for its accept().
    boost::program_options::variables_map given;
    /// The lines of the plan that bear on what the run makes: not where it is put, nor by how many threads.
    /// The same text means the same run, as long as the files are the same.
    std::string what_counts;
};

/// A cruise: every stay, by every boat.
struct CruisePlans {
    std::vector<std::string> stays; ///< their names, in the order of the file or route
    std::vector<std::string> boats; ///< their files
    std::vector<PlannedRun> runs;   ///< one for each stay, in their order
};

/// Makes the plans of a cruise file's stays.
/// @param file  its path   @param out  the folder of the cruise
/// @throws InputError  in one line what is wrong and with which stay: no area, times out of order, a name
/// twice,
///                     a file that is not there; what overlay itself would refuse of a plan is left to it
/// @throws IoError
CruisePlans plans_of_cruise(const std::string& file, const std::filesystem::path& out);

} // namespace swingroom::cli
