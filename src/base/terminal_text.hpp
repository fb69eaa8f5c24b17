#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace swingroom {

/// A text of one or more lines as a terminal may show it. Names, attributes and values come from files that
/// anybody may have made: what would move the cursor, colour, retitle or answer for the terminal, or turn
/// what follows around, stands there in letters instead. That is all control characters but newline and tab,
/// DEL, those of C1 (U+0080 to U+009F), marks of direction, separators of lines and paragraphs, as \uXXXX;
/// and what is no UTF-8, byte by byte, as \xXX: a terminal may take such bytes for C1. In a JSON document,
/// which holds valid UTF-8, the escapes are JSON's own, so it says the same as before.
std::string for_terminal(std::string_view text);

/// The same for what is one line, whatever stands in it: newlines and tabs are escaped too.
std::string on_one_line(std::string_view text);

/// The same, cut where it is longer than what a message or a table wants to quote.
/// @param most  bytes of the text; no character is cut in two
std::string shortened(std::string_view text, std::size_t most = 60);

/// What is kept in outputs of a text from a file that may be anything: not endless, and ? for control
/// characters, as outputs have had them ever since.
std::string printable(std::string_view text, std::size_t most = 60);

} // namespace swingroom
