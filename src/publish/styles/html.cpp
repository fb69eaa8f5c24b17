#include "publish/styles/html.hpp"

#include "base/json.hpp"

#include <array>
#include <cstddef>

namespace swingroom {
namespace {

/// In UTF-8: U+061C, U+200E, U+200F, U+202A to U+202E, U+2066 to U+2069 turn the direction of what is read
/// after them; U+FFFE and U+FFFF are no characters of XML.
constexpr std::array<std::string_view, 14> unwanted = {
    "\xD8\x9C",     "\xE2\x80\x8E", "\xE2\x80\x8F", "\xE2\x80\xAA", "\xE2\x80\xAB",
    "\xE2\x80\xAC", "\xE2\x80\xAD", "\xE2\x80\xAE", "\xE2\x81\xA6", "\xE2\x81\xA7",
    "\xE2\x81\xA8", "\xE2\x81\xA9", "\xEF\xBF\xBE", "\xEF\xBF\xBF"};
constexpr std::string_view replacement = "\xEF\xBF\xBD";

/// How many bytes at the start of the text must not stand there: 0 if they may.
std::size_t unwanted_bytes(std::string_view text) {
    const auto lead = static_cast<unsigned char>(text[0]);
    if (lead < 0x20 && lead != '\n') return 1;
    if (lead == 0x7F) return 1;
    if (lead == 0xC2 && text.size() > 1 && static_cast<unsigned char>(text[1]) < 0xA0) return 2;
    for (const std::string_view mark : unwanted)
        if (text.starts_with(mark)) return mark.size();
    return 0;
}

} // namespace

std::string clean_markup(std::string_view markup) {
    const std::string valid = valid_utf8(markup);
    std::string clean;
    clean.reserve(valid.size());
    for (std::string_view rest = valid; !rest.empty();) {
        const std::size_t bytes = unwanted_bytes(rest);
        if (bytes == 0)
            clean += rest.front();
        else
            clean += replacement;
        rest.remove_prefix(bytes == 0 ? 1 : bytes);
    }
    return clean;
}

std::string html_text(std::string_view text) {
    std::string escaped;
    for (const char c : clean_markup(text)) {
        switch (c) {
        case '&':
            escaped += "&amp;";
            break;
        case '<':
            escaped += "&lt;";
            break;
        case '>':
            escaped += "&gt;";
            break;
        case '"':
            escaped += "&quot;";
            break;
        case '\'':
            escaped += "&#39;";
            break;
        default:
            escaped += c;
        }
    }
    return escaped;
}

std::string element(std::string_view opening, std::string_view content) {
    const std::string_view name = opening.substr(0, opening.find(' '));
    std::string markup = "<";
    markup.append(opening).append(">").append(content).append("</").append(name).append(">");
    return markup;
}

std::string text_element(std::string_view opening, std::string_view text) {
    return element(opening, html_text(text));
}

} // namespace swingroom
