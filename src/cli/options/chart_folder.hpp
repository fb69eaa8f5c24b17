#pragma once

#include <cstddef>
#include <string>
#include <vector>

namespace swingroom::cli {

/// A folder that was given for the S-57 cells in it.
struct ChartFolder {
    std::string folder;    ///< as it was given
    std::size_t cells = 0; ///< how many it holds
};

/// The charts that were given, folders replaced by the cells in them.
struct GivenCharts {
    std::vector<std::string> cells; ///< paths, each once, in the order given; of a folder sorted
    std::vector<ChartFolder> folders;
};

/// Looks into what is a folder, and into all below it, as an exchange set has its cells: every NAME.000 is
/// one, with its updates beside it. Links are followed, and each file is taken once. What is no folder, or
/// not there, is taken as it is.
/// @throws InputError  a folder without a cell; an update that does not lie beside its cell, which would be
///                     passed over; two cells of one name, of which one may be the older edition, where a
///                     folder is given; a link that leads nowhere
/// @throws IoError  a folder cannot be read
GivenCharts charts_given(const std::vector<std::string>& paths);

/// "2 S-57 cells", for people.
std::string cells_text(const ChartFolder& folder);

} // namespace swingroom::cli
