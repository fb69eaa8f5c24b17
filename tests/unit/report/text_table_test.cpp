#include "report/text_table.hpp"

#include <gtest/gtest.h>

namespace swingroom {
namespace {

const TextRows rows = {{"depth", "rode", "radius", "hangs", ""},
                       {"m", "m", "m", "N", ""},
                       {"5", "45.0", "62.5", "453", ""},
                       {"20", "-", "-", "712", "would need 115 m of rode"}};
Screen screen(std::size_t width) { return {width, 2, {3, 4}}; }

TEST(TextTable, IsAsWideAsItMustBeWhereThereIsRoom) {
    EXPECT_EQ(aligned(rows, screen(0)), aligned(rows));
    EXPECT_EQ(aligned(rows, screen(80)), aligned(rows));
}

TEST(TextTable, GoesNearerTogetherBeforeItIsCut) {
    const std::string near = aligned(rows, screen(50));
    EXPECT_EQ(near.substr(0, near.find('\n')), " depth rode radius hangs");
    EXPECT_NE(near.find("    20    -      -   712 would need 115 m of rode\n"), std::string::npos) << near;
}

TEST(TextTable, IsCutWhereItMayBeAndRepeatsItsFirstColumn) {
    EXPECT_EQ(aligned(rows, screen(40)), "  depth  rode  radius  hangs\n"
                                         "      m     m       m      N\n"
                                         "      5  45.0    62.5    453\n"
                                         "     20     -       -    712\n"
                                         "\n"
                                         "  depth\n"
                                         "      m\n"
                                         "     20  would need 115 m of rode\n")
        << "a row that says nothing there is left out";
}

TEST(TextTable, LeavesOutAPartThatSaysNothing) {
    TextRows silent = rows;
    silent.back().back().clear();
    EXPECT_EQ(aligned(silent, screen(24)), "  depth  rode  radius\n"
                                           "      m     m       m\n"
                                           "      5  45.0    62.5\n"
                                           "     20     -       -\n"
                                           "\n"
                                           "  depth  hangs\n"
                                           "      m      N\n"
                                           "      5    453\n"
                                           "     20    712\n");
}

} // namespace
} // namespace swingroom
