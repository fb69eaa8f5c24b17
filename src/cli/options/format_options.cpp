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
        ("name", text_value("PREFIX"), "what the names of features begin with\n"
         "Letters and digits, of which the first three count: HAV makes HAVFUL01 of FUL01, as plotters show it.")
        ("styles", text_value("yes|no")->default_value("yes"), "styles beside each layer (.qml, .sld)");
    options.group(Group::comes_out);
    // clang-format on
}

FormatSet formats_of(const po::variables_map& given) {
    return FormatSet::parse(given["format"].as<std::string>(), "--format");
}

NamePrefix prefix_of(const po::variables_map& given) {
    return given.count("name") == 0 ? NamePrefix()
                                    : NamePrefix::parse(given["name"].as<std::string>(), "--name");
}

bool styles_of(const po::variables_map& given) { return says_yes(given, "styles"); }

} // namespace swingroom::cli
