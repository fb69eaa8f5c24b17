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

void declare_measures(po::options_description& options) {
    // clang-format off
    options.add_options()
        ("units", po::value<std::string>()->default_value("m"), "lengths in what people read: m, ft or fm (fathoms)")
        ("positions", po::value<std::string>()->default_value("degrees"), "positions in what people read: degrees, or minutes (degrees and decimal minutes)");
    // clang-format on
}

Measures measures_of(const po::variables_map& given) {
    return {static_cast<LengthUnit>(word_of(given, "units", length_unit_names, "give m, ft or fm")),
            static_cast<PositionForm>(
                word_of(given, "positions", position_form_names, "give degrees or minutes"))};
}

void declare_json(po::options_description& options) {
    options.add_options()("json", po::bool_switch(), "the same as JSON on stdout, in metres and degrees");
}

} // namespace swingroom::cli
