#include "boat/boat_template.hpp"

#include "base/text.hpp"
#include "boat/boat_keys.hpp"

#include <array>
#include <cstddef>
#include <string_view>

namespace swingroom {
namespace {

constexpr std::size_t width = 80; ///< characters of a line

/// Lines of a comment.
std::string comment(std::string_view text, std::string_view begin = "# ") {
    std::string lines, line(begin);
    for (const std::string& word : split(text, ' ')) {
        if (line.size() + word.size() + 1 > width) {
            lines += line + '\n';
            line = begin;
        }
        line += (line.size() > begin.size() ? " " : "") + word;
    }
    return lines + line + '\n';
}

std::string head() {
    std::string text =
        comment("A boat file for swingroom. Fill in what stands open behind its =; swingroom boat FILE then "
                "prints "
                "the table that comes of it.") +
        "#\n" +
        comment("What stands behind a # is not read. A key behind a # shows the value that counts as long as "
                "it stays there, or in capitals what may be written; take that # away to give your own. "
                "Decimals have a point, and a number may have its unit:");
    constexpr std::array kinds = {BoatValue::length, BoatValue::diameter,       BoatValue::area,
                                  BoatValue::mass,   BoatValue::mass_by_length, BoatValue::force};
    for (const BoatValue kind : kinds) {
        std::string name(placeholder(kind));
        name.resize(12, ' ');
        text += "#   " + name + std::string(spellings(kind)) + '\n';
    }
    return text;
}

std::string explained(const BoatKey& key) {
    std::string text(key.meaning);
    if (!key.words.empty()) text += ": one of " + std::string(key.words);
    if (!key.otherwise.empty()) text += "; if not given: " + std::string(key.otherwise);
    return text;
}

/// The line of a key, and what it is above it.
std::string lines_of(const BoatKey& key) {
    std::string text = comment(explained(key));
    const std::string name(key.name()), what(placeholder(key.value));
    if (key.need == BoatNeed::always || key.need == BoatNeed::unless_replaced) {
        std::string open = name + " =";
        open.resize(20, ' ');
        return text + open + "# must be given: " + what + ", as " + std::string(key.example) + '\n';
    }
    return text + "#" + name + " = " + (key.preset.empty() ? what : std::string(key.preset)) + '\n';
}

} // namespace

std::string boat_template() {
    std::string text = head();
    std::string_view section;
    for (const BoatKey& key : boat_keys()) {
        if (key.section() != section) text += "\n[" + std::string(key.section()) + "]\n";
        section = key.section();
        text += lines_of(key);
    }
    return text;
}

} // namespace swingroom
