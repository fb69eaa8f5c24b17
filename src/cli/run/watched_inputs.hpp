#pragma once

#include "swingroom/publish/part_record.hpp"
#include "swingroom/publish/provenance.hpp"

#include "cli/run/kept_inputs.hpp"

#include <cstdint>
#include <map>
#include <string>
#include <vector>

namespace swingroom::cli {

/// Input files, and whether they have changed since they were read.
class WatchedInputs {
public:
    /// To be called before a file is read.
    void note(const std::string& file);
    /// The same, unless it was noted before: of what a file that is being read turns out to name.
    void note_also(const std::string& file);
    /// Reads each file once more, but for those whose digests are known. From here on it is the folder's
    /// commit that looks for changes.   @throws IoError  one was changed after it was noted
    [[nodiscard]] std::vector<InputFile> digested(const std::vector<std::string>& files,
                                                  InputDigests& digests) const;
    /// The same without reading all of them.   @throws IoError  as digested()
    [[nodiscard]] std::vector<SampledInput> sampled(const std::vector<std::string>& files) const;

private:
    void require_as_noted(const InputFile& file) const;

    std::map<std::string, std::int64_t> changed_ns_;
};

} // namespace swingroom::cli
