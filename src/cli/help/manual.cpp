#include "cli/help/manual.hpp"

#include "swingroom/base/version.hpp"

#include "base/text.hpp"
#include "cli/help/boat_keys_text.hpp"
#include "cli/help/text.hpp"

#include <algorithm>
#include <cctype>
#include <string_view>

namespace swingroom::cli {
namespace {

/// Text that roff prints as it is: dashes and quotes stay what they are, no line is a request.
std::string plain(std::string_view text) {
    std::string safe;
    for (const char c : text) {
        switch (c) {
        case '\\':
            safe += "\\e";
            break;
        case '-':
            safe += "\\-";
            break;
        case '^':
            safe += "\\(ha";
            break;
        case '~':
            safe += "\\(ti";
            break;
        case '\'':
            safe += "\\(aq";
            break;
        default:
            safe += c;
        }
    }
    return safe.starts_with('.') ? "\\&" + safe : safe;
}
std::string bold(std::string_view text) { return "\\fB" + plain(text) + "\\fR"; }
std::string italic(std::string_view text) { return "\\fI" + plain(text) + "\\fR"; }

/// Each sentence on a line of its own, as roff asks for.
std::string prose(std::string_view text) {
    std::string out;
    for (const std::string& sentence : split(replaced(std::string(text), ". ", ".\n"), '\n')) {
        for (const std::string& line : wrapped(sentence, 70)) {
            out += plain(line) + '\n';
        }
    }
    return out;
}

std::string section(std::string_view name) { return ".SH " + std::string(name) + '\n'; }
std::string item(const std::string& label, const std::string& text) { return ".TP\n" + label + '\n' + text; }

std::string page_head(const std::string& page, std::string_view summary) {
    std::string upper = page;
    std::transform(upper.begin(), upper.end(), upper.begin(),
                   [](unsigned char c) { return static_cast<char>(std::toupper(c)); });
    return ".\\\" Made by swingroom manual from its table of options.\n.TH " + upper + " 1 " +
           std::string(released()) + " \"swingroom " + std::string(version()) + "\" swingroom\n" +
           section("NAME") + plain(page) + " \\- " + plain(summary) + '\n';
}

/// Words that a value may be as they are, what stands for something else in italics.
std::string value(const std::string& name) {
    if (name.find('|') == std::string::npos) return italic(name);
    std::vector<std::string> words = split(name, '|');
    for (std::string& word : words) {
        word = bold(word);
    }
    return joined(words, "|");
}

std::string option_item(const OptionRow& row) {
    std::string label = bold("--" + row.name) + (row.value.empty() ? "" : " " + value(row.value));
    std::string text = prose(sentence(row.brief));
    if (!row.more.empty()) text += prose(row.more);
    const std::vector<std::string> words = words_of(row.value);
    if (!words.empty() && row.value.find('|') == std::string::npos) {
        text += prose((is_list(row.value) ? "Of these, commas between them: " : "One of ") +
                      joined(words, ", ") + ".");
    }
    if (row.repeatable) text += "Repeatable.\n";
    if (!row.if_not_given.empty()) text += "If not given: " + plain(row.if_not_given) + ".\n";
    return item(label, text);
}

std::string options_section(const Options& options) {
    const std::vector<OptionRow> table = rows(options);
    std::string text = section("OPTIONS");
    for (std::size_t i = 0; i < table.size(); ++i) {
        if (i == 0 || table[i].group != table[i - 1].group) {
            text += ".SS " + std::string(title(table[i].group)) + '\n';
        }
        text += option_item(table[i]);
    }
    return text;
}

std::string examples_section(const std::vector<Example>& examples) {
    std::string text = section("EXAMPLES");
    for (const Example& example : examples) {
        text += (&example == &examples.front() ? "" : ".PP\n") + plain(example.what) + "\n.PP\n.in +4\n.nf\n";
        for (const std::string& line : continued(example.line, 70)) {
            text += plain(line) + '\n';
        }
        text += ".fi\n.in\n";
    }
    return text;
}

std::string key_item(const BoatKey& key) {
    std::string text = prose(sentence(key.meaning));
    if (!key.words.empty()) text += prose("One of " + std::string(key.words) + ".");
    if (key.need == BoatNeed::always) text += "Must be given.\n";
    if (const std::string otherwise = if_not_given(key); !otherwise.empty()) {
        text += prose("If not given: " + otherwise + ".");
    }
    return item(bold(key.name()) + " = " + italic(placeholder(key.value)), text);
}

/// What may stand in a boat file.
std::string boat_file_section() {
    std::string text =
        section("BOAT FILE") +
        prose("INI: sections in brackets, key = value, comments behind #. A file to fill in is "
              "printed by swingroom boat --template.");
    std::string_view of_section;
    for (const BoatKey& key : boat_keys()) {
        if (key.section() != of_section) text += ".SS [" + plain(key.section()) + "]\n";
        of_section = key.section();
        text += key_item(key);
    }
    return text;
}

/// How quantities and positions are written.
std::string values_section() {
    return section("VALUES") +
           prose("Lengths may carry a unit: m (if none is given), cm, mm, km, ft, in, fm (fathom), nm "
                 "(nautical mile), cable (a tenth of one). Speeds: kn (if none is given), m/s, km/h. "
                 "Positions are degrees, east and north positive; with letters also degrees, minutes and "
                 "seconds, such as 47.987N, 47-59.222N or N47 59 13.3. Decimals have a point, whatever the "
                 "locale. A switch stands alone; in a plan it is name = true.");
}

/// What holds for every command.
std::string common_sections() {
    return section("EXIT STATUS") + item("0", "done\n") +
           item("1", "a file or the disk failed; or verify has found a fault\n") +
           item("2", "something to mend in what was given: one line names it and the cure\n") + ".PP\n" +
           prose("A run that is stopped by a signal ends by that signal, and leaves no folder.") +
           section("ENVIRONMENT") +
           item("NO_COLOR", "If it is set and not empty, messages have no colour. "
                            "They have it on a terminal only.\n") +
           item("TERM", "If it is dumb or not set, there is neither colour nor a bar of progress.\n") +
           item("GDAL_DATA, PROJ_DATA", "Read by the libraries of these names.\n");
}

std::string files_section() {
    return section("FILES") +
           item(italic("FOLDER/manifest.json"),
                "What a run was made from, and the digests of all that it has written.\n") +
           item(italic(".FOLDER.part-XXXXXX"),
                "A run at work. After a crash it may stay beside the folder; the next run into that place "
                "tells of it, and "
                "removes it where its lock shows that no run is at work there.\n") +
           item(italic("share/swingroom/haven"),
                "Where swingroom is installed: an invented haven with its plan, haven.plan, to try things "
                "with.\n");
}

std::string last_sections(const std::vector<std::string>& see) {
    std::string text = section("CAUTIONS") + prose(caution) + section("SEE ALSO");
    for (const std::string& page : see) {
        text += ".BR " + plain(page) + (&page == &see.back() ? " (1)\n" : " (1),\n");
    }
    return text + ".PP\n" +
           prose("The pages in share/doc/swingroom/manual tell of boat files, rules, charts, every layer and "
                 "format.");
}

bool takes_quantities(const Options& options) {
    const std::vector<OptionRow> table = rows(options);
    return std::any_of(table.begin(), table.end(), [](const OptionRow& row) {
        return row.value == "M" || row.value == "KN" || row.value == "W,S,E,N";
    });
}

std::string page_of(const Entry& entry) { return "swingroom-" + std::string(entry.name); }

} // namespace

std::string manual() {
    std::string text = page_head("swingroom", "where a boat has room to swing at anchor");
    text += section("SYNOPSIS") + bold("swingroom") + ' ' + italic("COMMAND") + " ...\n.br\n" +
            bold("swingroom --help") + "\n.br\n" + bold("swingroom --version") + '\n';
    text +=
        section("DESCRIPTION") +
        prose(
            "Reads bathymetry, charts and other hazard layers, the boat, the water levels and the wind, and "
            "answers for every cell: can this boat lie here at anchor through a whole tide and a whole turn, "
            "and get the anchor back afterwards? And if not, why not, and by how much?");
    text += section("COMMANDS");
    std::vector<std::string> pages;
    for (const Entry& entry : commands()) {
        pages.push_back(page_of(entry));
        text += item(bold(entry.name) + ' ' + plain(entry.arguments), prose(sentence(entry.summary)));
    }
    text += section("OPTIONS") +
            item(bold("--help"), "The list of commands. After a command: its options.\n") +
            item(bold("--version"), "The version, and those of the libraries.\n");
    std::vector<Example> examples;
    for (const Entry& entry : commands()) {
        examples.push_back(entry.examples.front());
    }
    return text + values_section() + common_sections() + files_section() + examples_section(examples) +
           last_sections(pages);
}

std::string manual(const Entry& entry) {
    const Declared declared(entry);
    std::string text = page_head(page_of(entry), entry.summary);
    text += section("SYNOPSIS") + bold("swingroom " + std::string(entry.name)) + ' ' +
            plain(entry.arguments) + (entry.arguments.empty() ? "[" : " [") + italic("options") + "]\n";
    text += section("DESCRIPTION") + prose(entry.about) + options_section(declared.options);
    if (entry.reads_boat_file) text += boat_file_section();
    if (takes_quantities(declared.options)) text += values_section();
    text += common_sections();
    if (declared.options.find_nothrow("out", false)) text += files_section();
    std::vector<std::string> see = {"swingroom"};
    for (const Entry& other : commands()) {
        if (&other != &entry) see.push_back(page_of(other));
    }
    return text + examples_section(entry.examples) + last_sections(see);
}

} // namespace swingroom::cli
