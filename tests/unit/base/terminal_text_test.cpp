#include "base/terminal_text.hpp"

#include <gtest/gtest.h>

#include <cstddef>
#include <cstdint>
#include <string>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

using namespace std::string_literals;

TEST(ForTerminal, LeavesWhatIsOnlyShown) {
    for (const std::string& text :
         {""s, "Port \u00c9tienne, 47\u00b059.2'N\n\t\u2013 \u6d77 \u05d9\u05dd \U0001F6A2"s, "a\\b \\u001b"s,
          "\u00a0\u200b\u200c\u200d\u2065\u2070\ufeff"s}) {
        EXPECT_EQ(for_terminal(text), text);
    }
}

TEST(ForTerminal, SpellsWhatATerminalWouldActOn) {
    const std::vector<std::pair<std::string, std::string>> cases = {
        {"\x1b[31mred", "\\u001b[31mred"},
        {"\a", "\\u0007"},
        {"ab\b\bxy", "ab\\u0008\\u0008xy"},
        {"a\rb", "a\\u000db"},
        {"\x7f", "\\u007f"},
        {"a\0b"s, "a\\u0000b"},
        {"\u0080\u009b\u009f", "\\u0080\\u009b\\u009f"},
        {"\u061c\u200e\u200f", "\\u061c\\u200e\\u200f"},
        {"\u202a\u202b\u202c\u202d\u202e", "\\u202a\\u202b\\u202c\\u202d\\u202e"},
        {"\u2066\u2067\u2068\u2069\u206f", "\\u2066\\u2067\\u2068\\u2069\\u206f"},
        {"\u2028\u2029", "\\u2028\\u2029"},
        {"\x1b]8;;http://x\x1b\\here", "\\u001b]8;;http://x\\u001b\\here"},
    };
    for (const auto& [text, shown] : cases) {
        EXPECT_EQ(for_terminal(text), shown);
    }
}

TEST(ForTerminal, SpellsEachByteThatIsNoUtf8) {
    EXPECT_EQ(for_terminal("a\x9b"
                           "31m\xff"),
              "a\\x9b31m\\xff");
    EXPECT_EQ(for_terminal("caf\xe9 "), "caf\\xe9 ") << "Latin 1";
    EXPECT_EQ(for_terminal("\xc2"), "\\xc2") << "cut off";
    EXPECT_EQ(for_terminal("\xe2\x80"), "\\xe2\\x80");
    EXPECT_EQ(for_terminal("\xc0\x9b"), "\\xc0\\x9b") << "longer than need be: ESC and its like in disguise";
    EXPECT_EQ(for_terminal("\xe0\x82\x9b"), "\\xe0\\x82\\x9b");
    EXPECT_EQ(for_terminal("\xf0\x80\x82\x9b"), "\\xf0\\x80\\x82\\x9b");
    EXPECT_EQ(for_terminal("\xed\xa0\x80"), "\\xed\\xa0\\x80") << "half of a pair";
    EXPECT_EQ(for_terminal("\xf4\x90\x80\x80"), "\\xf4\\x90\\x80\\x80") << "beyond Unicode";
}

/// Whether every byte is of a character that is only shown, by rules of its own.
bool is_harmless(const std::string& text) {
    for (std::size_t i = 0; i < text.size(); ++i) {
        const auto byte = static_cast<unsigned char>(text[i]);
        if (byte < 0x20 || byte == 0x7f) return false;
        if (byte == 0xc2 && static_cast<unsigned char>(text[i + 1]) < 0xa0) return false;
    }
    return true;
}

TEST(OnOneLine, OfAnyTwoBytesIsHarmlessAndSaidTwiceTheSame) {
    for (int first = 0; first < 256; ++first) {
        for (int second = 0; second < 256; ++second) {
            const std::string text = {static_cast<char>(first), static_cast<char>(second)};
            const std::string shown = on_one_line(text);
            ASSERT_TRUE(is_harmless(shown)) << first << " " << second;
            ASSERT_EQ(on_one_line(shown), shown);
        }
    }
}

TEST(OnOneLine, HasNoSecondLine) {
    EXPECT_EQ(on_one_line("a\nswingroom: all is well\tb"), "a\\u000aswingroom: all is well\\u0009b");
}

TEST(Shortened, CutsBetweenCharacters) {
    EXPECT_EQ(shortened(std::string(60, 'x')), std::string(60, 'x'));
    EXPECT_EQ(shortened(std::string(100, 'x')), std::string(60, 'x') + "...");
    EXPECT_EQ(shortened("ab\u2013c", 4), "ab...");
    EXPECT_EQ(shortened("a\n\x1b[m", 3), "a\\u000a\\u001b...") << "what is quoted has no codes either";
}

TEST(Printable, HasNoControlCharactersAndAnEnd) {
    EXPECT_EQ(printable(std::string("a\x01\x7F\tb\0c", 7)), "a???b?c");
    EXPECT_EQ(printable(std::string(100, 'x')), std::string(60, 'x') + "...");
}

} // namespace
} // namespace swingroom
