#pragma once

#include "swingroom/base/measures.hpp"

#include "cli/options/option_table.hpp"

#include <boost/program_options.hpp>

namespace swingroom::cli {

/// --units alone, for a command that prints no position.
void declare_units(Options& options);
/// --units and --positions: what people read lengths and positions in.
void declare_measures(Options& options);
/// What is not declared is as if not given.   @throws InputError
Measures measures_of(const boost::program_options::variables_map& given);

/// --json: facts for programs, on stdout, always in metres and degrees.
void declare_json(Options& options);

} // namespace swingroom::cli
