#include "cli/options/option_table.hpp"

#include "swingroom/boat/seabed.hpp"
#include "swingroom/overlay/layers.hpp"
#include "swingroom/publish/formats.hpp"

#include "base/text.hpp"
#include "cli/commands.hpp"
#include "cli/help/manual_tables.hpp"
#include "cli/help/text.hpp"

#include <algorithm>
#include <array>
#include <iterator>
#include <typeinfo>

namespace swingroom::cli {
namespace {

namespace po = boost::program_options;

/// What ends the name of a value that is a list.
constexpr std::string_view list_end = ",...";

std::vector<std::string> layer_words() {
    std::vector<std::string> words = {"all", "rode", "radius", "spare", "wind_limit"};
    words.insert(words.end(), layer_names.begin(), layer_names.end());
    return words;
}

std::vector<std::string> format_words() {
    std::vector<std::string> words;
    for (const FormatTraits& format : format_table) {
        if (format.can_be_chosen()) words.emplace_back(format.name);
    }
    return words;
}

std::vector<std::string> polygon_format_words() {
    std::vector<std::string> words;
    for (const FormatTraits& format : format_table) {
        if (format.polygons) words.emplace_back(format.name);
    }
    return words;
}

std::vector<std::string> command_words() {
    std::vector<std::string> words;
    for (const Entry& entry : commands()) {
        words.emplace_back(entry.name);
    }
    return words;
}

bool is_repeatable(const po::value_semantic& value) {
    const auto* typed = dynamic_cast<const po::typed_value_base*>(&value);
    return typed && typed->value_type() == typeid(std::vector<std::string>);
}

OptionRow row_of(const po::option_description& option, Group group) {
    OptionRow row;
    row.name = option.long_name();
    row.group = group;
    const std::string& text = option.description();
    const std::size_t line_end = std::min(text.find('\n'), text.size());
    row.brief = text.substr(0, line_end);
    row.more = text.substr(std::min(line_end + 1, text.size()));
    row.repeatable = is_repeatable(*option.semantic());
    if (option.semantic()->max_tokens() == 0) return row;
    // The library keeps a value's name and its default as one text: "M (=5)".
    const std::string both = option.semantic()->name();
    const std::size_t name_end = std::min(both.find(" (="), both.size());
    row.value = both.substr(0, name_end);
    if (row.value == po::arg) row.value = "VALUE";
    if (name_end < both.size()) row.if_not_given = both.substr(name_end + 3, both.size() - name_end - 4);
    return row;
}

} // namespace

std::string_view title(Group group) {
    constexpr std::array<std::string_view, 7> titles = {
        "Options",       "What is looked at", "For which boat, in which water and wind",
        "With --tide",   "What comes out",    "Seldom needed",
        "The run itself"};
    return titles[static_cast<std::size_t>(group)];
}

bool by_name_alone(Group group) {
    return group == Group::tide || group == Group::seldom || group == Group::run;
}

Group Options::group_of(std::size_t index) const {
    const auto after = from_.upper_bound(index);
    return after == from_.begin() ? Group::plain : std::prev(after)->second;
}

std::string OptionRow::usage() const { return "--" + name + (value.empty() ? "" : " " + value); }

std::string OptionRow::line() const {
    return if_not_given.empty() ? brief : brief + " [" + if_not_given + "]";
}

std::vector<OptionRow> rows(const Options& options) {
    std::vector<OptionRow> rows;
    for (std::size_t i = 0; i < options.options().size(); ++i) {
        rows.push_back(row_of(*options.options()[i], options.group_of(i)));
    }
    std::stable_sort(rows.begin(), rows.end(),
                     [](const OptionRow& a, const OptionRow& b) { return a.group < b.group; });
    return rows;
}

bool is_list(std::string_view value_name) { return value_name.ends_with(list_end); }

std::vector<std::string> words_of(std::string_view value_name) {
    if (is_list(value_name)) value_name.remove_suffix(list_end.size());
    if (value_name == "LAYER") return layer_words();
    if (value_name == "FORMAT") return format_words();
    if (value_name == "POLYGON-FORMAT") return polygon_format_words();
    if (value_name == "SEABED") return {seabed_names.begin(), seabed_names.end()};
    if (value_name == "UNIT") return {"m", "dm", "cm", "ft", "us-ft", "fm"};
    if (value_name == "COMMAND") return command_words();
    if (value_name == "TABLE") return manual_table_names();
    return value_name.find('|') == std::string_view::npos ? std::vector<std::string>{}
                                                          : split(value_name, '|');
}

} // namespace swingroom::cli
