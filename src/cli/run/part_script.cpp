#include "cli/run/part_script.hpp"

#include <array>
#include <cstddef>
#include <string_view>
#include <utility>

namespace swingroom::cli {
namespace {

/// A text as one word of the shell.
std::string quoted(const std::string& text) {
    std::string word = "'";
    for (const char c : text) {
        word += c == '\'' ? "'\\''" : std::string(1, c);
    }
    return word + "'";
}

/// A line that no line of the text is.
std::string end_mark(const std::string& text) {
    std::string mark = "END_OF_PLAN";
    while (text.find(mark) != std::string::npos) {
        mark += "_";
    }
    return mark;
}

} // namespace

std::string part_script(const PartScript& of) {
    const std::array<std::pair<std::string_view, std::string>, 7> values = {
        {{"{parts}", std::to_string(of.parts)},
         {"{program}", quoted(of.program)},
         {"{out}", quoted(of.out)},
         {"{threads}", std::to_string(of.threads)},
         {"{memory_mb}", std::to_string(of.memory_mb)},
         {"{end_of_plan}", end_mark(of.plan)},
         {"{plan}", of.plan}}};
    // From front to back, so that nothing is replaced in what a value has brought.
    std::string script;
    std::string_view left = part_script_template;
    while (!left.empty()) {
        const std::size_t brace = left.find('{');
        script += left.substr(0, brace);
        if (brace == std::string_view::npos) break;
        left.remove_prefix(brace);
        std::size_t taken = 1;
        std::string put = "{";
        for (const auto& [name, value] : values) {
            if (!left.starts_with(name)) continue;
            taken = name.size();
            put = value;
        }
        script += put;
        left.remove_prefix(taken);
    }
    return script;
}

} // namespace swingroom::cli
