#include "base/plain_letters.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <string>

namespace swingroom {
namespace {

TEST(PlainLetters, AreThoseThatAKeyboardOfTheWestHas) {
    EXPECT_EQ(in_plain_letters("Gull Cove 7, \"east\""), "Gull Cove 7, \"east\"");
    EXPECT_EQ(in_plain_letters("\u00cele d'Yeu"), "Ile d'Yeu");
    EXPECT_EQ(in_plain_letters("\u00c6r\u00f8, Sj\u00e6lland, V\u00e4ster\u00e5s"),
              "AEro, Sjaelland, Vasteras");
    EXPECT_EQ(in_plain_letters("\u0141eba, \u0160ibenik, \u00de\u00f3rsh\u00f6fn, Stra\u00dfe"),
              "Leba, Sibenik, Thorshofn, Strasse");
    EXPECT_EQ(in_plain_letters("\u017d\u017e\u017f\u00c0"), "ZzsA") << "the ends of the table";
    EXPECT_EQ(in_plain_letters("\u00bf\u0180"), "  ") << "just beyond them";
}

TEST(PlainLetters, OfDecomposedTextAreTheSame) { EXPECT_EQ(in_plain_letters("I\u0302le e\u0301"), "Ile e"); }

TEST(PlainLetters, OfAllElseAreBlanks) {
    EXPECT_EQ(in_plain_letters("\u03a0\u03cc\u03c1\u03bf\u03c2 2"), "      2");
    EXPECT_EQ(in_plain_letters("a\nb\tc\x7f"), "a b c ");
    EXPECT_EQ(in_plain_letters("\U0001F6A2!"), " !");
    EXPECT_EQ(in_plain_letters("a\xff\xc3"
                               "b\xe2\x82"),
              "a  b  ")
        << "no UTF-8";
    EXPECT_EQ(in_plain_letters("\xc3"), " ") << "cut off";
}

TEST(PlainLetters, AreAsciiWhateverTheBytes) {
    for (int first = 0; first < 256; ++first) {
        for (int second = 0; second < 256; ++second) {
            const std::string plain =
                in_plain_letters(std::string{static_cast<char>(first), static_cast<char>(second), 'x'});
            EXPECT_TRUE(std::all_of(plain.begin(), plain.end(), [](char c) { return c >= ' ' && c <= '~'; }))
                << first << ' ' << second;
        }
    }
}

} // namespace
} // namespace swingroom
