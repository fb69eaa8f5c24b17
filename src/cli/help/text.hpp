#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace swingroom::cli {

/// With a capital first letter and a full stop.
std::string sentence(std::string_view text);
/// Breaks a text at blanks into lines of at most `width`, but for words that are longer.
std::vector<std::string> wrapped(std::string_view text, std::size_t width);
/// A label, and a text beside it that starts in column `indent`; below it where the label reaches farther.
/// @param width  of the lines, the label's columns among them
std::string hanging(const std::string& label, std::string_view text, std::size_t indent, std::size_t width);
/// As wrapped(), for a shell's command: with a backslash at the end of each line but the last.
std::vector<std::string> continued(std::string_view command, std::size_t width);

} // namespace swingroom::cli
