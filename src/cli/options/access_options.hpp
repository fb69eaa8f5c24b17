#pragma once

#include "swingroom/base/measures.hpp"
#include "swingroom/overlay/layers.hpp"

#include "cli/options/option_table.hpp"

#include <boost/program_options.hpp>

#include <optional>
#include <string>
#include <vector>

namespace swingroom::cli {

/// The options of the way in: where it begins, and how wide it is.
struct AccessOptions {
    /// A position as it is written, for messages, and as it is read.
    struct Place {
        std::string text;
        Position position;
    };
    std::vector<Place> from;           ///< empty: from the sea beyond the raster's edge
    std::optional<double> clear_way_m; ///< to each side; none: by her beam

    /// Adds them to a command's.
    static void declare(Options& options);
    /// @param wanted  the layers that are written   @throws InputError
    void accept(const boost::program_options::variables_map& given, LayerSet wanted);
};

/// "LON,LAT" in degrees, or "29-02.6W,47-59.2N", with letters in any order.   @throws InputError
Position parse_place(const std::string& text, const std::string& where);

} // namespace swingroom::cli
