#include "swingroom/base/markup.hpp"

#include "base/json.hpp"

#include <algorithm>
#include <array>
#include <cassert>
#include <utility>

namespace swingroom {

/// The only one that puts bytes into a Markup.
class MarkupWriter {
public:
    /// <name a="b", still open
    void begin(MarkupName name, const Attributes& attributes) {
        markup_.text_.append("<").append(name.text());
        for (const Attribute& attribute : attributes) {
            markup_.text_.append(" ").append(attribute.name.text()).append("=\"");
            add_escaped(attribute.value);
            markup_.text_ += '"';
        }
    }
    void end(MarkupName name) { markup_.text_.append("</").append(name.text()).append(">"); }
    void add(std::string_view bytes) { markup_.text_ += bytes; }
    void add_escaped(std::string_view text);
    [[nodiscard]] Markup take() { return std::move(markup_); }

private:
    Markup markup_;
};

namespace {

/// In UTF-8: U+061C, U+200E, U+200F, U+202A to U+202E, U+2066 to U+2069 turn the direction of what is read
/// after them; U+FFFE and U+FFFF are no characters of XML.
constexpr std::array<std::string_view, 14> unwanted = {
    "\xD8\x9C",     "\xE2\x80\x8E", "\xE2\x80\x8F", "\xE2\x80\xAA", "\xE2\x80\xAB",
    "\xE2\x80\xAC", "\xE2\x80\xAD", "\xE2\x80\xAE", "\xE2\x81\xA6", "\xE2\x81\xA7",
    "\xE2\x81\xA8", "\xE2\x81\xA9", "\xEF\xBF\xBE", "\xEF\xBF\xBF"};
constexpr std::string_view replacement = "\xEF\xBF\xBD";
constexpr std::string_view with_a_meaning = "&<>\"'";

/// How many bytes at the start of the text must not stand there: 0 if they may.
std::size_t unwanted_bytes(std::string_view text) {
    const auto lead = static_cast<unsigned char>(text[0]);
    if (lead < 0x20 && lead != '\n') return 1;
    if (lead == 0x7F) return 1;
    if (lead == 0xC2 && text.size() > 1 && static_cast<unsigned char>(text[1]) < 0xA0) return 2;
    for (const std::string_view mark : unwanted) {
        if (text.starts_with(mark)) return mark.size();
    }
    return 0;
}

/// Whether the text may stand as it is. Outlines and pictures are megabytes of such text.
bool is_plain(std::string_view text) {
    return std::all_of(text.begin(), text.end(), [](char c) {
        return c == '\n' || (c >= 0x20 && c < 0x7F && with_a_meaning.find(c) == std::string_view::npos);
    });
}

} // namespace

void MarkupWriter::add_escaped(std::string_view text) {
    if (is_plain(text)) return add(text);
    for (const char c : clean_text(text)) {
        switch (c) {
        case '&':
            add("&amp;");
            break;
        case '<':
            add("&lt;");
            break;
        case '>':
            add("&gt;");
            break;
        case '"':
            add("&quot;");
            break;
        case '\'':
            add("&#39;");
            break;
        default:
            markup_.text_ += c;
        }
    }
}

std::string clean_text(std::string_view text) {
    const std::string valid = valid_utf8(text);
    std::string clean;
    clean.reserve(valid.size());
    for (std::string_view rest = valid; !rest.empty();) {
        const std::size_t bytes = unwanted_bytes(rest);
        if (bytes == 0) {
            clean += rest.front();
        } else {
            clean += replacement;
        }
        rest.remove_prefix(bytes == 0 ? 1 : bytes);
    }
    return clean;
}

Markup escaped(std::string_view text) {
    MarkupWriter writer;
    writer.add_escaped(text);
    return writer.take();
}

Markup character_data(std::string_view text) {
    if (text.find_first_of(with_a_meaning) == std::string_view::npos) return escaped(text);
    constexpr std::string_view begin = "<![CDATA[", end = "]]>";
    std::string content = clean_text(text);
    // What would end the section is cut in two, and goes on in another.
    const std::string parted = "]]" + std::string(end) + std::string(begin) + ">";
    for (std::size_t at = content.find(end); at != std::string::npos;
         at = content.find(end, at + parted.size())) {
        content.replace(at, end.size(), parted);
    }
    MarkupWriter writer;
    writer.add(begin);
    writer.add(content);
    writer.add(end);
    return writer.take();
}

Markup element(MarkupName name, const Attributes& attributes, const Markup& content) {
    MarkupWriter writer;
    writer.begin(name, attributes);
    writer.add(">");
    writer.add(content.str());
    writer.end(name);
    return writer.take();
}

Markup element(MarkupName name, const Markup& content) { return element(name, {}, content); }

Markup text_element(MarkupName name, const Attributes& attributes, std::string_view text) {
    return element(name, attributes, escaped(text));
}

Markup text_element(MarkupName name, std::string_view text) { return text_element(name, {}, text); }

Markup empty_element(MarkupName name, const Attributes& attributes) {
    MarkupWriter writer;
    writer.begin(name, attributes);
    writer.add("/>");
    return writer.take();
}

void MarkupLines::line(const Markup& content) {
    text_.append(2 * open_.size(), ' ').append(content.str()).append("\n");
}

void MarkupLines::open(MarkupName name, const Attributes& attributes) {
    MarkupWriter writer;
    writer.begin(name, attributes);
    writer.add(">");
    line(writer.take());
    open_.push_back(name);
}

void MarkupLines::close() {
    assert(!open_.empty());
    const MarkupName name = open_.back();
    open_.pop_back();
    MarkupWriter writer;
    writer.end(name);
    line(writer.take());
}

std::string MarkupLines::take() { return std::exchange(text_, {}); }

} // namespace swingroom
