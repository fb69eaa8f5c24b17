#pragma once

#include "swingroom/publish/compression.hpp"
#include "swingroom/publish/formats.hpp"

#include "cli/options/option_table.hpp"

#include <boost/program_options.hpp>

#include <cstddef>
#include <string>
#include <vector>

namespace swingroom::cli {

/// --format, --name and --styles, which overlay and exclusions share.
/// @param value    the name of what --format takes, a list; see words_of()
/// @param formats  what is written when it is not given
/// @param more     what the manual says of it besides
void declare_formats(Options& options, const char* value, const char* formats, const std::string& more);

/// --compression, of the rasters.
void declare_compression(Options& options);

/// @throws InputError  a word that is no format
FormatSet formats_of(const boost::program_options::variables_map& given);
/// @throws InputError  one that plotters would not keep
NamePrefix prefix_of(const boost::program_options::variables_map& given);
/// The same where there may be several boats, as options of a run for each of them alone: that which is given
/// for all, or hers of those that are given.
/// @param boats  how many there are   @returns for each what --name says of her; nothing where it is not
/// given
/// @throws InputError  more or fewer than there are boats
std::vector<std::string> names_of_boats(const boost::program_options::variables_map& given,
                                        std::size_t boats);
/// @throws InputError  none that there is, or one that this machine's GDAL cannot
Compression compression_of(const boost::program_options::variables_map& given);
/// @throws InputError  neither yes nor no
bool styles_of(const boost::program_options::variables_map& given);

} // namespace swingroom::cli
