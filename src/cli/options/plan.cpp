#include "cli/options/plan.hpp"

#include "swingroom/base/error.hpp"

#include "base/ini_lines.hpp"
#include "base/terminal_text.hpp"
#include "base/text_input.hpp"
#include "cli/options/level_rasters.hpp"
#include "cli/options/options.hpp"

#include <algorithm>
#include <array>
#include <filesystem>
#include <iterator>
#include <span>
#include <sstream>
#include <string_view>
#include <system_error>

namespace swingroom::cli {
namespace {

namespace po = boost::program_options;

/// Options that name input files.
constexpr std::array<std::string_view, 6> input_options = {"bathymetry", "chart", "hazards",
                                                           "rules",      "boat",  "tide"};
/// The option that names what is made.
constexpr std::string_view output_option = "out";
/// Options that take a length or the file of a raster.
constexpr std::array<std::string_view, 3> level_options = {"low-water", "high-water", "chart-datum"};
/// Hazards and their margins are only ever added: one left out by an option given again could be a false
/// yes.
constexpr std::array<std::string_view, 3> added_options = {"chart", "hazards", "margin"};
/// Of these KEY=VALUE the command line overrides those of a plan with the same key, and the others stay.
constexpr std::string_view keyed_option = "margin";

/// Options of every command, which tell how it is run this once.
constexpr std::array<std::string_view, 6> by_hand_alone = {"help",       "part",  "print-parts",
                                                           "print-plan", "quiet", "verbose"};

bool one_of(std::string_view name, std::span<const std::string_view> names) {
    return std::find(names.begin(), names.end(), name) != names.end();
}

/// Whether an option's value is a path.
bool is_path(std::string_view name, const std::string& text) {
    return name == output_option || one_of(name, input_options) ||
           (one_of(name, level_options) && names_raster(text));
}

bool is_blank(char c) { return c == ' ' || c == '\t'; }

/// The texts of a value, one or several.
std::vector<std::string> texts_of(const po::variable_value& value) {
    if (const auto* text = boost::any_cast<std::string>(&value.value())) return {*text};
    if (const auto* several = boost::any_cast<std::vector<std::string>>(&value.value())) return *several;
    if (const auto* set = boost::any_cast<bool>(&value.value())) return {*set ? "true" : "false"};
    return {};
}

/// What stands before the last = of a text, without blanks at its ends.
std::string_view key_of(std::string_view text) {
    text = text.substr(0, text.rfind('='));
    while (!text.empty() && is_blank(text.front())) {
        text.remove_prefix(1);
    }
    while (!text.empty() && is_blank(text.back())) {
        text.remove_suffix(1);
    }
    return text;
}

/// The same option with other texts: one, or several where it is repeatable.
po::variable_value with_texts(const po::variable_value& value, const std::vector<std::string>& texts) {
    const bool one = boost::any_cast<std::string>(&value.value()) != nullptr;
    return one ? po::variable_value(texts.front(), value.defaulted())
               : po::variable_value(texts, value.defaulted());
}

/// A path that means the same wherever it is seen from; any other text as it is.
std::string fit_for_any_place(std::string_view name, const std::string& text) {
    return is_path(name, text) ? std::filesystem::absolute(text).string() : text;
}

/// Whether a text is the same when it is read again: what a terminal is not shown as it is would be another
/// value.
bool can_stand_in_a_plan(const std::string& text) {
    return text.find('#') == std::string::npos && on_one_line(text) == text && !is_blank(text.front()) &&
           !is_blank(text.back());
}

/// A plan's lines as options of the command that are known and have a value.
po::variables_map read_plan(const std::string& plan, const po::options_description& own) {
    const std::string cure = "a plan holds the options of this command, one name = value a line";
    std::string text = read_text_input(plan);
    if (text.starts_with("\xEF\xBB\xBF")) text.erase(0, 3); // a byte order mark
    if (const auto sections = check_ini_lines(text, plan, cure); !sections.empty()) {
        throw InputError(plan + ":" + std::to_string(sections.front().line),
                         "a plan has no sections, as [" + shortened(sections.front().name) + "]", cure);
    }
    po::variables_map planned = options_in(text, plan, own, cure);
    if (planned.count("plan") != 0) {
        throw InputError(plan, "names another plan", "put all options into one plan");
    }
    return planned;
}

/// An option without a value is a slip: what it would fall back to may be anything but what was meant.
/// @param before  what stands before the option's name in messages
void refuse_empty(const po::variables_map& given, const std::string& before) {
    for (const auto& [name, value] : given) {
        for (const std::string& text : texts_of(value)) {
            if (text.find_first_not_of(" \t") == std::string::npos) {
                throw InputError(before + name, "has no value", "give one, or leave the option out");
            }
        }
    }
}

/// Whether a value is given by hand and takes the place of others.
bool overrides(const po::variables_map& given, const std::string& name) {
    return is_given(given, name) && !one_of(name, added_options);
}

/// Puts the texts of a value that are still wanted behind those that were given.
void add_texts(po::variables_map& given, const std::string& name, const std::vector<std::string>& more) {
    std::vector<std::string> all = texts_of(given[name]);
    const std::vector<std::string> by_hand = all;
    std::copy_if(more.begin(), more.end(), std::back_inserter(all), [&](const std::string& text) {
        return name != keyed_option ||
               std::none_of(by_hand.begin(), by_hand.end(),
                            [&](const std::string& other) { return key_of(other) == key_of(text); });
    });
    given.insert_or_assign(name, po::variable_value(all, false));
}

} // namespace

po::variables_map options_in(const std::string& text, const std::string& source,
                             const po::options_description& own, const std::string& cure) {
    po::variables_map planned;
    try {
        std::istringstream in(text);
        po::store(po::parse_config_file(in, own), planned);
    } catch (const po::unknown_option& error) {
        const std::string& name = error.get_option_name();
        if (one_of(name, by_hand_alone)) {
            throw InputError(source, "\"" + name + "\" is no matter of a plan",
                             "give it on the command line");
        }
        throw InputError(source, "\"" + shortened(name) + "\" is no option of this command",
                         cure_for_unknown(name, "", own, cure));
    } catch (const po::invalid_bool_value& error) {
        std::string name = error.get_option_name();
        name.erase(0, name.find_first_not_of('-'));
        throw InputError(source, "\"" + name + "\" is neither on nor off",
                         "give " + name + " = true or " + name + " = false");
    } catch (const po::error& error) {
        throw InputError(source, shortened(error.what()), cure);
    }
    refuse_empty(planned, source + ": ");
    return planned;
}

void see_from(const std::filesystem::path& folder, po::variables_map& planned) {
    for (auto& [name, value] : planned) {
        std::vector<std::string> texts = texts_of(value);
        bool any = false;
        for (std::string& text : texts) {
            if (!is_path(name, text)) continue;
            any = true;
            text = (folder / text).string(); // an absolute one stays what it is
        }
        if (any) value = with_texts(value, texts);
    }
}

void fill_gaps(po::variables_map& given, const po::variables_map& planned) {
    for (const auto& [name, value] : planned) {
        if (value.defaulted() || overrides(given, name)) continue;
        const bool by_hand = is_given(given, name);
        if (by_hand) {
            add_texts(given, name, texts_of(value));
        } else {
            given.insert_or_assign(name, value);
        }
    }
}

std::vector<std::string> input_paths(const po::variables_map& given) {
    std::vector<std::string> paths;
    for (const auto& [name, value] : given) {
        if (name == output_option || value.defaulted()) continue;
        const std::vector<std::string> texts = texts_of(value);
        std::copy_if(texts.begin(), texts.end(), std::back_inserter(paths),
                     [&of = name](const std::string& text) { return is_path(of, text); });
    }
    return paths;
}

Given with_plan(const po::variables_map& on_command_line, const po::options_description& own) {
    Given given{on_command_line, {}};
    refuse_empty(given.values, "--");
    const auto plan = optional(given.values, "plan");
    if (!plan) return given;
    po::variables_map planned = read_plan(*plan, own);
    see_from(std::filesystem::path(*plan).parent_path(), planned);
    for (const auto& [name, value] : po::variables_map(planned)) {
        if (overrides(given.values, name)) planned.erase(name);
    }
    given.planned_paths = input_paths(planned);
    fill_gaps(given.values, planned);
    return given;
}

void require_planned(const std::vector<std::string>& planned_paths) {
    for (const std::string& path : planned_paths) {
        if (std::error_code error;
            std::filesystem::status(path, error).type() == std::filesystem::file_type::not_found) {
            throw InputError(path, "no such file", "paths in a plan are seen from the plan's own folder");
        }
    }
}

std::string effective_plan(const po::variables_map& given, const std::vector<std::string>& leave_out) {
    std::string plan;
    for (const auto& [name, value] : given) {
        if (std::find(leave_out.begin(), leave_out.end(), name) != leave_out.end()) continue;
        for (const std::string& text : texts_of(value)) {
            plan += name + " = " + text + "\n";
        }
    }
    return plan;
}

std::string whole_plan(const po::variables_map& given, const po::options_description& known) {
    po::variables_map planned;
    for (const auto& [name, value] : given) {
        if (name == "plan" || !known.find_nothrow(name, false)) continue;
        std::vector<std::string> texts = texts_of(value);
        const std::vector<std::string> as_given = texts;
        for (std::string& text : texts) {
            const std::string fit = fit_for_any_place(name, text);
            if (!can_stand_in_a_plan(text) || !can_stand_in_a_plan(fit)) {
                throw InputError("--" + name,
                                 "\"" + shortened(can_stand_in_a_plan(text) ? fit : text) +
                                     "\" cannot stand in a plan",
                                 "rename what it names, without #, blanks at its ends and characters that "
                                 "a terminal cannot show");
            }
            text = fit;
        }
        planned.insert({name, texts != as_given ? with_texts(value, texts) : value});
    }
    return effective_plan(planned, {});
}

std::vector<std::pair<std::string, std::vector<std::string>>>
given_texts(const po::variables_map& given, const po::options_description& known) {
    std::vector<std::pair<std::string, std::vector<std::string>>> all;
    for (const auto& [name, value] : given) {
        if (name == "plan" || value.defaulted() || !known.find_nothrow(name, false)) continue;
        std::vector<std::string> texts = texts_of(value);
        for (std::string& text : texts) {
            const bool bare_file =
                one_of(name, level_options) && names_raster(text) && text.find('/') == std::string::npos;
            if (bare_file) text.insert(0, "./");
        }
        all.emplace_back(name, std::move(texts));
    }
    return all;
}

po::variable_value value_of_texts(const po::options_description& known, const std::string& name,
                                  const std::vector<std::string>& texts) {
    boost::any value;
    known.find(name, false).semantic()->parse(value, texts, true);
    return {value, false};
}

std::string required(const po::variables_map& given, const Needed& option) {
    if (given.count(option.name) == 0) {
        throw InputError(std::string("--") + option.name, "is missing", option.cure);
    }
    return given[option.name].as<std::string>();
}

bool is_given(const po::variables_map& given, const std::string& name) {
    return given.count(name) != 0 && !given[name].defaulted();
}

std::optional<std::string> optional(const po::variables_map& given, const std::string& name) {
    if (given.count(name) == 0) return std::nullopt;
    return given[name].as<std::string>();
}

std::vector<std::string> several(const po::variables_map& given, const std::string& name) {
    if (given.count(name) == 0) return {};
    return given[name].as<std::vector<std::string>>();
}

} // namespace swingroom::cli
