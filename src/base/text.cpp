#include "base/text.hpp"

#include <algorithm>
#include <cstddef>

namespace swingroom {

std::vector<std::string> split(std::string_view text, char separator) {
    std::vector<std::string> parts;
    for (std::size_t begin = 0; begin <= text.size();) {
        const std::size_t end = std::min(text.find(separator, begin), text.size());
        parts.emplace_back(text.substr(begin, end - begin));
        begin = end + 1;
    }
    return parts;
}

std::string joined(const std::vector<std::string>& texts, std::string_view separator) {
    std::string all;
    for (const std::string& text : texts) {
        if (&text != &texts.front()) all += separator;
        all += text;
    }
    return all;
}

void add_word(std::string& list, std::string_view separator, std::string_view word) {
    if (!list.empty()) list += separator;
    list += word;
}

std::string replaced(std::string text, std::string_view what, std::string_view by) {
    for (std::size_t at = text.find(what); at != std::string::npos; at = text.find(what, at + by.size())) {
        text.replace(at, what.size(), by);
    }
    return text;
}

std::string_view trimmed(std::string_view text, std::string_view blanks) {
    const std::size_t begin = std::min(text.find_first_not_of(blanks), text.size());
    return text.substr(begin, text.find_last_not_of(blanks) + 1 - begin);
}

std::string quoted(std::string_view text) { return "\"" + std::string(text) + "\""; }

std::string hex_digits(std::uint32_t value, unsigned digits) {
    std::string text;
    for (unsigned left = digits; left-- > 0;) {
        text += "0123456789abcdef"[value >> 4 * left & 0xFU];
    }
    return text;
}

std::string hex_of(std::string_view bytes) {
    std::string text;
    text.reserve(2 * bytes.size());
    for (const char byte : bytes) {
        text += hex_digits(static_cast<unsigned char>(byte), 2);
    }
    return text;
}

} // namespace swingroom
