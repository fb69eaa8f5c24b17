#include "cli/format_options.hpp"

#include "swingroom/base/error.hpp"

#include <algorithm>

namespace swingroom::cli {

namespace po = boost::program_options;

void declare_formats(po::options_description& options, const std::string& formats) {
    // clang-format off
    options.add_options()
        ("format", po::value<std::string>()->default_value(formats),
         "what layers are written as: cog, mbtiles (rasters), geojson, gpkg, flatgeobuf, kml (zones, spots, exclusions), gpx (spots)")
        ("styles", po::value<std::string>()->default_value("yes"), "yes or no: styles for QGIS (.qml) and others (.sld) beside each layer");
    // clang-format on
}

FormatSet formats_of(const po::variables_map& given) {
    return FormatSet::parse(without_blanks_at_commas(given["format"].as<std::string>()), "--format");
}

bool styles_of(const po::variables_map& given) {
    const auto& text = given["styles"].as<std::string>();
    if (text != "yes" && text != "no")
        throw InputError("--styles", "\"" + text + "\" is neither yes nor no", "give one of them");
    return text == "yes";
}

std::string without_blanks_at_commas(const std::string& list) {
    constexpr const char* blanks = " \t";
    std::string out;
    for (std::size_t begin = 0; begin <= list.size();) {
        const std::size_t end = std::min(list.find(',', begin), list.size());
        const std::size_t first = std::min(list.find_first_not_of(blanks, begin), end);
        if (begin > 0) out += ',';
        out += list.substr(first, end - first);
        out.erase(out.find_last_not_of(blanks) + 1);
        begin = end + 1;
    }
    return out;
}

} // namespace swingroom::cli
