#pragma once

#include "swingroom/boat/tackle.hpp"
#include "swingroom/water/levels.hpp"

#include "cli/options/option_table.hpp"
#include "cli/options/plan.hpp"

#include <boost/program_options.hpp>

namespace swingroom::cli {

/// Those of the options below that must be given.
inline constexpr Needed low_water_needed{
    "low-water", "give the lowest water of the stay above chart datum, in metres, for example 0.6"},
    high_water_needed{"high-water",
                      "give the highest water of the stay above chart datum, in metres, for example 3.2"},
    wind_needed{"wind", "give the mean wind that is planned for, in knots, for example 15"};

/// --low-water and --high-water, which `boat` takes for chart datum where they are not given.
void declare_levels(Options& options, bool must_be_given);
/// --wind, which must be given.
void declare_wind(Options& options);
/// --current.
void declare_current(Options& options);

/// What the two levels say.
/// @throws InputError  one is missing, is no number, or is beyond what there can be
WaterLevels levels_of(const boost::program_options::variables_map& given);
/// What wind and current say, in that water.   @throws InputError  likewise
Conditions conditions_of(const boost::program_options::variables_map& given, const WaterLevels& water);

} // namespace swingroom::cli
