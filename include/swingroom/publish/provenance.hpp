#pragma once

#include "swingroom/base/fact.hpp"

#include <cstdint>
#include <string>
#include <vector>

namespace swingroom {

/// A file that a run has read, as the user named it, with its SHA-256 in lower-case hex.
struct InputFile {
    /// Its name as the user gave it, and the digest of its bytes.
    std::string path, sha256;
    /// Its size when it was digested.
    std::uintmax_t bytes = 0;
    /// When it was last changed, in ns since the epoch. Never published: at the commit it tells whether the
    /// file has changed during the run. 0 when not known.
    std::int64_t changed_ns = 0;
};

/// Their names alone.
std::vector<std::string> names_of(const std::vector<InputFile>& inputs);

/// What every output carries. Holds no clock and no machine: the same job gives the same bytes.
struct Provenance {
    std::string command; ///< the effective plan, one option a line, as an INI text
    /// Every file that the run has read, sidecars and updates of charts too.
    std::vector<InputFile> inputs;
    std::vector<Fact> facts; ///< boat, water, wind, assumptions, warnings
};

/// When a file was last changed, in ns since the epoch; 0 if that cannot be told.
std::int64_t last_change_ns(const std::string& path);

/// Whether files are as they were when they were looked at; those of which that is not known are passed over.
/// @throws IoError  one was changed since, or is gone
void require_unchanged(const std::vector<InputFile>& inputs);

/// SHA-256 of a file's bytes, lower-case hex, read piece by piece.
/// @throws IoError  it is not a plain file, or cannot be read
InputFile digest_of_file(const std::string& path);

/// The provenance for people, in one paragraph: caution, version, plan, facts, inputs.
std::string provenance_text(const Provenance& provenance);

/// The provenance as a JSON object: program, version, caution, command, facts, inputs. Text that is not UTF-8
/// has its foreign bytes replaced.
std::string provenance_json(const Provenance& provenance);

} // namespace swingroom
