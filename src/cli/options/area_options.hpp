#pragma once

#include "swingroom/sea/georeference.hpp"
#include "swingroom/sea/hazard_extent.hpp"

#include "cli/options/option_table.hpp"

#include <boost/program_options.hpp>

#include <optional>
#include <string>

namespace swingroom::cli {

/// How far around or beside something an area may reach, in metres: 10 m to 60 nm.
/// @param where  what gives it   @throws InputError
double parse_distance_m(const std::string& text, const std::string& where);

/// "14.31W,47.98N, 1.5 nm": a circle on the ground.
struct GivenCircle {
    LonLat centre;       ///< WGS 84
    double radius_m = 0; ///< more than 0
};
/// @param where  what gives it   @throws InputError
GivenCircle parse_around(const std::string& text, const std::string& where);

/// The area of an overlay.
struct GivenArea {
    LonLatBox box;
    std::string option; ///< that gives it, for messages
};

/// A box, or a circle whose box it is.
struct AreaOptions {
    static void declare(Options& options);
    /// An area that is given by hand takes the place of what a plan says.
    /// @param given  plan and command line together   @throws InputError  box and circle are given
    static void settle(const boost::program_options::variables_map& on_command_line,
                       boost::program_options::variables_map& given);
    /// Whether one is given.
    static bool is_in(const boost::program_options::variables_map& given);
    /// @returns nothing where none is given   @throws InputError
    static std::optional<GivenArea> accept(const boost::program_options::variables_map& given);
};

} // namespace swingroom::cli
