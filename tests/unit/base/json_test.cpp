#include "base/json.hpp"

#include <boost/property_tree/json_parser.hpp>
#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <sstream>

namespace swingroom {
namespace {

TEST(JsonText, PrintsNumbersAsMeant) {
    EXPECT_EQ(json_number(0.1 + 0.2, 3), "0.3");
    EXPECT_EQ(json_number(-0.04, 1), "0");
    EXPECT_EQ(json_number(1200, 0), "1200");
    EXPECT_EQ(json_number(1200, 2), "1200");
    EXPECT_EQ(json_number(std::nan(""), 1), "null");
    EXPECT_EQ(json_number(-std::numeric_limits<double>::infinity(), 1), "null");
}

TEST(JsonText, RoundsTheWayThatIsAskedFor) {
    EXPECT_EQ(json_number(2.61, 1, Rounded::up), "2.7");
    EXPECT_EQ(json_number(2.69, 1, Rounded::down), "2.6");
    EXPECT_EQ(json_number(-7.01, 1, Rounded::down), "-7.1");
    EXPECT_EQ(json_number(static_cast<double>(35.1F), 1, Rounded::up), "35.1") << "a float's hair";
}

TEST(JsonText, EscapesAndMendsText) {
    EXPECT_EQ(json_text("a\"b\\c\n\x01"), R"("a\"b\\c\n\u0001")");
    EXPECT_EQ(valid_utf8("\xC3\xA9\xFF\xED\xA0\x80"),
              "\xC3\xA9\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD");
}

TEST(JsonObject, KeepsTheOrderOfItsMembers) {
    EXPECT_EQ(JsonObject().whole("b", 2).truth("a", true).null("c").line(),
              R"({"b": 2, "a": true, "c": null})");
    EXPECT_EQ(JsonObject().line(), "{}");
    EXPECT_EQ(JsonObject().lines(), "{}");
    EXPECT_EQ(json_list({}), "[]");
    EXPECT_EQ(json_lines({}), "[]");
    EXPECT_EQ(json_texts({"a", "\""}), R"(["a", "\""])");
}

// Boost's property trees read it: a parser that is not ours.
TEST(JsonObject, DocumentsAreJson) {
    std::istringstream in(json_head("spot")
                              .raw("lines", json_lines({"1", "2"}))
                              .raw("inner", JsonObject().number("x_m", 1.25, 1, Rounded::up).lines())
                              .text("word \"quoted\"", "a\tb")
                              .document());
    boost::property_tree::ptree tree;
    ASSERT_NO_THROW(boost::property_tree::read_json(in, tree));
    EXPECT_EQ(tree.get<int>("schema"), 1);
    EXPECT_EQ(tree.get<std::string>("command"), "spot");
    EXPECT_EQ(tree.get_child("lines").size(), 2U);
    EXPECT_EQ(tree.get<double>("inner.x_m"), 1.3);
    EXPECT_EQ(tree.get<std::string>("word \"quoted\""), "a\tb");
}

} // namespace
} // namespace swingroom
