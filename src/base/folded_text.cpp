#include "base/folded_text.hpp"

#include "base/text.hpp"

#include <algorithm>

namespace swingroom {
namespace {

/// Where what is carried over begins, and what stands before it there.
std::string margin_of(std::string_view line, std::size_t columns) {
    const std::size_t begin = std::min(line.find_first_not_of(' '), line.size());
    if (line.substr(begin).starts_with('#')) {
        const std::size_t text = std::min(line.find_first_not_of(' ', begin + 1), line.size());
        return std::string(begin, ' ') + "#" + std::string(text - begin - 1, ' ');
    }
    const std::size_t gap = line.find("  ", begin);
    const std::size_t value = gap == std::string_view::npos ? gap : line.find_first_not_of(' ', gap);
    const bool labelled = value != std::string_view::npos && 2 * columns_of(line.substr(0, value)) < columns;
    return std::string(labelled ? columns_of(line.substr(0, value)) : begin + 2, ' ');
}

/// Whether a blank stands between a number and its unit: no place to break at.
bool binds(std::string_view line, std::size_t blank) {
    const auto is = [&](std::size_t at, bool (*kind)(char)) { return at < line.size() && kind(line[at]); };
    return blank > 0 && is(blank - 1, [](char c) { return c >= '0' && c <= '9'; }) &&
           is(blank + 1, [](char c) { return c == '%' || (c >= 'a' && c <= 'z') || c == 'N'; });
}

/// The last blank to break at so that the first part takes no more columns; none: the first one behind them.
std::size_t break_of(std::string_view line, std::size_t from, std::size_t columns) {
    std::size_t last = std::string_view::npos, taken = 0;
    for (std::size_t at = 0; at < line.size(); ++at) {
        if (line[at] == ' ' && at >= from && !binds(line, at)) {
            if (taken > columns && last != std::string_view::npos) return last;
            last = at;
            if (taken > columns) return last;
        }
        taken += (static_cast<unsigned char>(line[at]) & 0xC0U) != 0x80 ? 1U : 0U;
    }
    return taken > columns ? last : std::string_view::npos;
}

/// @param margin  what each line begins with but the first
std::string folded_line(std::string_view line, std::size_t columns, const std::string& margin) {
    if (columns_of(line) <= columns) return std::string(line);
    std::string text, rest(line);
    // What stands before the value is no place to break at.
    std::size_t from = std::max(margin.size(), std::min(rest.find_first_not_of(' '), rest.size()));
    for (std::size_t at = break_of(rest, from, columns); at != std::string::npos;
         at = break_of(rest, from, columns)) {
        text += rest.substr(0, rest.find_last_not_of(' ', at) + 1) + '\n';
        rest = margin + std::string(trimmed(std::string_view(rest).substr(at), " "));
        from = margin.size() + 1;
    }
    return text + rest;
}

} // namespace

std::size_t columns_of(std::string_view line) {
    return static_cast<std::size_t>(std::count_if(
        line.begin(), line.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80; }));
}

std::string folded(std::string_view text, std::size_t columns) {
    if (columns == 0) return std::string(text);
    std::string all;
    while (!text.empty()) {
        const std::size_t end = std::min(text.find('\n'), text.size());
        const std::string_view line = text.substr(0, end);
        all += folded_line(line, columns, margin_of(line, columns));
        if (end < text.size()) all += '\n';
        text.remove_prefix(std::min(end + 1, text.size()));
    }
    return all;
}

std::string folded_flush(std::string_view text, std::size_t columns) {
    return columns == 0 ? std::string(text) : folded_line(text, columns, "");
}

} // namespace swingroom
