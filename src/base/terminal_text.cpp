#include "base/terminal_text.hpp"

#include "base/text.hpp"

#include <algorithm>
#include <array>
#include <cstdint>

namespace swingroom {
namespace {

/// A character at the start of a text, and how many bytes it takes; none: the first byte is no UTF-8.
struct Character {
    std::uint32_t code = 0;
    std::size_t bytes = 0;
};

/// RFC 3629, section 4.
Character first_of(std::string_view text) {
    const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
    const unsigned lead = byte(0);
    if (lead < 0x80) return {lead, 1};
    const std::size_t bytes = lead >= 0xC2 && lead <= 0xDF   ? 2
                              : lead >= 0xE0 && lead <= 0xEF ? 3
                              : lead >= 0xF0 && lead <= 0xF4 ? 4
                                                             : 0;
    if (bytes == 0 || text.size() < bytes) return {};
    std::uint32_t code = lead & (0x7FU >> bytes);
    for (std::size_t i = 1; i < bytes; ++i) {
        if ((byte(i) & 0xC0U) != 0x80) return {};
        code = code << 6U | (byte(i) & 0x3FU);
    }
    constexpr std::array<std::uint32_t, 5> least = {0, 0, 0x80, 0x800, 0x10000};
    const bool surrogate = code >= 0xD800 && code <= 0xDFFF;
    if (code < least[bytes] || surrogate || code > 0x10FFFF) return {};
    return {code, bytes};
}

/// Characters that do something to a terminal, or to the order of what is shown, instead of being shown.
bool acts(std::uint32_t code) {
    struct Range {
        std::uint32_t first, last;
    };
    constexpr std::array ranges = {Range{0x00, 0x1F},     Range{0x7F, 0x9F}, // C0, DEL, C1
                                   Range{0x061C, 0x061C},                    // Arabic letter mark
                                   Range{0x200E, 0x200F},  // marks left to right and right to left
                                   Range{0x2028, 0x202E},  // separators; embeddings and overrides
                                   Range{0x2066, 0x206F}}; // isolates; shapings that Unicode has given up
    return std::any_of(ranges.begin(), ranges.end(),
                       [code](const Range& range) { return code >= range.first && code <= range.last; });
}

std::string without_acts(std::string_view text, std::string_view kept) {
    std::string shown;
    shown.reserve(text.size());
    while (!text.empty()) {
        const auto [code, bytes] = first_of(text);
        if (bytes == 0) {
            shown += "\\x" + hex_digits(static_cast<unsigned char>(text.front()), 2);
        } else if (acts(code) && kept.find(text.front()) == std::string_view::npos) {
            shown += "\\u" + hex_digits(code, 4);
        } else {
            shown += text.substr(0, bytes);
        }
        text.remove_prefix(std::max<std::size_t>(1, bytes));
    }
    return shown;
}

/// At most so many bytes, and no character of several cut in two.
std::string_view beginning(std::string_view text, std::size_t most) {
    std::size_t end = std::min(text.size(), most);
    const auto goes_on = [&](std::size_t at) {
        return (static_cast<unsigned char>(text[at]) & 0xC0) == 0x80;
    };
    while (end > 0 && end < text.size() && goes_on(end)) {
        --end;
    }
    return text.substr(0, end);
}

} // namespace

std::string for_terminal(std::string_view text) { return without_acts(text, "\n\t"); }

std::string on_one_line(std::string_view text) { return without_acts(text, ""); }

std::string shortened(std::string_view text, std::size_t most) {
    const std::string_view begin = beginning(text, most);
    return on_one_line(begin) + (begin.size() < text.size() ? "..." : "");
}

std::string printable(std::string_view text, std::size_t most) {
    const std::string_view begin = beginning(text, most);
    std::string shown(begin);
    std::replace_if(
        shown.begin(), shown.end(), [](char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7F; },
        '?');
    return shown + (begin.size() < text.size() ? "..." : "");
}

} // namespace swingroom
