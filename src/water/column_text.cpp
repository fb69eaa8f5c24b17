#include "water/column_text.hpp"

#include "swingroom/base/error.hpp"

#include "base/text.hpp"

#include <algorithm>
#include <cstddef>
#include <ranges>

namespace swingroom {
namespace {

std::string small_letters(std::string_view text) {
    std::string letters(text);
    std::ranges::transform(letters, letters.begin(), [](char c) {
        return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    });
    return letters;
}

std::vector<std::string> fields_of(std::string_view line, char separator) {
    std::vector<std::string> fields;
    for (const auto& field : split(line, separator)) {
        auto text = trimmed(field);
        if (text.size() >= 2 && text.front() == '"' && text.back() == '"') {
            text = text.substr(1, text.size() - 2);
        }
        fields.emplace_back(trimmed(text));
    }
    return fields;
}

/// As agencies write them, too.
std::string key_of(std::string_view text) {
    std::string key = small_letters(trimmed(text));
    if (key == "units") return "unit";
    if (key == "time zone" || key == "timezone" || key == "time-zone") return "zone";
    return key;
}

/// Keeps a remark that is one of key and text.
void keep_remark(ColumnText& columns, std::string_view remark, int line) {
    const auto colon = remark.find_first_of(":=");
    if (colon == std::string_view::npos) return;
    const std::string key = key_of(remark.substr(0, colon));
    const std::string said(trimmed(remark.substr(colon + 1)));
    const auto [kept, is_new] = columns.remarks.emplace(key, said);
    if (!is_new && kept->second != said) {
        throw InputError(columns.where + ":" + std::to_string(line),
                         key + " is " + quoted(said) + " here and " + quoted(kept->second) + " before",
                         "leave one of them");
    }
}

} // namespace

ColumnText ColumnText::parse(std::string_view text, std::string_view where) {
    constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";
    if (text.starts_with(byte_order_mark)) text.remove_prefix(byte_order_mark.size());
    ColumnText columns;
    columns.where = where;
    char separator = ',';
    int number = 0;
    for (const auto& whole : split(text, '\n')) {
        ++number;
        const auto line = trimmed(whole, " \r");
        if (trimmed(line).empty()) continue;
        if (line.front() == '#') {
            keep_remark(columns, line.substr(1), number);
        } else if (columns.names.empty()) {
            if (line.find('\t') != std::string_view::npos) separator = '\t';
            for (const auto& name : fields_of(line, separator)) {
                columns.names.push_back(small_letters(name));
            }
        } else {
            columns.rows.push_back({number, fields_of(line, separator)});
            const auto& row = columns.rows.back();
            if (row.fields.size() != columns.names.size()) {
                throw InputError(columns.place(row),
                                 quoted(line.substr(0, 80)) + " has " + std::to_string(row.fields.size()) +
                                     " fields, the line of names " + std::to_string(columns.names.size()),
                                 "give each row a field for each name; decimals are written with a point");
            }
        }
    }
    if (columns.rows.empty()) {
        throw InputError(
            columns.where, "there are no rows under a line of names",
            "give columns time and height, with type for high and low waters; or name, amplitude "
            "and phase");
    }
    return columns;
}

std::optional<std::size_t> ColumnText::column(const std::vector<std::string_view>& any_of) const {
    std::optional<std::size_t> found;
    for (std::size_t i = 0; i < names.size(); ++i) {
        if (std::ranges::find(any_of, names[i]) == any_of.end()) continue;
        if (found) {
            throw InputError(where, "the columns " + names[*found] + " and " + names[i] + " mean the same",
                             "leave one of them");
        }
        found = i;
    }
    return found;
}

std::string ColumnText::remark(const std::string& key) const {
    const auto found = remarks.find(key);
    return found == remarks.end() ? std::string() : found->second;
}

std::string ColumnText::place(const Row& row) const { return where + ":" + std::to_string(row.line); }

} // namespace swingroom
