#include "cli/help/text.hpp"

#include "base/text.hpp"

#include <algorithm>
#include <cctype>

namespace swingroom::cli {

std::vector<std::string> wrapped(std::string_view text, std::size_t width) {
    std::vector<std::string> lines(1);
    for (const std::string& word : split(text, ' ')) {
        if (!lines.back().empty() && lines.back().size() + 1 + word.size() > width) lines.emplace_back();
        lines.back() += (lines.back().empty() ? "" : " ") + word;
    }
    return lines;
}

std::string sentence(std::string_view text) {
    std::string out(text);
    if (out.empty()) return out;
    out.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(out.front())));
    if (!out.ends_with('.')) out += '.';
    return out;
}

std::string hanging(const std::string& label, std::string_view text, std::size_t indent, std::size_t width) {
    const bool beside = label.size() < indent || indent == 0;
    std::string out = beside ? "" : label + '\n';
    std::string margin = beside ? label : "";
    for (const std::string& line : wrapped(text, width - indent)) {
        margin.resize(indent, ' ');
        out += margin + line + '\n';
        margin.clear();
    }
    return out;
}

std::vector<std::string> continued(std::string_view command, std::size_t width) {
    constexpr std::string_view end = " \\", indent = "    ";
    // A blank between an option and its value is no place to break a line.
    constexpr char bound = '\x01';
    std::string whole(command);
    for (std::size_t at = whole.find(" --"); at != std::string::npos; at = whole.find(" --", at + 1)) {
        const std::size_t blank = whole.find(' ', at + 1);
        if (blank != std::string::npos && whole.compare(blank, 3, " --") != 0) whole[blank] = bound;
    }
    std::vector<std::string> lines = wrapped(whole, width - end.size() - indent.size());
    for (std::size_t i = 0; i < lines.size(); ++i) {
        std::replace(lines[i].begin(), lines[i].end(), bound, ' ');
        if (i > 0) lines[i].insert(0, indent);
        if (i + 1 < lines.size()) lines[i] += end;
    }
    return lines;
}

} // namespace swingroom::cli
