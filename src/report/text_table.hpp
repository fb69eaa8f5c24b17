#pragma once

#include <cstddef>
#include <string>
#include <vector>

namespace swingroom {

/// A row of a table in text, a text for each column.
using TextRow = std::vector<std::string>;
/// Rows of as many columns each, the heads first.
using TextRows = std::vector<TextRow>;

/// Lines of columns of one width each: numbers to the right, the last column (remarks) to the left.
std::string aligned(const TextRows& rows);

/// How a table is brought onto a screen.
struct Screen {
    std::size_t width = 0; ///< characters of a line; 0: as many as it takes
    std::size_t heads = 0; ///< how many of the rows are heads
    /// Columns that a table may be cut before, ascending; the first column stands in each part.
    std::vector<std::size_t> cuts;
};
/// The same where lines are to be no longer than a screen is wide: with less between the columns, else in
/// several tables one below the other. There a row that says nothing is left out.
std::string aligned(const TextRows& rows, const Screen& screen);

/// The same as a table in Markdown, whose first row is the head.
std::string markdown_table(const TextRows& rows);

} // namespace swingroom
