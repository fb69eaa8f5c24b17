#include "swingroom/base/error.hpp"

#include "base/ini_lines.hpp"

#include <gtest/gtest.h>

namespace swingroom {
namespace {

std::string says(const std::string& text) {
    try {
        check_ini_lines(text, "a.ini", "mend it");
    } catch (const InputError& error) {
        return error.what();
    }
    return "";
}

TEST(IniLines, AreSectionsPairsCommentsOrNothing) {
    const auto sections =
        check_ini_lines("# all\r\n\n[one] # first\r\nkey = value\nother =\n\t[two]\nlast=#", "", "");
    ASSERT_EQ(sections.size(), 2U);
    EXPECT_EQ(sections[0].name, "one");
    EXPECT_EQ(sections[0].line, 3);
    EXPECT_EQ(sections[1].name, "two");
    EXPECT_EQ(sections[1].line, 6);
}

TEST(IniLines, NameTheOneThatIsNone) {
    EXPECT_EQ(says("a = 1\n\nb 2\n"), "a.ini:3: \"b 2\" has no =; mend it");
    EXPECT_EQ(says("[one"), "a.ini:1: \"[one\" is a section without its ]; mend it");
    EXPECT_EQ(says("[ ]"), "a.ini:1: \"[ ]\" names no section; mend it");
    EXPECT_EQ(says("= 1"), "a.ini:1: \"= 1\" has no key before the =; mend it");
}

} // namespace
} // namespace swingroom
