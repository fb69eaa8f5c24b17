#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

// What every folder does with plain text.

namespace swingroom {

/// Cuts a text at each `separator`.
std::vector<std::string> split(std::string_view text, char separator);
/// Puts texts together, with `separator` between them.
std::string joined(const std::vector<std::string>& texts, std::string_view separator);
/// Puts one more behind a list that is under way.
void add_word(std::string& list, std::string_view separator, std::string_view word);
/// A text with every `what` replaced.
std::string replaced(std::string text, std::string_view what, std::string_view by);
/// A text without the blanks at its ends.
std::string_view trimmed(std::string_view text, std::string_view blanks = " \t\r\n");
/// In double quotes, as messages show what was given.
std::string quoted(std::string_view text);

/// The last so many digits of a number, lower-case hex.
std::string hex_digits(std::uint32_t value, unsigned digits);
/// Two hex digits for each byte.
std::string hex_of(std::string_view bytes);

} // namespace swingroom
