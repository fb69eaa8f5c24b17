#include "cli/options/format_options.hpp"

#include "cli/options/options.hpp"

#include <string>

namespace swingroom::cli {

namespace po = boost::program_options;

void declare_formats(Options& options, const char* value, const char* formats, const std::string& more) {
    options.group(Group::comes_out);
    // clang-format off
    options.add_options()
        ("format", text_value(value)->default_value(formats), ("formats, such as gpkg,kml\n" + more).c_str());
    options.group(Group::seldom);
    options.add_options()
        ("styles", text_value("yes|no")->default_value("yes"), "styles beside each layer (.qml, .sld)");
    options.group(Group::comes_out);
    // clang-format on
}

FormatSet formats_of(const po::variables_map& given) {
    return FormatSet::parse(given["format"].as<std::string>(), "--format");
}

bool styles_of(const po::variables_map& given) { return says_yes(given, "styles"); }

} // namespace swingroom::cli
