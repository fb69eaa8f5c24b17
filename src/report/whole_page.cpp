#include "report/whole_page.hpp"

#include "swingroom/base/version.hpp"

namespace swingroom {
namespace {

Markup head_of(const std::string& title, const Markup& style) {
    return element(
               "head",
               "\n<meta charset=\"utf-8\"/>\n"
               "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; img-src data:; "
               "style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'\"/>\n"
               "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n"
               "<meta name=\"color-scheme\" content=\"light dark\"/>\n"
               "<meta name=\"referrer\" content=\"no-referrer\"/>\n" +
                   empty_element(
                       "meta", {{"name", "generator"}, {"content", "swingroom " + std::string(version())}}) +
                   "\n" + text_element("title", title) + "\n" + element("style", style) + "\n") +
           "\n";
}

} // namespace

Markup whole_page(const std::string& title, const Markup& header, const std::vector<Section>& sections,
                  const Markup& style) {
    Markup links, body;
    for (const auto& [id, heading, content] : sections) {
        if (content.empty()) continue;
        links += element("li", text_element("a", {{"href", "#" + id}}, heading)) + "\n";
        body += element("section", {{"id", id}, {"aria-labelledby", id + "-heading"}},
                        "\n" + text_element("h2", {{"id", id + "-heading"}}, heading) + "\n" + content) +
                "\n";
    }
    const Markup page =
        "\n" + text_element("a", {{"class", "skip"}, {"href", "#content"}}, "To the answer") + "\n" +
        element("header", "\n" + header) + "\n" +
        element("p", {{"class", "switch"}},
                element("label", empty_element("input", {{"type", "checkbox"}, {"id", "night"}}) +
                                     escaped("By night: dark all over"))) +
        "\n" + element("nav", {{"aria-label", "Contents"}}, element("ul", "\n" + links)) + "\n" +
        element("main", {{"id", "content"}, {"tabindex", "-1"}}, "\n" + body) + "\n" +
        element("footer",
                text_element("p", "swingroom " + std::string(version()) + ". " + std::string(caution))) +
        "\n";
    return "<!DOCTYPE html>\n" +
           element("html", {{"lang", "en"}, {"xmlns", "http://www.w3.org/1999/xhtml"}},
                   "\n" + head_of(title, style) + element("body", page) + "\n") +
           "\n";
}

} // namespace swingroom
