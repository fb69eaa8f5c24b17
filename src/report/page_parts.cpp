#include "report/page_parts.hpp"

namespace swingroom {

Markup paragraph(const std::string& text) { return text.empty() ? Markup() : text_element("p", text) + "\n"; }

Markup fact_list(const std::vector<Fact>& facts, const char* style) {
    Markup items;
    for (const Fact& fact : facts) {
        items += element("div", text_element("dt", fact.name) + text_element("dd", fact_value(fact))) + "\n";
    }
    if (facts.empty()) return {};
    return element("dl", {{"class", style}}, "\n" + items) + "\n";
}

Markup item_list(const std::vector<std::string>& texts, const Attributes& attributes) {
    Markup items;
    for (const std::string& text : texts) {
        items += text_element("li", text) + "\n";
    }
    return element("ul", attributes, "\n" + items) + "\n";
}

std::vector<std::string> texts_of(const std::vector<Message>& messages) {
    std::vector<std::string> texts;
    for (const Message& message : messages) {
        texts.push_back(message.text());
    }
    return texts;
}

std::string counted(std::int64_t count, const char* one, const char* several) {
    return std::to_string(count) + " " + (count == 1 ? one : several);
}

} // namespace swingroom
