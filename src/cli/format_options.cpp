#include "cli/format_options.hpp"

#include "swingroom/base/error.hpp"

#include <algorithm>

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
