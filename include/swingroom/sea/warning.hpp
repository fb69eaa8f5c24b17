#pragma once

#include "swingroom/base/message.hpp"

#include <string>

namespace swingroom {

/// Something about the inputs that a run goes on with and a person should look at.
struct Warning {
    std::string file; ///< that it tells of; empty: the text says it itself
    Message text;     ///< what is doubtful, without the file's name

    /// The whole line: the file's name, if there is one, and the text.
    [[nodiscard]] Message message() const { return file.empty() ? text : file + ": " + text; }
};

} // namespace swingroom
