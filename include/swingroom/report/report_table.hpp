#pragma once

#include <string>
#include <vector>

namespace swingroom {

/// A table of texts that are ready to be read; the first cell of a row names it.
struct ReportTable {
    /// What stands over the cells of a column.
    struct Column {
        std::string group; ///< of neighbouring columns; empty: none
        /// The heading, and the unit below it: empty for words and for figures without one.
        std::string name, unit;
        bool numbers = false; ///< what its cells hold, so that they stand flush right
    };
    /// What stands over the table, and is its name to a screen reader.
    std::string caption;
    /// From left to right.
    std::vector<Column> columns;
    /// As many cells in each as there are columns.
    std::vector<std::vector<std::string>> rows;
};

} // namespace swingroom
