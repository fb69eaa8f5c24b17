#pragma once

#include "swingroom/sea/stay_levels.hpp"

#include <boost/program_options.hpp>

#include <string>

namespace swingroom::cli {

/// Whether an option that takes a length or the file of a raster was given the latter: what is no length and
/// looks like a path, or is the name of a file that is there. A file whose name is a length is given as
/// ./0.6.
bool names_raster(const std::string& text);

/// What --low-water and --high-water say, numbers or rasters that nobody has opened yet.
/// @throws InputError  one is missing, is neither, or is beyond what there can be; two numbers in the wrong
///                     order
LevelsRequest level_requests(const boost::program_options::variables_map& given);

/// What an option says that takes a length or a raster.   @param option  for messages: "--low-water"
/// @throws InputError  neither
LevelRequest level_or_raster(const std::string& text, const std::string& option);

} // namespace swingroom::cli
