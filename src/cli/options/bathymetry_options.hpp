#pragma once

#include "swingroom/sea/bathymetry.hpp"

#include "cli/options/option_table.hpp"

#include <boost/program_options.hpp>

#include <optional>
#include <string>
#include <vector>

namespace swingroom::cli {

/// The options that say what the bathymetry rasters are. Those that tell of one may be given once for all, or
/// once for each in the order of --bathymetry.
void declare_bathymetry(Options& options);

/// Those of them that tell of a raster, for commands that name rasters in another way.
void declare_raster_terms(Options& options);

/// What they say of rasters, in their order.
/// @throws InputError  a number of values that fits neither all nor each, or any without a raster
std::vector<BathymetryRequest> said_of_rasters(const boost::program_options::variables_map& given,
                                               const std::vector<std::string>& rasters);

/// Empty without a raster.
/// @throws InputError  a number of values that fits neither all nor each, or any without a raster
std::vector<BathymetryRequest> bathymetry_requests(const boost::program_options::variables_map& given);

/// What --uncertainty says where charts are the only depths; none: their zones of confidence say it.
/// @throws InputError
std::optional<DepthUncertainty> uncertainty_of_charts(const boost::program_options::variables_map& given);

} // namespace swingroom::cli
