#include "cli/options/format_options.hpp"

#include "swingroom/base/error.hpp"

#include "base/text.hpp"
#include "cli/options/options.hpp"

#include <algorithm>
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
         "Letters and digits, of which the first three count: HAV makes HAVFUL01 of FUL01, as plotters show it. With several boats one for all, or "
         "one for each in their order, as HA1,HA2.")
        ("styles", text_value("yes|no")->default_value("yes"), "styles beside each layer (.qml, .sld)");
    options.group(Group::comes_out);
    // clang-format on
}

void declare_compression(Options& options) {
    options.group(Group::seldom);
    // clang-format off
    options.add_options()
        ("compression", text_value("deflate|zstd")->default_value("deflate"), "of the rasters' tiles\n"
         "The cells are the same. zstd is smaller and faster, but not every program that reads GeoTIFF knows it.");
    // clang-format on
}

FormatSet formats_of(const po::variables_map& given) {
    return FormatSet::parse(given["format"].as<std::string>(), "--format");
}

NamePrefix prefix_of(const po::variables_map& given) {
    return given.count("name") == 0 ? NamePrefix()
                                    : NamePrefix::parse(given["name"].as<std::string>(), "--name");
}

std::vector<std::string> names_of_boats(const po::variables_map& given, std::size_t boats) {
    if (given.count("name") == 0) return {};
    const std::string text = given["name"].as<std::string>();
    std::vector<std::string> names = split(text, ',');
    if (names.size() == 1) names.resize(boats, text);
    if (names.size() == boats) return names;
    throw InputError("--name",
                     swingroom::quoted(text) + " is for " + std::to_string(names.size()) +
                         " boats, and there are " + std::to_string(boats),
                     "give one for all boats, or one for each");
}

Compression compression_of(const po::variables_map& given) {
    const std::string text = given["compression"].as<std::string>();
    const auto* const found = std::find(compression_names.begin(), compression_names.end(), text);
    if (found == compression_names.end()) {
        throw InputError("--compression", "\"" + text + "\" is neither", "give deflate or zstd");
    }
    const auto compression = static_cast<Compression>(found - compression_names.begin());
    if (!is_at_hand(compression)) {
        throw InputError("--compression", "the GDAL of this machine was built without " + text,
                         "give deflate, or install a GDAL that has it");
    }
    return compression;
}

bool styles_of(const po::variables_map& given) { return says_yes(given, "styles"); }

} // namespace swingroom::cli
