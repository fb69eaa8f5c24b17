#include "cli/cruise/run_record.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/version.hpp"
#include "swingroom/publish/folder.hpp"
#include "swingroom/publish/library_versions.hpp"
#include "swingroom/publish/provenance.hpp"

#include "base/build_id.hpp"
#include "base/json.hpp"
#include "publish/folder/json_value.hpp"
#include "sea/files/file_stamps.hpp"

#include <algorithm>

namespace swingroom::cli {
namespace {

namespace fs = std::filesystem;

/// What no other build of it has; empty where the system does not show it. The build ID is at hand, while a
/// digest takes as long as a part needs for reading its hazards.
std::string identity_of_program() {
    if (const std::string id = build_id(); !id.empty()) return " of build ID " + id;
    try {
        return " of SHA-256 " + digest_of_file("/proc/self/exe").sha256;
    } catch (const IoError&) {
        return {};
    }
}

/// @throws IoError  one is gone, or cannot be read
bool are_as_digested(const std::vector<InputFile>& inputs, InputDigests& digests) {
    return std::all_of(inputs.begin(), inputs.end(),
                       [&](const InputFile& input) { return digests.of(input.path).sha256 == input.sha256; });
}

} // namespace

std::string record_text(const RunRecord& record) {
    return json_head("cruise record")
        .text("what_counts", record.what_counts)
        .text("made_by", record.made_by)
        .text("manifest", record.manifest)
        .raw("files", json_texts(record.files))
        .text("told", record.told)
        .document();
}

std::optional<RunRecord> read_record(const std::string& text) {
    try {
        const JsonValue json = JsonValue::parse(text, "record");
        return RunRecord{json.text("what_counts"), json.text("made_by"), json.text("manifest"),
                         json.texts("files"), json.text("told")};
    } catch (const IoError&) {
        return std::nullopt;
    }
}

std::string program_and_libraries() {
    // One that was built anew may answer otherwise without another version.
    static const std::string program = identity_of_program();
    std::string all = "swingroom " + std::string(version()) + program;
    for (const auto& [library, its_version] : library_versions()) {
        all += ", " + library + " " + its_version;
    }
    return all;
}

bool is_unchanged(const RunRecord& record, const fs::path& folder, const std::string& what_counts,
                  const OverlayOptions& options, InputDigests& digests) {
    if (record.what_counts != what_counts || record.made_by != program_and_libraries() ||
        record.files != with_neighbours(options.inputs)) {
        return false;
    }
    try {
        return manifest_digest(folder) == record.manifest && verify_folder(folder).empty() &&
               are_as_digested(inputs_of_folder(folder), digests);
    } catch (const InputError&) { // it is gone, or has no manifest
    } catch (const IoError&) {
    }
    return false;
}

} // namespace swingroom::cli
