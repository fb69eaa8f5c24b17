#include "cli/options/access_options.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/units.hpp"

#include "cli/options/options.hpp"
#include "cli/options/plan.hpp"

#include <algorithm>
#include <array>
#include <ranges>

namespace swingroom::cli {

namespace po = boost::program_options;

namespace {

constexpr const char* left_out_option = "no-way-in";

/// Whether what is written tells how cells stand to the way in.
bool tell_of_way(LayerSet wanted) {
    constexpr std::array layers = {Layer::verdict, Layer::advice,  Layer::zones,
                                   Layer::spots,   Layer::ways,    Layer::report,
                                   Layer::map,     Layer::project, Layer::access_level};
    return std::ranges::any_of(layers, [wanted](Layer layer) { return wanted.has(layer); });
}

} // namespace

void AccessOptions::declare(Options& options) {
    // clang-format off
    options.add_options()
        ("from", text_values("LON,LAT"), "where the way in begins\n"
         "In degrees, or with letters as 29-02.6W,47-59.2N: where she floats clear at the highest water of the stay. If not given the way "
         "in begins on the stretch of the raster's outer edge, or of the charts', that holds its deepest cell.")
        ("clear-way", text_value("M"), "how much room she needs to each side under way\n"
         "0.1 to 1000 m around any point of a cell. If not given half her beam and the position_allowance of the boat file.")
        (left_out_option, po::bool_switch(), "do not look whether she can get there\n"
         "In a plan: no-way-in = true. Then nothing is told of the way in, and a pool behind a bar is a place to lie like any other. "
         "Looking takes all of the raster, whatever --bounds says.");
    // clang-format on
}

void AccessOptions::accept(const po::variables_map& given) {
    looked_for = !given[left_out_option].as<bool>();
    for (const char* const name : {"from", "clear-way"}) {
        if (given.count(name) != 0 && !looked_for) {
            throw InputError(std::string("--") + left_out_option,
                             "leaves out the way in, of which --" + std::string(name) + " tells",
                             "give one of the two");
        }
    }
    for (const std::string& text : several(given, "from")) {
        from.push_back({text, parse_place(text, "--from")});
    }
    by_name = !from.empty();
    if (const auto text = optional(given, "clear-way")) {
        clear_way_m = within(parse_length(*text, "--clear-way").metres(), {0.1, 1000}, *text, "--clear-way",
                             "give 0.1 to 1000 m");
    }
}

void AccessOptions::accept(const po::variables_map& given, std::string_view layers, LayerFormats& formats) {
    accept(given);
    for (const Layer layer : {Layer::access_level, Layer::ways}) {
        const std::string_view name = traits(layer).name;
        if (layers.find(name) == std::string_view::npos) continue;
        by_name = true;
        if (!looked_for) {
            throw InputError(std::string("--") + left_out_option,
                             "leaves out the way in, of which the layer " + std::string(name) + " tells",
                             "give one of the two");
        }
    }
    if (!looked_for) {
        LayerSet ways;
        ways.add(Layer::ways);
        formats.drop(ways);
        return;
    }
    looked_for = tell_of_way(formats.layers());
    for (const char* const name : {"from", "clear-way"}) {
        if (given.count(name) != 0 && !looked_for) {
            throw InputError(std::string("--") + name,
                             "tells of the way in, of which no layer that is written does",
                             "add verdict or access_level to --layers, or leave it out");
        }
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
