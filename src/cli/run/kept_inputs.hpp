#pragma once

#include "swingroom/publish/provenance.hpp"
#include "swingroom/sea/sea.hpp"

#include "sea/files/file_stamps.hpp"

#include <map>
#include <string>

namespace swingroom::cli {

/// Digests of inputs, of which each is read once as long as it does not change.
class InputDigests {
public:
    /// A file as it is now, with its digest.   @throws IoError  as digest_of_file
    const InputFile& of(const std::string& path);

private:
    std::map<std::string, Stamped<InputFile>> known_;
};

/// What runs find out of their inputs, kept from one run to the next by who makes several. It changes no
/// answer. A run that has failed may have been told of a file that was changing: what it kept is thrown away.
struct KeptInputs {
    SeaFiles sea;         ///< what the last run named is open
    InputDigests digests; ///< of all files of all runs
};

} // namespace swingroom::cli
