#pragma once

#include <string>
#include <vector>

namespace swingroom {

/// A table of texts that are ready to be read; the first cell of a row names it.
struct ReportTable {
    /// What stands over the cells of a column.
    struct Column {
        std::string group; ///< of neighbouring columns; empty: none
        std::string name, unit;
        bool numbers = false; ///< what its cells hold, so that they stand flush right
    };
    std::string caption;
    std::vector<Column> columns;
    std::vector<std::vector<std::string>> rows;
};

} // namespace swingroom
