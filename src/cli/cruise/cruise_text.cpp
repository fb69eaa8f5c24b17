#include "cli/cruise/cruise_text.hpp"

#include "swingroom/base/error.hpp"

#include "base/ini_lines.hpp"
#include "base/terminal_text.hpp"
#include "base/text.hpp"
#include "base/text_input.hpp"
#include "cli/options/overlay_options.hpp"
#include "cli/options/plan.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <filesystem>
#include <set>
#include <string_view>

namespace swingroom::cli {
namespace {

namespace po = boost::program_options;

constexpr const char* holds =
    "a cruise file holds the options of overlay, one name = value a line, first those of all stays, then "
    "[stay NAME] with its own";

/// Options of overlay that are not for a cruise file.
struct LeftOut {
    std::string_view name;
    const char* cure;
};
constexpr std::array<LeftOut, 5> left_out = {
    {{"plan", "put its lines into the cruise file"},
     {"out", "name the folder on the command line: each stay has one of its own in it"},
     {"overwrite", "leave it out: a stay that has changed is made anew"},
     {"json", "leave it out: a cruise always writes cruise.json"},
     {"name", "leave it out: names of features begin with letters of the stay"}}};

/// Keys that are said once for all stays.
constexpr std::array<std::string_view, 3> common_keys = {"boat", "stays", "along"};
/// What stands before the name in the head of a section.
constexpr std::string_view stay_head = "stay ";

const LeftOut* left_out_of(std::string_view name) {
    const auto* const found =
        std::find_if(left_out.begin(), left_out.end(), [&](const LeftOut& one) { return one.name == name; });
    return found == left_out.end() ? nullptr : found;
}

std::string small(std::string text) {
    std::transform(text.begin(), text.end(), text.begin(),
                   [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    return text;
}

/// Lines from one to before another, counted from 1, as a text.
std::string lines_between(const std::vector<std::string>& lines, int from, int end) {
    std::string text;
    for (auto line = static_cast<std::size_t>(from); line < static_cast<std::size_t>(end); ++line) {
        text += lines[line - 1] + "\n";
    }
    return text;
}

/// The keys of some lines that are well-formed.
std::vector<std::string> keys_of(const std::string& lines) {
    std::vector<std::string> keys;
    for (const std::string& line : split(lines, '\n')) {
        const std::string_view bare = trimmed(std::string_view(line).substr(0, line.find('#')));
        if (!bare.empty()) keys.emplace_back(trimmed(bare.substr(0, bare.find('='))));
    }
    return keys;
}

po::variables_map options_of(const std::string& lines, const std::string& where, const std::string& path) {
    for (const std::string& key : keys_of(lines)) {
        if (const LeftOut* const one = left_out_of(key)) {
            throw InputError(where, "\"" + key + "\" is no matter of a cruise file", one->cure);
        }
    }
    po::variables_map given = options_in(lines, where, cruise_options(), holds);
    see_from(std::filesystem::path(path).parent_path(), given);
    return given;
}

StaySection stay_section(const IniSection& section, const std::string& lines, const std::string& path) {
    const std::string at = path + ":" + std::to_string(section.line);
    const std::string_view head = trimmed(section.name);
    if (!(small(std::string(head)) + " ").starts_with(stay_head)) {
        throw InputError(at, "[" + shortened(head) + "] is no stay",
                         "write [stay " + shortened(head) + "] where it is meant for one");
    }
    StaySection stay;
    stay.name = stay_name(std::string(head.substr(std::min(stay_head.size(), head.size()))), at);
    stay.where = path + ", stay " + stay.name;
    stay.given = options_of(lines, stay.where, path);
    for (const std::string_view key : common_keys) {
        if (stay.given.count(std::string(key)) == 0) continue;
        throw InputError(stay.where, "\"" + std::string(key) + "\" is said of all stays or of none",
                         "put it above the first stay");
    }
    return stay;
}

} // namespace

Options overlay_plan_options() { return OverlayOptions::planned(); }

Options cruise_options() {
    const Options of_overlay = overlay_plan_options();
    Options all;
    for (const auto& option : of_overlay.options()) {
        const std::string& name = option->long_name();
        if (!left_out_of(name)) all.add(option);
    }
    // clang-format off
    all.add_options()
        ("stays", text_value("FILE"), "stays at the points of a GPX route, or at the way points of a file without one")
        ("radius", text_value("M"), "how far around a point of that route her stay reaches, as 1.5 nm")
        ("nights", text_value("N"), "how many times 24 hours she stays at a point of that route; 1 if not given")
        ("along", text_value("FILE,within M"), "stays all along a GPX route or track, as route.gpx, within 2 nm");
    // clang-format on
    return all;
}

std::string stay_name(const std::string& given, const std::string& where) {
    constexpr std::size_t most = 60;
    const std::string name(trimmed(given));
    const auto refuse = [&](const char* wrong, const char* cure) {
        throw InputError(where, "stay \"" + shortened(name) + "\" " + wrong, cure);
    };
    if (name.empty()) throw InputError(where, "names no stay", "give it a name, as in [stay Gull Cove]");
    if (name.find_first_of("/\\") != std::string::npos || name.front() == '.') {
        refuse("is called like a path", "give it a name without / and \\ that begins with no point");
    }
    if (on_one_line(name) != name) refuse("has a name that a terminal cannot show", "give it another");
    if (name.size() > most) refuse("has a long name", "give it one of at most 60 letters");
    return name;
}

bool is_same_name(const std::string& a, const std::string& b) { return small(a) == small(b); }

void refuse_names_twice(const std::vector<std::string>& names, const std::string& where) {
    std::set<std::string> met;
    for (const std::string& name : names) {
        if (met.insert(small(name)).second) continue;
        throw InputError(where, "stay " + name + " is there twice", "give each a name of its own");
    }
}

CruiseText read_cruise_text(const std::string& path) {
    std::string text = read_text_input(path);
    if (text.starts_with("\xEF\xBB\xBF")) text.erase(0, 3); // a byte order mark
    const std::vector<IniSection> sections = check_ini_lines(text, path, holds);
    if (sections.size() > most_stays) throw InputError(path, "has many stays", "give at most 500");
    const std::vector<std::string> lines = split(text, '\n');
    const auto end_before = [&](std::size_t section) {
        return section < sections.size() ? sections[section].line : static_cast<int>(lines.size()) + 1;
    };
    CruiseText cruise;
    cruise.common = options_of(lines_between(lines, 1, end_before(0)), path, path);
    std::vector<std::string> names;
    for (std::size_t i = 0; i < sections.size(); ++i) {
        cruise.stays.push_back(
            stay_section(sections[i], lines_between(lines, sections[i].line + 1, end_before(i + 1)), path));
        names.push_back(cruise.stays.back().name);
    }
    refuse_names_twice(names, path);
    return cruise;
}

} // namespace swingroom::cli
