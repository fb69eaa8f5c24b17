#include "base/folded_text.hpp"
#include "base/text.hpp"

#include <gtest/gtest.h>

#include <random>
#include <string>

namespace swingroom {
namespace {

TEST(FoldedText, IsAsWideAsItIsWhereNobodySays) {
    EXPECT_EQ(folded("a very long line of words\n", 0), "a very long line of words\n");
    EXPECT_EQ(folded("", 10), "");
    EXPECT_EQ(folded("\n\n", 10), "\n\n");
}

TEST(FoldedText, BreaksAtBlanksAndGoesOnTwoColumnsIn) {
    EXPECT_EQ(folded("one two three four\nfive\n", 10), "one two\n  three\n  four\nfive\n");
    EXPECT_EQ(folded("  one two three", 11), "  one two\n    three");
    EXPECT_EQ(folded("exactly ten", 11), "exactly ten");
}

TEST(FoldedText, GoesOnUnderTheValueOfALabel) {
    EXPECT_EQ(folded("  room       60 m to shoal water there", 30),
              "  room       60 m to shoal\n             water there");
    EXPECT_EQ(folded("# source     a bylaw of the old haven", 22),
              "# source     a bylaw\n# of the old haven");
}

TEST(FoldedText, LeavesWordsWhole) {
    EXPECT_EQ(folded("see /a/very/long/path/to/a/file now", 12), "see\n  /a/very/long/path/to/a/file\n  now");
}

TEST(FoldedText, LeavesANumberWithItsUnit) {
    EXPECT_EQ(folded("needs a rode of 45 m there", 19), "needs a rode of\n  45 m there");
    EXPECT_EQ(folded("it is a yes in 14.2 %", 19), "it is a yes in\n  14.2 %");
}

TEST(FoldedText, CountsCharactersNotBytes) {
    EXPECT_EQ(columns_of("47\u00b059.2'N"), 9U);
    EXPECT_EQ(folded("47\u00b059' 29\u00b002'", 13), "47\u00b059' 29\u00b002'");
}

TEST(FoldedText, LosesNoWord) {
    std::mt19937 random(3);
    for (int i = 0; i < 500; ++i) {
        std::string text(random() % 4, ' ');
        for (unsigned word = 0; word < 1 + random() % 20; ++word) {
            text += std::string(1 + random() % 9, static_cast<char>('a' + random() % 26)) +
                    std::string(1 + random() % 9 / 8, ' ');
        }
        const std::size_t columns = 20 + random() % 40;
        std::string words = folded(text, columns);
        for (const std::string& line : split(words, '\n')) {
            EXPECT_LE(columns_of(std::string(trimmed(line))), columns) << text;
        }
        const auto without_blanks = [](std::string of) {
            std::erase(of, ' ');
            std::erase(of, '\n');
            return of;
        };
        EXPECT_EQ(without_blanks(words), without_blanks(text));
    }
}

TEST(FoldedText, OfAParagraphGoesOnFlush) {
    EXPECT_EQ(folded_flush("Water: low  and high in the haven", 16), "Water: low  and\nhigh in the\nhaven");
}

} // namespace
} // namespace swingroom
