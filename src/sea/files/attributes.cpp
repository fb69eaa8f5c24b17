#include "sea/files/attributes.hpp"

#include "base/terminal_text.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <string_view>
#include <system_error>

namespace swingroom {
namespace {

constexpr std::string_view separators = " \t,;";

/// Brackets and the count that GDAL puts before lists it writes as text.
std::string_view bare(std::string_view text) {
    const auto trim = [&text] {
        const auto first = std::min(text.find_first_not_of(" \t\r\n"), text.size());
        text.remove_prefix(first);
        while (!text.empty() && std::string_view(" \t\r\n").find(text.back()) != std::string_view::npos) {
            text.remove_suffix(1);
        }
    };
    trim();
    if (text.size() < 2) return text;
    const bool round = text.front() == '(' && text.back() == ')';
    if (round || (text.front() == '[' && text.back() == ']')) {
        text = text.substr(1, text.size() - 2);
        if (const auto colon = text.find(':'); round && colon != std::string_view::npos) {
            text.remove_prefix(colon + 1);
        }
    }
    trim();
    return text;
}

/// A word as a whole number: "7", "7.0", "\"7\"".
std::optional<int> whole_number(std::string_view word) {
    if (word.size() >= 2 && word.front() == '"' && word.back() == '"') word = word.substr(1, word.size() - 2);
    double value = 0;
    const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), value);
    if (error != std::errc() || end != word.data() + word.size()) return std::nullopt;
    if (value != std::floor(value) || std::abs(value) > 1e9) return std::nullopt;
    return static_cast<int>(value);
}

} // namespace

bool Codes::has_any(const std::vector<int>& wanted) const {
    return std::any_of(values.begin(), values.end(), [&](int code) {
        return std::find(wanted.begin(), wanted.end(), code) != wanted.end();
    });
}

Codes codes_in(const std::string& text) {
    Codes codes;
    std::string_view rest = bare(text);
    while (!rest.empty()) {
        const auto begin = std::min(rest.find_first_not_of(separators), rest.size());
        rest.remove_prefix(begin);
        const auto end = std::min(rest.find_first_of(separators), rest.size());
        if (end == 0) break;
        if (const auto code = whole_number(rest.substr(0, end))) {
            codes.values.push_back(*code);
        } else {
            codes.readable = false;
        }
        rest.remove_prefix(end);
    }
    codes.given = !codes.values.empty() || !codes.readable;
    return codes;
}

Codes codes_of(const OGRFeature& feature, int field) {
    if (field < 0 || !feature.IsFieldSetAndNotNull(field)) return {};
    return codes_in(feature.GetFieldAsString(field));
}

Codes codes_of(const OGRFeature& feature, const std::string& attribute) {
    return codes_of(feature, feature.GetFieldIndex(attribute.c_str()));
}

std::optional<double> number_of(const OGRFeature& feature, const std::string& attribute) {
    const std::string text = text_of(feature, attribute);
    const std::string_view number = bare(text);
    double value = 0;
    const auto [end, error] = std::from_chars(number.data(), number.data() + number.size(), value);
    if (number.empty() || error != std::errc() || end != number.data() + number.size() ||
        !std::isfinite(value)) {
        return std::nullopt;
    }
    return value;
}

std::optional<double> first_number_of(const OGRFeature& feature, const std::vector<std::string>& attributes) {
    for (const std::string& attribute : attributes) {
        if (!text_of(feature, attribute).empty()) return number_of(feature, attribute);
    }
    return std::nullopt;
}

std::string text_of(const OGRFeature& feature, const std::string& attribute) {
    const int field = feature.GetFieldIndex(attribute.c_str());
    if (field < 0 || !feature.IsFieldSetAndNotNull(field)) return {};
    return feature.GetFieldAsString(field);
}

std::string name_of(const OGRFeature& feature) {
    for (const char* const attribute : {"OBJNAM", "name"}) {
        if (const std::string name = name_of(feature, attribute); !name.empty()) return name;
    }
    return {};
}

std::string name_of(const OGRFeature& feature, const std::string& attribute) {
    const std::string name = text_of(feature, attribute);
    const auto first = name.find_first_not_of(" \t\r\n"), last = name.find_last_not_of(" \t\r\n");
    if (first == std::string::npos) return {};
    const std::string word = name.substr(first, last - first + 1);
    const bool none = EQUAL(word.c_str(), "<null>") || EQUAL(word.c_str(), "(null)");
    return none ? "" : printable(name);
}

std::string label_of(const std::string& object_class, const OGRFeature& feature) {
    return label_of(object_class, feature, name_of(feature));
}

std::string label_of(const std::string& object_class, const OGRFeature& feature, const std::string& name) {
    std::string label = printable(object_class) + " #" + std::to_string(feature.GetFID());
    if (!name.empty()) label += " " + name;
    if (const std::string id = text_of(feature, "LNAM"); !id.empty()) label += " " + id;
    return label;
}

} // namespace swingroom
