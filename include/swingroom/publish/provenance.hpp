#pragma once

#include <cstdint>
#include <string>
#include <utility>
#include <vector>

namespace swingroom {

/// A file that a run has read, as the user named it, with its SHA-256 in lower-case hex.
struct InputFile {
    std::string path, sha256;
    std::uintmax_t bytes = 0;
};

/// What every output carries. Holds no clock and no machine: the same job gives the same bytes.
struct Provenance {
    std::string command; ///< the effective plan, one option a line, as an INI text
    std::vector<InputFile> inputs;
    std::vector<std::pair<std::string, std::string>>
        facts; ///< boat, water, wind, assumptions: name and value
};

/// SHA-256 of a file's bytes, lower-case hex.   @throws IoError
InputFile digest_of_file(const std::string& path);

} // namespace swingroom
