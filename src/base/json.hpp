#pragma once

#include "swingroom/base/measures.hpp"

#include <cstdint>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace swingroom {

/// The text with every byte that is not part of valid UTF-8 replaced by U+FFFD: file names are any bytes,
/// JSON and XML are not.
std::string valid_utf8(std::string_view text);

/// A JSON string, quotes included (RFC 8259, section 7). What a terminal or a reader would obey is escaped,
/// so that the file may be looked at as it is and holds the same text.
std::string json_text(std::string_view text);

/// A JSON number with so many decimals, trailing zeros dropped, "0" never "-0"; null when not finite.
/// @param decimals  0 to 15
std::string json_number(double value, int decimals, Rounded way = Rounded::nearest);

/// "[1, 2]".
std::string json_list(const std::vector<std::string>& items);
/// A list of texts.
std::string json_texts(const std::vector<std::string>& texts);
/// A list with an item on each line, as a member of a document.
std::string json_lines(const std::vector<std::string>& items);

/// An object under way: members in the order in which they are given.
class JsonObject {
public:
    /// A number with so many decimals, as json_number() writes it.
    JsonObject& number(std::string_view key, double value, int decimals, Rounded way = Rounded::nearest) {
        return raw(key, json_number(value, decimals, way));
    }
    /// A whole number.
    JsonObject& whole(std::string_view key, std::int64_t value) { return raw(key, std::to_string(value)); }
    /// A text, which is escaped.
    JsonObject& text(std::string_view key, std::string_view value) { return raw(key, json_text(value)); }
    /// true or false.
    JsonObject& truth(std::string_view key, bool value) { return raw(key, value ? "true" : "false"); }
    /// null: what is not known.
    JsonObject& null(std::string_view key) { return raw(key, "null"); }
    /// @param json  a value that is ready
    JsonObject& raw(std::string_view key, std::string json) {
        members_.emplace_back(json_text(key), std::move(json));
        return *this;
    }
    /// In one line: {"a": 1, "b": 2}.
    [[nodiscard]] std::string line() const;
    /// As a member of a document, each of its own members on a line.
    [[nodiscard]] std::string lines() const;
    /// A whole document, each member on a line of its own.
    [[nodiscard]] std::string document() const;

private:
    [[nodiscard]] std::vector<std::string> items() const;

    std::vector<std::pair<std::string, std::string>> members_;
};

/// What the documents of all commands begin with. The number of the schema grows when a member changes its
/// meaning or goes; new members do not change it.
JsonObject json_head(std::string_view command);

} // namespace swingroom
