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

// By the escapes that RFC 8259 has for any character: the value stays what it was.
TEST(JsonText, EscapesWhatATerminalOrAReaderWouldObey) {
    EXPECT_EQ(json_text("\x1b[2J\x7f"), R"("\u001b[2J\u007f")");
    EXPECT_EQ(json_text("\u0080\u009b\u009f\u00a0"), "\"\\u0080\\u009b\\u009f\u00a0\"");
    EXPECT_EQ(json_text("\u061c\u200e\u200f\u202a\u202e\u2066\u2069\u2028\u2029"),
              R"("\u061c\u200e\u200f\u202a\u202e\u2066\u2069\u2028\u2029")");
    const std::string plain = "\u00e9\u061b\u200d\u2027\u202f\u2065\u206a\U0001F6A4";
    EXPECT_EQ(json_text(plain), '"' + plain + '"');
    EXPECT_EQ(json_text("\x9b 31m \xc2"), "\"\uFFFD 31m \uFFFD\"") << "C1 as a byte is no UTF-8";
    for (const char* const text : {"\u009b31m", "\u202egpj.exe", "a\u2028b"}) {
        std::istringstream in("{\"text\": " + json_text(text) + "}");
        boost::property_tree::ptree tree;
        boost::property_tree::read_json(in, tree);
        EXPECT_EQ(tree.get<std::string>("text"), text);
    }
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
    EXPECT_EQ(tree.get<int>("schema"), 2);
    EXPECT_EQ(tree.get<std::string>("command"), "spot");
    EXPECT_EQ(tree.get_child("lines").size(), 2U);
    EXPECT_EQ(tree.get<double>("inner.x_m"), 1.3);
    EXPECT_EQ(tree.get<std::string>("word \"quoted\""), "a\tb");
}

} // namespace
} // namespace swingroom
