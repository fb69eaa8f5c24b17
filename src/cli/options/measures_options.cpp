#include "cli/options/measures_options.hpp"

#include "swingroom/base/error.hpp"

#include <algorithm>
#include <string>
#include <string_view>

namespace swingroom::cli {
namespace {

namespace po = boost::program_options;

/// The place of an option's word among those that it may be.
template <class Names>
std::size_t word_of(const po::variables_map& given, const std::string& option, const Names& names,
                    const char* cure) {
    const auto& word = given[option].as<std::string>();
    const auto at = std::find(names.begin(), names.end(), std::string_view(word));
    if (at == names.end()) throw InputError("--" + option, "\"" + word + "\" is not known", cure);
    return static_cast<std::size_t>(at - names.begin());
}

} // namespace

void declare_units(Options& options) {
    options.group(Group::seldom);
    // clang-format off
    options.add_options()
        ("units", text_value("m|ft|fm")->default_value("m"), "unit of the lengths that people read\n"
         "Distances of hazards from half a nautical mile on are in nautical miles, unless in m. What is for programs stays in metres.");
    // clang-format on
}

void declare_measures(Options& options) {
    declare_units(options);
    // clang-format off
    options.add_options()
        ("positions", text_value("degrees|minutes")->default_value("degrees"), "how people read positions\n"
         "minutes: degrees and decimal minutes. What is for programs stays in degrees.");
    // clang-format on
}

Measures measures_of(const po::variables_map& given) {
    Measures measures;
    measures.length = static_cast<LengthUnit>(word_of(given, "units", length_unit_names, "give m, ft or fm"));
    if (given.count("positions") != 0) {
        measures.position = static_cast<PositionForm>(
            word_of(given, "positions", position_form_names, "give degrees or minutes"));
    }
    return measures;
}

void declare_json(Options& options) {
    options.add_options()("json", po::bool_switch(),
                          "what it says as JSON on stdout\nAlways in metres and degrees.");
}

} // namespace swingroom::cli
