#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace swingroom::cli {

/// Cuts a text at each `separator`.
std::vector<std::string> split(std::string_view text, char separator);
/// Puts texts together, with `separator` between them.
std::string joined(const std::vector<std::string>& texts, std::string_view separator);
/// A text with every `what` replaced.
std::string replaced(std::string text, std::string_view what, std::string_view by);
/// With a capital first letter and a full stop.
std::string sentence(std::string_view text);
/// Breaks a text at blanks into lines of at most `width`, but for words that are longer.
std::vector<std::string> wrapped(std::string_view text, std::size_t width);
/// The same for a shell's command: with a backslash at the end of each line but the last.
std::vector<std::string> continued(std::string_view command, std::size_t width);

} // namespace swingroom::cli
