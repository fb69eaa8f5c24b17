#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace swingroom {

/// How many columns a line of UTF-8 takes, one for each character.
std::size_t columns_of(std::string_view line);

/// A text whose lines are broken at blanks so that each takes at most so many columns, but for words that are
/// longer. What is carried over stands under the value where the line is a label, two or more blanks, and a
/// value; under the text of a comment behind its #; else two columns in from where the line began.
/// @param columns  0: as wide as they are
std::string folded(std::string_view text, std::size_t columns);

/// The same of a paragraph: nothing is carried over farther in than it began.
std::string folded_flush(std::string_view text, std::size_t columns);

} // namespace swingroom
