#pragma once

#include <string>
#include <vector>

namespace swingroom {

/// A row of a table in text, a text for each column.
using TextRow = std::vector<std::string>;
/// Rows of as many columns each, the heads first.
using TextRows = std::vector<TextRow>;

/// Lines of columns of one width each: numbers to the right, the last column (remarks) to the left.
std::string aligned(const TextRows& rows);
/// The same as a table in Markdown, whose first row is the head.
std::string markdown_table(const TextRows& rows);

} // namespace swingroom
