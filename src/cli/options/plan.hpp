#pragma once

#include <boost/program_options.hpp>

#include <filesystem>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace swingroom::cli {

/// What a command was given, the plan's values filled in.
struct Given {
    boost::program_options::variables_map values; ///< of the command line, then of the plan
    std::vector<std::string> planned_paths;       ///< input files that the plan names, which may be missing
};

/// Fills gaps of the command line from the plan that it names, if it names one. The command line overrides
/// it; options that take several values are only ever added to: a hazard left out by an option given again
/// could be a false yes. A plan's paths are seen from its own folder, so that it may lie beside what it
/// names, wherever the command runs.
/// @param own  the command's whole set of options: what a plan may hold
/// @throws InputError
Given with_plan(const boost::program_options::variables_map& on_command_line,
                const boost::program_options::options_description& own);

// What plans are made of, for files that hold several of them.

/// The lines `name = value` of a text as options that are known and have a value.
/// @param source  what they stand in, for messages   @param own  all that they may be
/// @param cure    what such a text holds   @throws InputError
boost::program_options::variables_map options_in(const std::string& text, const std::string& source,
                                                 const boost::program_options::options_description& own,
                                                 const std::string& cure);
/// Paths among the values are seen from a folder. They are not made shorter: what stands before a .. may be a
/// link.
void see_from(const std::filesystem::path& folder, boost::program_options::variables_map& planned);
/// Puts in what is not given: as with_plan() has it, values that are given count, but what is only ever added
/// to is added to.
/// @param planned  what stands further behind
void fill_gaps(boost::program_options::variables_map& given,
               const boost::program_options::variables_map& planned);
/// The input files among what was given.
std::vector<std::string> input_paths(const boost::program_options::variables_map& given);

/// @throws InputError  the files that a plan names and that are not there
void require_planned(const std::vector<std::string>& planned_paths);

/// What was given, as an INI text in the order of the options' names: the effective plan.
/// @param leave_out  names that do not bear on the result
std::string effective_plan(const boost::program_options::variables_map& given,
                           const std::vector<std::string>& leave_out);

/// Everything that was given or is so by default, as a plan that means the same when it is read again,
/// wherever it is kept: its paths are absolute.
/// @param leave_out  names that are no part of a plan
/// @param known  what a plan may hold: the rest of what was given is left out
/// @throws InputError  a value cannot stand in a plan, as a # cannot
std::string whole_plan(const boost::program_options::variables_map& given,
                       const boost::program_options::options_description& known);

/// What was given of the options of a plan, what is so by default aside: names and texts, a switch as true.
/// Files of levels are written so that they are taken for files whether they are there or not.
std::vector<std::pair<std::string, std::vector<std::string>>>
given_texts(const boost::program_options::variables_map& given,
            const boost::program_options::options_description& known);
/// The value that an option has by such texts.   @pre the option is one of `known`
boost::program_options::variable_value
value_of_texts(const boost::program_options::options_description& known, const std::string& name,
               const std::vector<std::string>& texts);

/// An option without which a command does nothing.
struct Needed {
    const char* name;              ///< without dashes
    const char* cure;              ///< what is to be given with it, with an example
    const char* by_hand = nullptr; ///< the name of its value where it is no matter of a plan
};

/// Whether an option is given, and does not stand there by its default alone.
bool is_given(const boost::program_options::variables_map& given, const std::string& name);
/// The value of an option that must be given.   @throws InputError  it was not given
std::string required(const boost::program_options::variables_map& given, const Needed& option);
/// The value of an option; nothing if it was not given.
std::optional<std::string> optional(const boost::program_options::variables_map& given,
                                    const std::string& name);
/// Values of an option that is repeatable; none if it was not given.
std::vector<std::string> several(const boost::program_options::variables_map& given, const std::string& name);

} // namespace swingroom::cli
