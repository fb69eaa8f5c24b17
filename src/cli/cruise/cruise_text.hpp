#pragma once

#include "cli/options/option_table.hpp"

#include <boost/program_options.hpp>

#include <cstddef>
#include <string>
#include <vector>

namespace swingroom::cli {

/// So many stays have prefixes that tell them apart; a page of more would be none.
inline constexpr std::size_t most_stays = 500;

/// A section `[stay NAME]` of a cruise file.
struct StaySection {
    std::string name;                            ///< of the stay
    std::string where;                           ///< the file and the stay, for messages
    boost::program_options::variables_map given; ///< its own lines alone, and defaults
};

/// A cruise file: what is common to all stays, then what each has of its own. Its paths are seen from its own
/// folder already.
struct CruiseText {
    boost::program_options::variables_map common; ///< the lines above the first section, and defaults
    std::vector<StaySection> stays;               ///< in the order of the file
};

/// What a plan of `overlay` may hold.
Options overlay_plan_options();

/// All that lines of a cruise file may be: the options of `overlay` as a plan has them, but for those that
/// tell how a run is made, and the keys of a cruise.
Options cruise_options();

/// Reads a cruise file.
/// @throws InputError  naming the file and the stay: a line that is none, an option that there is not, a
///                     section that is no stay, a name that cannot be one or is there twice
CruiseText read_cruise_text(const std::string& path);

/// What a stay is called, without blanks at its ends.
/// @param where  what gives the name   @throws InputError  it is empty, long, a path or not for a terminal
std::string stay_name(const std::string& given, const std::string& where);

/// Whether two stays have the same name, whatever the case of letters.
bool is_same_name(const std::string& a, const std::string& b);

/// @param where  what gives the names   @throws InputError  a name is there twice, whatever the case of
/// letters
void refuse_names_twice(const std::vector<std::string>& names, const std::string& where);

} // namespace swingroom::cli
