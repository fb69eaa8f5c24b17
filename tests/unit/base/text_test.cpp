// What every folder does with plain text.

#include "base/text.hpp"

#include <gtest/gtest.h>

#include <string>
#include <string_view>
#include <vector>

namespace swingroom {
namespace {

using Texts = std::vector<std::string>;

TEST(Text, IsSplitAndJoined) {
    EXPECT_EQ(split("a|b||c", '|'), (Texts{"a", "b", "", "c"}));
    EXPECT_EQ(split("", '|'), Texts{""});
    EXPECT_EQ(split("a|", '|'), (Texts{"a", ""}));
    EXPECT_EQ(joined({}, ", "), "");
    EXPECT_EQ(joined({"a"}, ", "), "a");
    EXPECT_EQ(joined({"", "b", ""}, ", "), ", b, ") << "empty ones count";
    std::string list;
    for (const char* const word : {"mud", "sand"}) {
        add_word(list, "; ", word);
    }
    EXPECT_EQ(list, "mud; sand");
}

TEST(Text, IsReplacedFromLeftToRight) {
    EXPECT_EQ(replaced("aXbX", "X", "XX"), "aXXbXX") << "what was put in is not looked at again";
    EXPECT_EQ(replaced("aaa", "aa", "b"), "ba");
    EXPECT_EQ(replaced("abc", "x", "y"), "abc");
}

TEST(Text, IsTrimmedAtBothEndsOfTheBlanksThatAreNamed) {
    EXPECT_EQ(trimmed(" \t5 m\r\n"), "5 m");
    EXPECT_EQ(trimmed("   "), "");
    EXPECT_EQ(trimmed(""), "");
    EXPECT_EQ(trimmed("5\n", " \t\r"), "5\n");
    EXPECT_EQ(trimmed(", a, b ,", ", "), "a, b");
}

TEST(Text, IsQuoted) { EXPECT_EQ(quoted("5 x"), "\"5 x\""); }

TEST(Hex, HasLeadingNoughts) {
    EXPECT_EQ(hex_digits(0x2AU, 4), "002a");
    EXPECT_EQ(hex_digits(0x12345U, 2), "45");
    EXPECT_EQ(hex_of(std::string_view("\x00\xff\x1b", 3)), "00ff1b");
}

} // namespace
} // namespace swingroom
