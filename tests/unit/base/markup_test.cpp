// Markup: what comes from outside is escaped wherever it goes, whitespace is as it was asked for, and nothing
// but the writer's functions makes any.

#include "swingroom/base/markup.hpp"

#include <boost/property_tree/ptree.hpp>
#include <boost/property_tree/xml_parser.hpp>
#include <gtest/gtest.h>

#include <iterator>
#include <random>
#include <sstream>
#include <string>
#include <string_view>
#include <type_traits>

namespace swingroom {
namespace {

// A text that is known only when the program runs is neither markup nor a name.
static_assert(!std::is_convertible_v<std::string, Markup>);
static_assert(!std::is_convertible_v<std::string_view, Markup>);
static_assert(!std::is_constructible_v<Markup, std::string>);
static_assert(!std::is_convertible_v<std::string, MarkupLiteral>);
static_assert(!std::is_convertible_v<std::string, MarkupName>);
static_assert(!std::is_convertible_v<std::string_view, MarkupName>);

std::string text_of(std::string_view text) { return escaped(text).str(); }

TEST(Escaped, EscapesWhatHasAMeaning) {
    EXPECT_EQ(text_of(R"(<script>"a" & 'b'</script>)"),
              "&lt;script&gt;&quot;a&quot; &amp; &#39;b&#39;&lt;/script&gt;");
    EXPECT_EQ(text_of("47°59'N\n"), "47°59&#39;N\n");
}

TEST(Escaped, ReplacesWhatNoPageMayHold) {
    const std::string bad = "\xEF\xBF\xBD";
    EXPECT_EQ(text_of(std::string_view("a\0b", 3)), "a" + bad + "b");
    EXPECT_EQ(text_of("\x1b[31m"), bad + "[31m");
    EXPECT_EQ(text_of("\xff\xfe"), bad + bad);
    EXPECT_EQ(text_of("\x7f\xC2\x85"), bad + bad);                    // delete, next line
    EXPECT_EQ(text_of("\xE2\x80\xAEgpj.exe"), bad + "gpj.exe");       // read from right to left
    EXPECT_EQ(text_of("\xD8\x9C-1"), bad + "-1");                     // Arabic letter mark
    EXPECT_EQ(text_of("\xEF\xBF\xBF \xEF\xBF\xBE"), bad + " " + bad); // no characters of XML
    EXPECT_EQ(text_of("\xC3\xA9\xE2\x80\x93\xF0\x9F\x9A\xA4"), "\xC3\xA9\xE2\x80\x93\xF0\x9F\x9A\xA4");
}

TEST(Element, HoldsAttributesContentAndWhitespaceAsGiven) {
    EXPECT_EQ(text_element("p", "a < b").str(), "<p>a &lt; b</p>");
    EXPECT_EQ(text_element("td", {{"class", "n"}, {"role", "cell"}}, "5").str(),
              R"(<td class="n" role="cell">5</td>)");
    EXPECT_EQ(empty_element("rect").str(), "<rect/>");
    EXPECT_EQ(empty_element("rect", {{"width", "4.0"}}).str(), R"(<rect width="4.0"/>)");
    EXPECT_EQ(element("ul", Markup()).str(), "<ul></ul>");
    EXPECT_EQ((element("ul", "\n" + text_element("li", "a") + "\n") + "\n").str(),
              "<ul>\n<li>a</li>\n</ul>\n");
    EXPECT_EQ(element("ogc:Filter", {{"xmlns:ogc", "http://www.opengis.net/ogc"}}, empty_element("a")).str(),
              R"(<ogc:Filter xmlns:ogc="http://www.opengis.net/ogc"><a/></ogc:Filter>)");
}

TEST(Element, LeavesMarkupInsideOfItAsItIs) {
    const Markup once = text_element("b", "Fish & Chips");
    EXPECT_EQ(element("p", once).str(), "<p><b>Fish &amp; Chips</b></p>");
    Markup list;
    for (const char* const name : {"a&b", "c"}) {
        list += text_element("li", name);
    }
    EXPECT_EQ(element("ul", list).str(), "<ul><li>a&amp;b</li><li>c</li></ul>");
    EXPECT_EQ(list.size(), list.str().size());
    EXPECT_TRUE(Markup().empty());
    EXPECT_FALSE(list.empty());
}

TEST(Element, LetsNoAttributeEndEarly) {
    EXPECT_EQ(empty_element("a", {{"title", "x\" onclick='alert(1)'><script>"}}).str(),
              R"(<a title="x&quot; onclick=&#39;alert(1)&#39;&gt;&lt;script&gt;"/>)");
    EXPECT_EQ(text_element("a", {{"title", "\x1b[31m"}}, "\xff").str(),
              "<a title=\"\xEF\xBF\xBD[31m\">\xEF\xBF\xBD</a>");
}

TEST(CharacterData, IsASectionWhereAnythingHasAMeaning) {
    EXPECT_EQ(character_data("plain, 5 m").str(), "plain, 5 m");
    EXPECT_EQ(character_data("Fish & Chips").str(), "<![CDATA[Fish & Chips]]>");
    EXPECT_EQ(character_data("a]]>b").str(), "<![CDATA[a]]]]><![CDATA[>b]]>");
    EXPECT_EQ(character_data("a\x01").str(), "a\xEF\xBF\xBD");
}

TEST(MarkupLines, ClosesWhatWasOpenedLast) {
    MarkupLines lines;
    lines.open("kml", {{"id", "a\"b"}});
    lines.open("Document");
    lines.line(text_element("name", "x<y"));
    EXPECT_EQ(lines.take(), "<kml id=\"a&quot;b\">\n  <Document>\n    <name>x&lt;y</name>\n");
    lines.close();
    lines.close();
    EXPECT_EQ(lines.take(), "  </Document>\n</kml>\n");
    EXPECT_EQ(lines.take(), "");
}

/// Bytes that do harm, in any order.
std::string nasty_text(std::mt19937& dice) {
    constexpr std::string_view pieces[] = {
        "<",    ">",    "&",  "\"", "'",     "]]>",  "<![CDATA[",    "--",   "a",           "\xC3\xA9",
        "\xff", "\x1b", "\n", " ",  "&amp;", "<!--", "\xE2\x80\xAE", "</a>", "\xEF\xBF\xBF"};
    std::string text;
    for (auto left = dice() % 12; left > 0; --left) {
        text += pieces[dice() % std::size(pieces)];
    }
    return text;
}

// Read back by a parser that is not ours, every text is the one that was given, but for what had to be
// replaced.
TEST(Element, IsReadBackAsItWasMeant) {
    for (unsigned seed = 0; seed < 500; ++seed) {
        std::mt19937 dice(seed);
        const std::string value = nasty_text(dice), inner = nasty_text(dice), data = nasty_text(dice);
        SCOPED_TRACE(seed);
        const Markup markup = element("a", text_element("b", {{"c", value}}, inner + ".") +
                                               element("d", character_data(data + ".")));
        std::istringstream in(markup.str());
        boost::property_tree::ptree tree;
        ASSERT_NO_THROW(boost::property_tree::read_xml(in, tree)) << markup.str();
        EXPECT_EQ(tree.get<std::string>("a.b.<xmlattr>.c"), clean_text(value)) << markup.str();
        EXPECT_EQ(tree.get<std::string>("a.b"), clean_text(inner + ".")) << markup.str();
        EXPECT_EQ(tree.get<std::string>("a.d"), clean_text(data + ".")) << markup.str();
    }
}

} // namespace
} // namespace swingroom
