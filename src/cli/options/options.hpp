#pragma once

#include "swingroom/sea/hazard_extent.hpp"

#include <boost/program_options.hpp>

#include <cstddef>
#include <string>
#include <vector>

namespace swingroom::cli {

/// What a value must lie between, both ends allowed.
struct Range {
    double least, most; ///< in the unit of the option
};
/// @param given  the value as it was written, for the message   @param where  the option, likewise
/// @returns the value   @throws InputError
double within(double value, Range range, const std::string& given, const std::string& where,
              const std::string& cure);

/// "west,south,east,north" in degrees, or "29-03W,47-58N,29-01W,47-59.5N"; an east below the west is across
/// the antimeridian.   @throws InputError
LonLatBox parse_bounds(const std::string& text);

/// The cure for an option that there is not: the one that was meant, if any is near, or where to look.
/// @param prefix  what stands before names of options there: -- or nothing
std::string cure_for_unknown(const std::string& option, const std::string& prefix,
                             const boost::program_options::options_description& known,
                             const std::string& otherwise);

/// The cure for a word that is none of those that may be given: the one that was meant, or all of them.
/// @param known  two or more
std::string cure_for_word(const std::string& word, const std::vector<std::string>& known);

/// Which of several formats a command prints in, by --format and --json.
/// @param formats  their names, json among them   @returns its place among them   @throws InputError
std::size_t printed_format(const boost::program_options::variables_map& given,
                           const std::vector<std::string>& formats);

/// Whether an option says yes.   @throws InputError  it says neither yes nor no
bool says_yes(const boost::program_options::variables_map& given, const std::string& name);

} // namespace swingroom::cli
