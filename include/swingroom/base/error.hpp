#pragma once

#include <stdexcept>
#include <string>

namespace swingroom {

/// Something the user can mend. One line on stderr, exit code 2.
struct InputError : std::runtime_error {
    /// @param where  file, key or option as the user wrote it
    /// @param wrong  what was found there
    /// @param cure   what to do about it
    InputError(const std::string& where, const std::string& wrong, const std::string& cure)
        : std::runtime_error(where + ": " + wrong + "; " + cure) {}
};

/// A file or device that failed under us. One line on stderr, exit code 1.
struct IoError : std::runtime_error {
    /// @param where  the file as the user wrote it  @param wrong  what failed
    IoError(const std::string& where, const std::string& wrong) : std::runtime_error(where + ": " + wrong) {}
};

} // namespace swingroom
