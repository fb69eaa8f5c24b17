#include "cli/help/help.hpp"

#include "swingroom/base/version.hpp"
#include "swingroom/publish/library_versions.hpp"

#include "base/text.hpp"
#include "cli/help/boat_keys_text.hpp"
#include "cli/help/text.hpp"

#include <algorithm>
#include <string_view>

namespace swingroom::cli {
namespace {

constexpr std::size_t screen = 80; // columns
constexpr std::size_t text_column = 27;

std::string hanging(const std::string& label, std::string_view text, std::size_t indent) {
    return cli::hanging(label, text, indent, screen);
}

/// Names and values alone, for options that the manual tells of.
std::string names(const std::vector<OptionRow>& rows, Group group) {
    // A blank between an option and its value is no place to break a line.
    constexpr char bound = '\x01';
    std::vector<std::string> usages;
    for (const OptionRow& row : rows) {
        if (row.group == group) usages.push_back(row.usage());
    }
    for (std::string& usage : usages) {
        std::replace(usage.begin(), usage.end(), ' ', bound);
    }
    std::string text = hanging(" ", joined(usages, ", "), 2);
    std::replace(text.begin(), text.end(), bound, ' ');
    return text;
}

std::string group_text(const std::vector<OptionRow>& rows, Group group) {
    std::string text(title(group));
    text += ":\n";
    if (by_name_alone(group)) return text + names(rows, group);
    for (const OptionRow& row : rows) {
        if (row.group == group) text += hanging("  " + row.usage(), row.line(), text_column);
    }
    return text;
}

} // namespace

std::string usage_text() {
    std::string text =
        "swingroom " + std::string(version()) + ": where a boat has room to swing at anchor\n\n";
    text += "usage: swingroom COMMAND ...\n";
    for (const Entry& entry : commands()) {
        text += hanging("  " + std::string(entry.name), entry.summary, 14);
    }
    text += "\nswingroom COMMAND --help tells a command's options, man swingroom-COMMAND more.\n";
    text += "Exit codes: 0 done, 1 a file or the disk failed, 2 something to mend in what was\ngiven.\n\n";
    return text + hanging("", caution, 0);
}

std::string help_text(const Entry& entry, const Options& options) {
    std::string text =
        hanging("",
                "usage: swingroom " + std::string(entry.name) + " " + std::string(entry.arguments) +
                    (entry.arguments.empty() ? "" : " ") + "[options]",
                0);
    text += hanging("", sentence(entry.summary), 0) + '\n';
    const std::vector<OptionRow> table = rows(options);
    for (std::size_t i = 0; i < table.size(); ++i) {
        if (i == 0 || table[i].group != table[i - 1].group) text += group_text(table, table[i].group);
    }
    if (entry.reads_boat_file) text += boat_keys_help();
    text += "Examples:\n";
    for (const Example& example : entry.examples) {
        for (const std::string& line : continued(example.line, screen - 2)) {
            text += "  " + line + '\n';
        }
    }
    text += "More: man swingroom-" + std::string(entry.name) + ", or swingroom manual " +
            std::string(entry.name) + " | man -l -\n";
    return text + hanging("", caution, 0);
}

std::string version_text() {
    std::string text = "swingroom " + std::string(version()) + '\n';
    for (const auto& [library, its_version] : library_versions()) {
        text += library + ' ' + its_version + '\n';
    }
    return text;
}

} // namespace swingroom::cli
