#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

// HTML, SVG and other XML. A Markup is made of elements, attributes and text by the functions below and by
// nothing else, so that what comes from a file or from the user is escaped wherever it gets into a page:
// forgetting it does not compile.

namespace swingroom {

/// The name of an element or of an attribute. It is looked at when the program is compiled, so that no text
/// from outside becomes one.
class MarkupName {
public:
    /// Implicit, so that a literal can be given. What is no name does not compile.
    consteval MarkupName(const char* name) : name_(name) {
        if (name_.empty()) throw "a name of markup has letters";
        for (const char c : name_) {
            if (!((c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' ||
                  c == ':')) {
                throw "a name of markup has letters, digits, - and : alone";
            }
        }
    }
    /// The name as it is written.
    [[nodiscard]] constexpr std::string_view text() const { return name_; }

private:
    std::string_view name_;
};

/// Markup as the program's source has it: a line feed between elements, the type of a document, a style
/// sheet.
class MarkupLiteral {
public:
    /// Implicit, so that a literal can be given; a text that is made at run time does not compile.
    consteval MarkupLiteral(const char* markup) : markup_(markup) {}
    /// The markup as it is written.
    [[nodiscard]] constexpr std::string_view text() const { return markup_; }

private:
    std::string_view markup_;
};

/// A piece of markup that is ready: elements that are closed, and text that is escaped.
class Markup {
public:
    /// Nothing.
    Markup() = default;
    /// Implicit: literals of the source are markup already.
    Markup(MarkupLiteral literal) : text_(literal.text()) {}

    /// Appends markup; none of it is escaped again.
    Markup& operator+=(const Markup& other) {
        text_ += other.text_;
        return *this;
    }
    /// The same of a literal.
    Markup& operator+=(MarkupLiteral literal) {
        text_ += literal.text();
        return *this;
    }
    // By its name, since that moves: the reference that += returns would be copied, all of a page again and
    // again.
    friend Markup operator+(Markup first, const Markup& second) {
        first += second;
        return first;
    }
    friend Markup operator+(Markup first, MarkupLiteral second) {
        first += second;
        return first;
    }
    friend Markup operator+(MarkupLiteral first, const Markup& second) { return Markup(first) + second; }
    friend bool operator==(const Markup&, const Markup&) = default;

    /// Whether there is nothing in it.
    [[nodiscard]] bool empty() const { return text_.empty(); }
    /// In bytes.
    [[nodiscard]] std::size_t size() const { return text_.size(); }
    /// As it is written to a file.
    [[nodiscard]] const std::string& str() const { return text_; }

private:
    friend class MarkupWriter;
    std::string text_;
};

/// A name and the value that a reader finds behind it: it is escaped when it is written.
struct Attribute {
    /// @param of  its name   @param text  its value, not escaped
    Attribute(MarkupName of, std::string_view text) : name(of), value(text) {}
    MarkupName name;   ///< checked when the program is compiled
    std::string value; ///< not escaped
};
/// Attributes in the order in which they are written.
using Attributes = std::vector<Attribute>;

/// The text with all replaced by U+FFFD that no page may hold: bytes that are not UTF-8, control characters
/// but for the line feed, marks that turn the direction of writing, what is no character of XML. Nothing is
/// escaped.
std::string clean_text(std::string_view text);

/// Text as markup, clean and escaped.
Markup escaped(std::string_view text);
/// The same with a section of character data instead of escapes, where there is anything to escape: as some
/// readers of KML want it.
Markup character_data(std::string_view text);

/// An element with its content: <name a="b">content</name>.
Markup element(MarkupName name, const Attributes& attributes, const Markup& content);
Markup element(MarkupName name, const Markup& content);
/// An element that holds text and nothing else.
Markup text_element(MarkupName name, const Attributes& attributes, std::string_view text);
Markup text_element(MarkupName name, std::string_view text);
/// An element without content: <name a="b"/>.
Markup empty_element(MarkupName name, const Attributes& attributes = {});

/// A document that is written piece by piece, since it may be too large to be held: each element on a line of
/// its own, two blanks further in than what it is in. Elements are closed in the order that fits.
class MarkupLines {
public:
    /// Writes one line into the elements that are open.
    void line(const Markup& content);
    /// Begins an element, whose lines follow until it is closed.
    void open(MarkupName name, const Attributes& attributes = {});
    /// Ends the element that was opened last.   @pre there is one
    void close();

    /// What has come together since it was last asked for.
    [[nodiscard]] std::string take();

private:
    std::string text_;
    std::vector<MarkupName> open_;
};

} // namespace swingroom
