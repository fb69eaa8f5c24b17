#include "base/ini_lines.hpp"

#include "swingroom/base/error.hpp"

#include "base/terminal_text.hpp"
#include "base/text.hpp"

#include <algorithm>

namespace swingroom {

std::vector<IniSection> check_ini_lines(std::string_view text, const std::string& source,
                                        const std::string& cure) {
    std::vector<IniSection> sections;
    for (int number = 1; !text.empty(); ++number) {
        const std::size_t end = std::min(text.find('\n'), text.size());
        const std::string_view whole = text.substr(0, end);
        text.remove_prefix(std::min(end + 1, text.size()));
        const std::string_view line = trimmed(whole.substr(0, whole.find('#')));
        if (line.empty()) continue;
        const auto fail = [&](const std::string& wrong) {
            throw InputError(source + ":" + std::to_string(number), "\"" + shortened(line) + "\" " + wrong,
                             cure);
        };
        if (line.front() == '[' && line.back() == ']') {
            const std::string_view name = line.substr(1, line.size() - 2);
            if (trimmed(name).empty()) fail("names no section");
            sections.push_back({std::string(name), number});
        } else if (const auto equals = line.find('='); equals == std::string_view::npos) {
            fail(line.front() == '[' ? "is a section without its ]" : "has no =");
        } else if (equals == 0) {
            fail("has no key before the =");
        }
    }
    return sections;
}

} // namespace swingroom
