#include "cli/run/watched_inputs.hpp"

#include "swingroom/base/error.hpp"

namespace swingroom::cli {

void WatchedInputs::note(const std::string& file) { changed_ns_[file] = last_change_ns(file); }

void WatchedInputs::note_also(const std::string& file) {
    if (!changed_ns_.contains(file)) note(file);
}

std::vector<InputFile> WatchedInputs::digested(const std::vector<std::string>& files) const {
    std::vector<InputFile> inputs;
    for (const std::string& file : files) {
        inputs.push_back(digest_of_file(file));
        // What was read must be what is digested.
        const auto noted = changed_ns_.find(file);
        if (noted != changed_ns_.end() && noted->second != inputs.back().changed_ns) {
            throw IoError(file, "changed during the run; run again");
        }
    }
    return inputs;
}

} // namespace swingroom::cli
