#pragma once

#include "swingroom/sea/warning.hpp"

#include "support/setting_words.hpp"

#include <string>
#include <vector>

namespace swingroom {

/// Warnings and messages as lines, settings marked, for matchers.
inline std::vector<std::string> told_all(const std::vector<Warning>& warnings) {
    std::vector<std::string> lines;
    for (const Warning& warning : warnings) {
        lines.push_back(warning.message().text(marked));
    }
    return lines;
}
inline std::vector<std::string> told_all(const std::vector<Message>& messages) {
    std::vector<std::string> lines;
    for (const Message& message : messages) {
        lines.push_back(message.text(marked));
    }
    return lines;
}

} // namespace swingroom
