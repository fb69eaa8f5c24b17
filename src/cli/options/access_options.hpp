#pragma once

#include "swingroom/base/measures.hpp"
#include "swingroom/publish/formats.hpp"

#include "cli/options/option_table.hpp"

#include <boost/program_options.hpp>

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace swingroom::cli {

/// The options of the way in: where it begins, how wide it is, and whether anybody looks for it.
struct AccessOptions {
    /// A position as it is written, for messages, and as it is read.
    struct Place {
        std::string text;
        Position position;
    };
    std::vector<Place> from;           ///< empty: from the sea beyond the raster's edge
    std::optional<double> clear_way_m; ///< to each side; none: by her beam
    bool looked_for = true;
    /// Whether somebody has asked for the way in by name: what is missing for it is an error then. Otherwise
    /// it is not known, which is said.
    bool by_name = false;

    /// Adds them to a command's.
    static void declare(Options& options);
    /// Of a command that looks for the way whatever it writes.   @throws InputError
    void accept(const boost::program_options::variables_map& given);
    /// Of a command that looks for it where what it writes tells of it.
    /// @param layers  as they are named by the user   @param formats  what is written; ways are left out
    /// where nobody
    ///                looks for any
    /// @throws InputError
    void accept(const boost::program_options::variables_map& given, std::string_view layers,
                LayerFormats& formats);
};

/// "LON,LAT" in degrees, or "29-02.6W,47-59.2N", with letters in any order.   @throws InputError
Position parse_place(const std::string& text, const std::string& where);

} // namespace swingroom::cli
