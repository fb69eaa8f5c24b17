#include "report/text_table.hpp"

#include "base/folded_text.hpp"

#include <algorithm>
#include <cstddef>
#include <numeric>
#include <string_view>
#include <utility>

namespace swingroom {
namespace {

std::vector<std::size_t> widths_of(const TextRows& rows) {
    std::vector<std::size_t> widths;
    for (const TextRow& row : rows) {
        widths.resize(std::max(widths.size(), row.size()));
        for (std::size_t i = 0; i < row.size(); ++i) {
            widths[i] = std::max(widths[i], columns_of(row[i]));
        }
    }
    return widths;
}

/// @param gap  what stands before each column   @param words_last  whether the last one holds no numbers
std::string lines_of(const TextRows& rows, std::string_view gap, bool words_last = true) {
    const std::vector<std::size_t> widths = widths_of(rows);
    std::string text;
    for (const TextRow& row : rows) {
        std::string line;
        for (std::size_t i = 0; i < row.size(); ++i) {
            const std::string pad(widths[i] - columns_of(row[i]), ' ');
            line += std::string(gap) + (words_last && i + 1 == widths.size() ? row[i] + pad : pad + row[i]);
        }
        text += line.substr(0, line.find_last_not_of(' ') + 1) + "\n";
    }
    return text;
}

std::size_t width_of(const TextRows& rows, std::string_view gap) {
    const std::vector<std::size_t> widths = widths_of(rows);
    return std::accumulate(widths.begin(), widths.end(), widths.size() * gap.size());
}

/// The first column and those from one to before another, in the rows that say something there; nothing where
/// none does but heads.
TextRows part_of(const TextRows& rows, std::size_t heads, std::size_t from, std::size_t to) {
    TextRows part;
    bool any = false;
    for (std::size_t i = 0; i < rows.size(); ++i) {
        TextRow row(rows[i].begin() + static_cast<std::ptrdiff_t>(from),
                    rows[i].begin() + static_cast<std::ptrdiff_t>(to));
        const bool says =
            std::any_of(row.begin(), row.end(), [](const std::string& cell) { return !cell.empty(); });
        any = any || (says && i >= heads);
        row.insert(row.begin(), rows[i].front());
        if (says || (i < heads && !rows[i].front().empty())) part.push_back(std::move(row));
    }
    return any ? part : TextRows();
}

/// As many columns to each part as the screen takes; the last part ends with the last column.
std::vector<TextRows> parts_of(const TextRows& rows, const Screen& screen, std::string_view gap) {
    std::vector<std::size_t> ends = screen.cuts;
    ends.push_back(rows.front().size());
    std::vector<TextRows> parts;
    std::size_t from = 1, taken = 1;
    for (const std::size_t end : ends) {
        const bool fits = width_of(part_of(rows, screen.heads, from, end), gap) <= screen.width;
        if (!fits && taken > from) {
            parts.push_back(part_of(rows, screen.heads, from, taken));
            from = taken;
        }
        taken = end;
    }
    parts.push_back(part_of(rows, screen.heads, from, taken));
    return parts;
}

} // namespace

std::string aligned(const TextRows& rows) { return lines_of(rows, "  "); }

std::string aligned(const TextRows& rows, const Screen& screen) {
    if (screen.width == 0 || rows.empty()) return aligned(rows);
    for (const std::string_view gap : {"  ", " "}) {
        if (width_of(rows, gap) <= screen.width) return lines_of(rows, gap);
    }
    std::string text;
    const std::vector<TextRows> parts = parts_of(rows, screen, "  ");
    for (const TextRows& part : parts) {
        if (part.empty()) continue;
        const bool last = &part == &parts.back();
        text += (text.empty() ? "" : "\n") + folded(lines_of(part, "  ", last), screen.width);
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
