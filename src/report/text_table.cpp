#include "report/text_table.hpp"

#include <algorithm>
#include <cstddef>

namespace swingroom {

std::string aligned(const TextRows& rows) {
    std::vector<std::size_t> widths;
    for (const TextRow& row : rows) {
        widths.resize(std::max(widths.size(), row.size()));
        for (std::size_t i = 0; i < row.size(); ++i) {
            widths[i] = std::max(widths[i], row[i].size());
        }
    }
    std::string text;
    for (const TextRow& row : rows) {
        std::string line;
        for (std::size_t i = 0; i < row.size(); ++i) {
            const std::string pad(widths[i] - row[i].size(), ' ');
            line += "  " + (i + 1 == widths.size() ? row[i] + pad : pad + row[i]);
        }
        text += line.substr(0, line.find_last_not_of(' ') + 1) + "\n";
    }
    return text;
}

std::string markdown_table(const TextRows& rows) {
    std::string text;
    for (std::size_t r = 0; r < rows.size(); ++r) {
        for (const std::string& cell : rows[r]) {
            text += "| " + cell + " ";
        }
        text += "|\n";
        if (r == 0) {
            for (std::size_t i = 0; i < rows[0].size(); ++i) {
                text += i + 1 == rows[0].size() ? "| --- " : "| ---: ";
            }
            text += "|\n";
        }
    }
    return text;
}

} // namespace swingroom
