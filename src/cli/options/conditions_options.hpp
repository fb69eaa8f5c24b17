#pragma once

#include "swingroom/boat/tackle.hpp"

#include "cli/options/option_table.hpp"

#include <boost/program_options.hpp>

namespace swingroom::cli {

/// --low-water and --high-water, which `boat` takes for chart datum where they are not given.
void declare_levels(Options& options, bool must_be_given);
/// --wind, which must be given.
void declare_wind(Options& options);
/// --current.
void declare_current(Options& options);

/// What all of these say.
/// @throws InputError  one is missing, is no number, or is beyond what there can be
Conditions conditions_of(const boost::program_options::variables_map& given);

} // namespace swingroom::cli
