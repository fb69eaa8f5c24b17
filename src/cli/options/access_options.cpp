#include "cli/options/access_options.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/units.hpp"

#include "cli/options/options.hpp"
#include "cli/options/plan.hpp"

#include <algorithm>

namespace swingroom::cli {

namespace po = boost::program_options;

void AccessOptions::declare(Options& options) {
    // clang-format off
    options.add_options()
        ("from", text_values("LON,LAT"), "where the way in begins, for access_level\n"
         "In degrees, or with letters as 29-02.6W,47-59.2N: where she floats clear at the highest water of the stay. If not given the way "
         "in begins on the stretch of the raster's outer edge that holds its deepest cell.")
        ("clear-way", text_value("M"), "how much room she needs to each side under way\n"
         "For access_level, 0.1 to 1000 m around any point of a cell. If not given half her beam and the position_allowance of the boat file.");
    // clang-format on
}

void AccessOptions::accept(const po::variables_map& given, LayerSet wanted) {
    for (const char* const name : {"from", "clear-way"}) {
        if (given.count(name) != 0 && !wanted.has(Layer::access_level)) {
            throw InputError(std::string("--") + name,
                             "tells of the way in, and access_level is not among the layers",
                             "add access_level to --layers, or leave it out");
        }
    }
    for (const std::string& text : several(given, "from")) {
        from.push_back({text, parse_place(text, "--from")});
    }
    if (const auto text = optional(given, "clear-way")) {
        clear_way_m = within(parse_length(*text, "--clear-way").metres(), {0.1, 1000}, *text, "--clear-way",
                             "give 0.1 to 1000 m");
    }
}

Position parse_place(const std::string& text, const std::string& where) {
    if (std::count(text.begin(), text.end(), ',') != 1) {
        throw InputError(where, "\"" + text + "\" is not longitude and latitude with a comma between them",
                         "give degrees with decimal points, longitude first, as -29.04,47.98");
    }
    const std::size_t comma = text.find(',');
    return parse_position(text.substr(0, comma), text.substr(comma + 1), where);
}

} // namespace swingroom::cli
