#include "cli/help/boat_keys_text.hpp"

#include "base/text.hpp"
#include "cli/help/text.hpp"

#include <cstddef>
#include <string_view>
#include <vector>

namespace swingroom::cli {
namespace {

bool must_be_given(const BoatKey& key) {
    return key.need == BoatNeed::always || key.need == BoatNeed::unless_replaced;
}

/// "`sail`, `power`"
std::string words_in_code(const BoatKey& key) {
    return "`" + replaced(std::string(key.words), ", ", "`, `") + "`";
}

std::string markdown_row(const BoatKey& key, bool first_of_section) {
    std::string name = "`" + std::string(key.name()) + "`", meaning(key.meaning);
    if (must_be_given(key)) name = "**" + name + "**";
    if (!key.words.empty()) meaning += ": " + words_in_code(key);
    const std::string section = first_of_section ? "`[" + std::string(key.section()) + "]`" : "";
    return "| " + section + " | " + name + " | " + meaning + " | " + std::string(unit_of(key.value)) + " | " +
           if_not_given(key) + " |\n";
}

} // namespace

std::string if_not_given(const BoatKey& key) {
    return std::string(key.preset.empty() ? key.otherwise : key.preset);
}

std::string boat_keys_help() {
    std::string text = "Keys of a boat file (* must be given):\n";
    std::string_view section;
    std::vector<std::string> of_section;
    const auto end_section = [&] {
        if (of_section.empty()) return;
        const std::string head = "  [" + std::string(section) + "]";
        text += hanging(head, joined(of_section, ", "), head.size() + 1, 80);
        of_section.clear();
    };
    for (const BoatKey& key : boat_keys()) {
        if (key.section() != section) end_section();
        section = key.section();
        of_section.push_back(std::string(key.name()) + (must_be_given(key) ? "*" : ""));
    }
    end_section();
    return text;
}

std::string boat_keys_markdown() {
    std::string text = "| section | key | meaning | unit | if not given |\n| --- | --- | --- | --- | --- |\n";
    std::string_view section;
    for (const BoatKey& key : boat_keys()) {
        text += markdown_row(key, key.section() != section);
        section = key.section();
    }
    return text;
}

} // namespace swingroom::cli
