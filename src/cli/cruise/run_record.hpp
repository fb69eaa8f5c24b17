#pragma once

#include "cli/options/overlay_options.hpp"
#include "cli/run/kept_inputs.hpp"

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace swingroom::cli {

/// What a cruise keeps of a run that it has made, for a later cruise into the same folder: all by which that
/// one sees whether the same run would be made again, and what is told of it.
struct RunRecord {
    std::string what_counts;        ///< of its plan: PlannedRun::what_counts
    std::string made_by;            ///< program_and_libraries()
    std::string manifest;           ///< manifest_digest() of its folder
    std::vector<std::string> files; ///< with_neighbours() of its inputs before it was made
    std::string told;               ///< its stay with its one answer, as cruise_json() tells it
};
/// As the text of a file.
std::string record_text(const RunRecord& record);
/// Reads such a text.   @returns nothing where it is not as it was written
std::optional<RunRecord> read_record(const std::string& text);

/// The program, by its version and its build, and the versions of the libraries that it runs with.
std::string program_and_libraries();

/// Whether a folder is what a run by these options would make again: made by the same plan, program and
/// libraries of the same files, and whole.
/// @param what_counts  of the plan
bool is_unchanged(const RunRecord& record, const std::filesystem::path& folder,
                  const std::string& what_counts, const OverlayOptions& options, InputDigests& digests);

} // namespace swingroom::cli
