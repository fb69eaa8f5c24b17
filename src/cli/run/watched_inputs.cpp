#include "cli/run/watched_inputs.hpp"

#include "swingroom/base/error.hpp"

namespace swingroom::cli {

void WatchedInputs::note(const std::string& file) { changed_ns_[file] = last_change_ns(file); }

void WatchedInputs::note_also(const std::string& file) {
    if (!changed_ns_.contains(file)) note(file);
}

std::vector<InputFile> WatchedInputs::digested(const std::vector<std::string>& files,
                                               InputDigests& digests) const {
    std::vector<InputFile> inputs;
    for (const std::string& file : files) {
        inputs.push_back(digests.of(file));
        require_as_noted(inputs.back()); // what was read must be what is digested
    }
    return inputs;
}

std::vector<SampledInput> WatchedInputs::sampled(const std::vector<std::string>& files) const {
    std::vector<SampledInput> inputs;
    for (const std::string& file : files) {
        inputs.push_back(sample_of_file(file));
        require_as_noted(inputs.back().file);
    }
    return inputs;
}

void WatchedInputs::require_as_noted(const InputFile& file) const {
    const auto noted = changed_ns_.find(file.path);
    if (noted != changed_ns_.end() && noted->second != file.changed_ns) {
        throw IoError(file.path, "changed during the run; run again");
    }
}

} // namespace swingroom::cli
