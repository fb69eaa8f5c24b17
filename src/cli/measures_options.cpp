#include "cli/measures_options.hpp"

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

void declare_measures(Options& options) {
    options.group(Group::seldom);
    // clang-format off
    options.add_options()
        ("units", text_value("m|ft|fm")->default_value("m"), "unit of the lengths that people read\n"
         "Files for programs stay in metres.")
        ("positions", text_value("degrees|minutes")->default_value("degrees"), "how people read positions\n"
         "minutes: degrees and decimal minutes. Files for programs stay in degrees.");
    // clang-format on
}

Measures measures_of(const po::variables_map& given) {
    return {static_cast<LengthUnit>(word_of(given, "units", length_unit_names, "give m, ft or fm")),
            static_cast<PositionForm>(
                word_of(given, "positions", position_form_names, "give degrees or minutes"))};
}

void declare_json(Options& options) {
    options.add_options()("json", po::bool_switch(),
                          "what it says as JSON on stdout\nAlways in metres and degrees.");
}

} // namespace swingroom::cli
