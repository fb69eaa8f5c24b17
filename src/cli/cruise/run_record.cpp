#include "cli/cruise/run_record.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/version.hpp"
#include "swingroom/publish/folder.hpp"
#include "swingroom/publish/library_versions.hpp"
#include "swingroom/publish/provenance.hpp"

#include "base/json.hpp"
#include "publish/folder/json_value.hpp"

#include <algorithm>
#include <cctype>
#include <set>
#include <system_error>

namespace swingroom::cli {
namespace {

namespace fs = std::filesystem;

/// "QQ5HAVEN.000" and "qq5haven.001" as "qq5haven.".
std::string stem_of(const fs::path& file) {
    std::string name = file.filename().string();
    name.resize(std::min(name.find('.'), name.size()));
    std::transform(name.begin(), name.end(), name.begin(),
                   [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    return name + ".";
}

bool are_as_digested(const std::vector<InputFile>& inputs, InputDigests& digests) {
    return std::all_of(inputs.begin(), inputs.end(),
                       [&](const InputFile& input) { return digests.of(input.path) == input.sha256; });
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
    std::string all = "swingroom " + std::string(version());
    // One that was built anew may answer otherwise without another version.
    static const std::string program = InputDigests().of("/proc/self/exe");
    if (!program.empty()) all += " of SHA-256 " + program;
    for (const auto& [library, its_version] : library_versions()) {
        all += ", " + library + " " + its_version;
    }
    return all;
}

std::vector<std::string> input_neighbours(const std::vector<std::string>& inputs) {
    std::set<std::string> found;
    std::map<fs::path, std::set<std::string>> stems; // by the folder that they are in
    for (const std::string& input : inputs) {
        found.insert(input);
        stems[fs::path(input).parent_path()].insert(stem_of(input));
    }
    for (const auto& [folder, wanted] : stems) {
        std::error_code error, ignored;
        const fs::path listed = folder.empty() ? fs::path(".") : folder;
        for (fs::directory_iterator it(listed, error), end; !error && it != end; it.increment(error)) {
            const bool beside = wanted.contains(stem_of(it->path()));
            if (beside && it->is_regular_file(ignored)) {
                found.insert((folder / it->path().filename()).string());
            }
        }
    }
    return {found.begin(), found.end()};
}

const std::string& InputDigests::of(const std::string& path) {
    const std::int64_t changed_ns = last_change_ns(path);
    const auto known = known_.find(path);
    if (known != known_.end() && changed_ns != 0 && known->second.changed_ns == changed_ns) {
        return known->second.sha256;
    }
    Digest digest{changed_ns, ""};
    try {
        digest.sha256 = digest_of_file(path).sha256;
    } catch (const IoError&) { // which is told when the run that needs it is made
    }
    return known_.insert_or_assign(path, std::move(digest)).first->second.sha256;
}

bool is_unchanged(const RunRecord& record, const fs::path& folder, const std::string& what_counts,
                  const OverlayOptions& options, InputDigests& digests) {
    if (record.what_counts != what_counts || record.made_by != program_and_libraries() ||
        record.files != input_neighbours(options.inputs)) {
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
