#include "base/plain_letters.hpp"

#include <array>
#include <cstddef>
#include <cstdint>

namespace swingroom {
namespace {

/// The letters from U+00C0 to U+017F without their marks: the base letters of Unicode's decomposition, and
/// what is usual for those that have none.
constexpr std::uint32_t first_letter = 0xC0;
// clang-format off
constexpr std::array<std::string_view, 192> base_letters = {
    "A", "A", "A", "A", "A", "A", "AE", "C", "E", "E", "E", "E", "I", "I", "I", "I",
    "D", "N", "O", "O", "O", "O", "O", " ", "O", "U", "U", "U", "U", "Y", "Th", "ss",
    "a", "a", "a", "a", "a", "a", "ae", "c", "e", "e", "e", "e", "i", "i", "i", "i",
    "d", "n", "o", "o", "o", "o", "o", " ", "o", "u", "u", "u", "u", "y", "th", "y",
    "A", "a", "A", "a", "A", "a", "C", "c", "C", "c", "C", "c", "C", "c", "D", "d",
    "D", "d", "E", "e", "E", "e", "E", "e", "E", "e", "E", "e", "G", "g", "G", "g",
    "G", "g", "G", "g", "H", "h", "H", "h", "I", "i", "I", "i", "I", "i", "I", "i",
    "I", "i", "IJ", "ij", "J", "j", "K", "k", "k", "L", "l", "L", "l", "L", "l", "L",
    "l", "L", "l", "N", "n", "N", "n", "N", "n", "n", "N", "n", "O", "o", "O", "o",
    "O", "o", "OE", "oe", "R", "r", "R", "r", "R", "r", "S", "s", "S", "s", "S", "s",
    "S", "s", "T", "t", "T", "t", "T", "t", "U", "u", "U", "u", "U", "u", "U", "u",
    "U", "u", "U", "u", "W", "w", "Y", "y", "Y", "Z", "z", "Z", "z", "Z", "z", "s"};
// clang-format on

/// A character of more than one byte; 0 of what is none.
struct WideCharacter {
    std::uint32_t code = 0;
    std::size_t bytes = 1;
};

WideCharacter wide_character(std::string_view text) {
    const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
    const std::size_t bytes = byte(0) >= 0xF0 ? 4 : byte(0) >= 0xE0 ? 3 : byte(0) >= 0xC0 ? 2 : 1;
    if (bytes == 1 || bytes > text.size()) return {};
    std::uint32_t code = byte(0) & (0x7FU >> bytes);
    for (std::size_t i = 1; i < bytes; ++i) {
        if ((byte(i) & 0xC0U) != 0x80U) return {};
        code = code << 6U | (byte(i) & 0x3FU);
    }
    return {code, bytes};
}

std::string_view letters_of(std::uint32_t code) {
    // Marks that stand behind their letter.
    constexpr std::uint32_t first_mark = 0x300, last_mark = 0x36F;
    if (code >= first_mark && code <= last_mark) return "";
    if (code < first_letter || code >= first_letter + base_letters.size()) return " ";
    return base_letters[code - first_letter];
}

} // namespace

std::string in_plain_letters(std::string_view utf8) {
    std::string plain;
    while (!utf8.empty()) {
        const char c = utf8.front();
        if (c >= ' ' && c <= '~') {
            plain += c;
            utf8.remove_prefix(1);
            continue;
        }
        const WideCharacter wide = wide_character(utf8);
        plain += letters_of(wide.code);
        utf8.remove_prefix(wide.bytes);
    }
    return plain;
}

} // namespace swingroom
