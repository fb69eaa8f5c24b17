#include "cli/help/manual_tables.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/room/verdict.hpp"
#include "swingroom/room/why_not.hpp"

#include "base/text.hpp"
#include "cli/commands.hpp"
#include "cli/help/text.hpp"
#include "cli/options/options.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <iterator>
#include <regex>
#include <tuple>
#include <utility>

namespace swingroom::cli {
namespace {

using Rows = std::vector<OptionRow>;

/// Where a page tells more of an option.
struct Page {
    std::string_view option, title, link;
    bool of_lists = false; ///< not of an option of that name whose words its value spells out
};
constexpr std::array pages = {
    Page{"bathymetry", "Rasters", "rasters.md"},
    Page{"chart", "Charts", "charts.md"},
    Page{"survey", "Charts over a survey", "charts.md#charts-over-a-survey"},
    Page{"hazards", "Hazards and rules", "hazards-and-rules.md"},
    Page{"rules", "Hazards and rules", "hazards-and-rules.md"},
    Page{"boat", "The boat file", "boat-file.md"},
    Page{"tide", "Tides", "tides.md"},
    Page{"rode-by", "Rode by the sounder", "ways-to-lie.md#rode-by-the-sounder"},
    Page{"layers", "Layers", "layers.md"},
    Page{"format", "Formats", "formats-and-styles.md#formats", true},
    Page{"styles", "Styles", "formats-and-styles.md#styles"},
    Page{"json", "JSON", "units-and-json.md#json"},
    Page{"bounds", "Units, in and out", "units-and-json.md#units-in-and-out"},
    Page{"cells-limit", "Speed and memory", "speed.md"},
    Page{"part", "Runs in parts", "parts.md"},
    Page{"print-parts", "Runs in parts", "parts.md#on-a-cluster"},
    Page{"from", "The way in", "way-in.md"},
    Page{"clear-way", "The way in", "way-in.md#how-wide-and-how-deep"},
    Page{"no-way-in", "The way in", "way-in.md"},
};

/// What every command takes, or all that print figures.
constexpr std::array<std::string_view, 5> common_options = {"json", "print-plan", "quiet", "verbose", "help"};
/// How people want figures.
constexpr std::array<std::string_view, 2> measures_options = {"units", "positions"};

template <class Names>
bool one_of(const OptionRow& row, const Names& names) {
    return std::find(names.begin(), names.end(), row.name) != names.end();
}

bool same(const OptionRow& a, const OptionRow& b) {
    return std::tie(a.name, a.value, a.brief, a.more, a.if_not_given) ==
           std::tie(b.name, b.value, b.brief, b.more, b.if_not_given);
}

Rows rows_of(std::string_view command) { return rows(Declared(command_named(std::string(command))).options); }

template <class Wanted>
Rows selected(Rows rows, Wanted wanted) {
    std::erase_if(rows, [&](const OptionRow& row) { return !wanted(row); });
    return rows;
}

/// The options of a command that no other table tells of. One that is called as what every command takes, but
/// has a value, is the command's own.
Rows own_rows(std::string_view command) {
    return selected(rows_of(command), [](const OptionRow& row) {
        return (!one_of(row, common_options) || !row.value.empty()) && !one_of(row, measures_options);
    });
}

bool among(const OptionRow& row, const Rows& rows) {
    return std::any_of(rows.begin(), rows.end(), [&](const OptionRow& other) { return same(row, other); });
}

/// A text that Markdown shows as it is, in the cell of a table; options look like code.
std::string cell(std::string_view text) {
    std::string safe;
    for (const char c : text) {
        if (c == '|' || c == '*' || c == '_' || c == '`') safe += '\\';
        safe += c;
    }
    safe = replaced(safe, "<", "&lt;");
    return std::regex_replace(safe, std::regex("--[a-z][a-z-]*"), "`$&`");
}

/// Code in the cell of a table.
std::string code(std::string_view text) { return "`" + replaced(std::string(text), "|", "\\|") + "`"; }

std::string line_of(const std::vector<std::string>& cells) {
    std::string line = "|";
    for (const std::string& text : cells) {
        line += text.empty() ? " |" : " " + text + " |";
    }
    return line + '\n';
}

std::string head_of(const std::vector<std::string>& titles) {
    return line_of(titles) + line_of(std::vector<std::string>(titles.size(), "---"));
}

/// What an option's brief text says, and what of it is about its not being given: "it or a chart must be
/// given".
std::pair<std::string, std::string> brief_of(const OptionRow& row) {
    const std::size_t cut = row.brief.rfind("; ");
    if (cut == std::string::npos || !row.brief.ends_with("must be given")) return {row.brief, ""};
    return {row.brief.substr(0, cut), row.brief.substr(cut + 2)};
}

std::string meaning_of(const OptionRow& row) {
    std::string text = cell(sentence(brief_of(row).first));
    if (!row.more.empty()) text += " " + cell(row.more);
    const bool spelt_out = row.value.find('|') != std::string::npos;
    const auto* const page = std::find_if(pages.begin(), pages.end(), [&](const Page& of) {
        return of.option == row.name && !(of.of_lists && spelt_out);
    });
    const std::vector<std::string> words = words_of(row.value);
    if (!words.empty() && !spelt_out && page == pages.end()) {
        text += " One of " + cell(joined(words, ", ")) + ".";
    }
    if (row.repeatable) text += " Repeatable.";
    if (page != pages.end()) {
        text += " See [" + std::string(page->title) + "](" + std::string(page->link) + ").";
    }
    return text;
}

/// @param elsewhere  rows that the table of another page has: named in one line
std::string option_table(const Rows& rows, const Rows& elsewhere = {}) {
    std::string table = head_of({"option", "meaning", "if not given"});
    std::vector<std::string> shared;
    for (const OptionRow& row : rows) {
        if (among(row, elsewhere)) {
            shared.push_back(code(row.usage()));
            continue;
        }
        const std::string missing =
            row.if_not_given.empty() ? cell(brief_of(row).second) : code(row.if_not_given);
        table += line_of({code(row.usage()), meaning_of(row), missing});
    }
    if (!shared.empty()) {
        table += line_of({joined(shared, ", "), "As of [overlay](overlay-and-spot.md).", ""});
    }
    return table;
}

/// What overlay and spot both take.
Rows shared_rows() {
    const Rows of_spot = own_rows("spot");
    return selected(own_rows("overlay"), [&](const OptionRow& row) { return among(row, of_spot); });
}

std::string table_of_options(const std::string& name) {
    if (name == "all-commands") {
        return option_table(
            selected(rows_of("overlay"), [](const OptionRow& row) { return one_of(row, common_options); }));
    }
    if (name == "measures") {
        return option_table(
            selected(rows_of("overlay"), [](const OptionRow& row) { return one_of(row, measures_options); }));
    }
    const Rows shared = shared_rows();
    if (name == "overlay-and-spot") return option_table(shared);
    if (name == "overlay" || name == "spot") {
        return option_table(
            selected(own_rows(name), [&](const OptionRow& row) { return !among(row, shared); }));
    }
    return option_table(own_rows(name), own_rows("overlay"));
}

template <class Names>
std::string table_of_bits(std::string_view layer, const Names& names) {
    std::string table = head_of({"bit of " + code(layer), "value", "name", "meaning"});
    for (const BitName& of : names) {
        table += line_of({std::to_string(std::countr_zero(of.bit)), std::to_string(of.bit), cell(of.name),
                          cell(of.sentence)});
    }
    return table;
}

std::string table_of_leading_reasons() {
    std::string table = head_of({"leading reason", "in JSON"});
    for (const WhyNotName& of : why_not_names) {
        if (of.name == name_of(WhyNot::unsurveyed).name) continue; // no no
        table += line_of({cell(of.words), code(of.name)});
    }
    return table;
}

} // namespace

std::vector<std::string> manual_table_names() {
    std::vector<std::string> names = {"all-commands", "measures", "overlay-and-spot",
                                      "reasons",      "advice",   "why-not"};
    for (const Entry& entry : commands()) {
        if (!own_rows(entry.name).empty()) names.emplace_back(entry.name);
    }
    return names;
}

std::string manual_table(std::string_view name) {
    const std::vector<std::string> names = manual_table_names();
    const std::string known(name);
    if (std::find(names.begin(), names.end(), known) == names.end()) {
        throw InputError("--table", quoted(name) + " is none of the manual's", cure_for_word(known, names));
    }
    if (known == "reasons") return table_of_bits(known, reason_names);
    if (known == "advice") return table_of_bits(known, advice_names);
    if (known == "why-not") return table_of_leading_reasons();
    return table_of_options(known);
}

} // namespace swingroom::cli
