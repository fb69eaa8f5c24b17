#pragma once

#include "swingroom/base/fact.hpp"
#include "swingroom/publish/provenance.hpp"

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <utility>
#include <vector>

/// What a part of a run says of itself: which part of which run it is, and all that a merge needs to know of
/// the run beside its sea and its answers.
namespace swingroom {

/// Which part of how many, the first being 1.
struct PartOfRun {
    int part = 1;  ///< from 1 on
    int parts = 1; ///< how many there are, at least `part`
};

/// By what it is known that two parts have read the same file, without reading all of it. Copies that were
/// made with their time, as cp -p makes them, are the same.
struct SampledInput {
    InputFile file; ///< without a digest where another part has it
    /// SHA-256 of up to 64 stretches of the file, evenly spread, its first and last bytes among them.
    std::string sample_sha256;
};
/// Samples a file; its digest is left empty.   @throws IoError  it is not a plain file, or cannot be read
SampledInput sample_of_file(const std::string& path);

/// What is the same in all parts of a run.
struct RunTerms {
    std::string version; ///< of the program
    /// The program by its bytes, and its libraries: builds of one version may answer otherwise.
    std::string made_by;
    /// The options that were given, but for those that do not bear on the result; by name.
    std::vector<std::pair<std::string, std::vector<std::string>>> given;
    std::string effective_plan;       ///< as outputs tell it
    std::vector<std::string> charts;  ///< the cells of charts, folders looked into
    std::string boat_text, tide_text; ///< what these files say; no text of a tide: there is none
    std::vector<Fact> facts;          ///< what was assumed, as the provenance tells it
};

/// A part.
struct PartRecord {
    PartOfRun number;
    RunTerms terms;
    /// All files that the run reads, in the order of the provenance. Each is digested by one of the parts.
    std::vector<SampledInput> inputs;
};

/// Which part digests an input.   @param input  its place among them   @returns from 1 on
int digesting_part(std::size_t input, int parts);

/// Writes it into a folder.   @throws IoError
void write_part_record(const std::filesystem::path& folder, const PartRecord& record);

/// What all parts of a run say.
struct PartsOfRun {
    std::vector<std::filesystem::path> folders; ///< in the order of the parts
    RunTerms terms;
    std::vector<InputFile> inputs; ///< with their digests
};

/// Reads what parts say of themselves, and whether they are all parts of one run.
/// @param folders  in any order
/// @throws InputError  one is no part, is missing, is given twice, or is of another version, plan or input
///                     than the first; it is named
/// @throws IoError     one cannot be read, or is damaged
PartsOfRun read_parts(const std::vector<std::filesystem::path>& folders);

/// What the part in a folder says of itself.
/// @throws InputError  there is none, or one of another version
/// @throws IoError     it cannot be read, or is damaged
PartRecord read_part_record(const std::filesystem::path& folder);
/// The same; nothing where a folder holds no part that can be read.
std::optional<PartRecord> part_in(const std::filesystem::path& folder);

/// Whether two are the same part of one run, digests aside.
bool is_same_part(const PartRecord& a, const PartRecord& b);

} // namespace swingroom
