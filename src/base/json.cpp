#include "base/json.hpp"

#include "swingroom/base/version.hpp"

#include "base/text.hpp"

#include <array>
#include <charconv>
#include <cmath>
#include <cstddef>

namespace swingroom {
namespace {

/// Length of the valid UTF-8 sequence at the start of the text (RFC 3629, section 4), 0 when there is none.
std::size_t sequence_length(std::string_view text) {
    const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
    const unsigned char lead = byte(0);
    if (lead < 0x80) return 1;
    const std::size_t length = lead >= 0xC2 && lead <= 0xDF   ? 2
                               : lead >= 0xE0 && lead <= 0xEF ? 3
                               : lead >= 0xF0 && lead <= 0xF4 ? 4
                                                              : 0;
    if (length == 0 || text.size() < length) return 0;
    for (std::size_t i = 1; i < length; ++i) {
        if ((byte(i) & 0xC0U) != 0x80) return 0;
    }
    const unsigned char second = byte(1);
    const bool overlong = (lead == 0xE0 && second < 0xA0) || (lead == 0xF0 && second < 0x90);
    const bool surrogate = lead == 0xED && second > 0x9F, beyond = lead == 0xF4 && second > 0x8F;
    return overlong || surrogate || beyond ? 0 : length;
}

/// The character that a valid sequence stands for.
char32_t character_of(std::string_view sequence) {
    const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(sequence[i]); };
    if (sequence.size() == 1) return byte(0);
    char32_t code = byte(0) & (0xFFU >> (sequence.size() + 1));
    for (std::size_t i = 1; i < sequence.size(); ++i) {
        code = code << 6U | (byte(i) & 0x3FU);
    }
    return code;
}

/// Whether a terminal or a reader takes it for more than a character: control characters (C0, delete, C1),
/// marks that turn the direction of what is read after them, separators of lines.
bool is_steering(char32_t c) {
    return c < 0x20 || (c >= 0x7F && c <= 0x9F) || c == 0x61C || c == 0x200E || c == 0x200F ||
           (c >= 0x2028 && c <= 0x202E) || (c >= 0x2066 && c <= 0x2069);
}

} // namespace

std::string valid_utf8(std::string_view text) {
    std::string valid;
    valid.reserve(text.size());
    while (!text.empty()) {
        const std::size_t length = sequence_length(text);
        valid += length == 0 ? std::string_view("\xEF\xBF\xBD") : text.substr(0, length);
        text.remove_prefix(length == 0 ? 1 : length);
    }
    return valid;
}

std::string json_text(std::string_view text) {
    std::string quoted = "\"";
    const std::string valid = valid_utf8(text);
    for (std::string_view rest = valid; !rest.empty();) {
        const std::string_view sequence = rest.substr(0, sequence_length(rest));
        const char32_t c = character_of(sequence);
        if (c == '"' || c == '\\') {
            quoted.append("\\").append(sequence);
        } else if (c == '\n') {
            quoted += "\\n";
        } else if (is_steering(c)) {
            quoted += "\\u" + hex_digits(c, 4);
        } else {
            quoted += sequence;
        }
        rest.remove_prefix(sequence.size());
    }
    return quoted + '"';
}

std::string json_number(double value, int decimals, Rounded way) {
    if (!std::isfinite(value)) return "null";
    std::array<char, 400> digits{}; // the largest double has 309 digits before the point
    const auto [end, error] =
        std::to_chars(digits.data(), digits.data() + digits.size(), rounded(value, decimals, way),
                      std::chars_format::fixed, decimals);
    std::string text(digits.data(), end);
    if (text.find('.') != std::string::npos) {
        text.erase(text.find_last_not_of('0') + 1);
        if (text.back() == '.') text.pop_back();
    }
    return text == "-0" ? "0" : text;
}

std::string json_list(const std::vector<std::string>& items) { return "[" + joined(items, ", ") + "]"; }

std::string json_texts(const std::vector<std::string>& texts) {
    std::vector<std::string> items;
    for (const std::string& text : texts) {
        items.push_back(json_text(text));
    }
    return json_list(items);
}

std::string json_lines(const std::vector<std::string>& items) {
    return items.empty() ? "[]" : "[\n    " + joined(items, ",\n    ") + "\n  ]";
}

std::vector<std::string> JsonObject::items() const {
    std::vector<std::string> items;
    for (const auto& [key, value] : members_) {
        items.push_back(key + ": " + value);
    }
    return items;
}

std::string JsonObject::line() const { return "{" + joined(items(), ", ") + "}"; }

std::string JsonObject::lines() const {
    return members_.empty() ? "{}" : "{\n    " + joined(items(), ",\n    ") + "\n  }";
}

std::string JsonObject::document() const { return "{\n  " + joined(items(), ",\n  ") + "\n}\n"; }

JsonObject json_head(std::string_view command) {
    constexpr int schema = 2; // 1: a wind limit was null where no holding is known
    return JsonObject()
        .whole("schema", schema)
        .text("program", "swingroom " + std::string(version()))
        .text("command", command);
}

} // namespace swingroom
