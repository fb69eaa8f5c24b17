#pragma once

#include "swingroom/base/measures.hpp"

#include "cli/option_table.hpp"

#include <boost/program_options.hpp>

namespace swingroom::cli {

/// --units and --positions: what people read lengths and positions in.
void declare_measures(Options& options);
/// @throws InputError
Measures measures_of(const boost::program_options::variables_map& given);

/// --json: facts for programs, on stdout, always in metres and degrees.
void declare_json(Options& options);

} // namespace swingroom::cli
