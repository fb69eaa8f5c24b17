#include "cli/options/options.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/measures.hpp"
#include "swingroom/base/units.hpp"

#include "base/nearest_name.hpp"
#include "base/text.hpp"
#include "cli/help/text.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <string_view>
#include <vector>

namespace swingroom::cli {

double within(double value, Range range, const std::string& given, const std::string& where,
              const std::string& cure) {
    if (!(value >= range.least && value <= range.most)) {
        throw InputError(where, "\"" + given + "\" is not possible", cure);
    }
    return value;
}

LonLatBox parse_bounds(const std::string& text) {
    const std::string cure = "give west,south,east,north in degrees, south below north";
    std::array<std::string, 4> words;
    std::size_t begin = 0, lettered = 0;
    for (std::size_t i = 0; i < words.size(); ++i) {
        const std::size_t comma = text.find(',', begin);
        if ((comma == std::string::npos) != (i + 1 == words.size())) {
            throw InputError("--bounds", "\"" + text + "\" is not four numbers", cure);
        }
        words[i] = text.substr(begin, comma - begin);
        lettered += has_compass_letter(words[i]) ? 1U : 0U;
        begin = comma + 1;
    }
    if (lettered != 0 && lettered != words.size()) {
        throw InputError("--bounds", "\"" + text + "\" has letters on some of the four alone",
                         "give all of them with their letters, or all in plain degrees");
    }
    LonLatBox bounds{};
    if (lettered == 0) {
        std::transform(words.begin(), words.end(), bounds.begin(),
                       [](const std::string& word) { return parse_number(word, "--bounds"); });
    } else {
        const Position low = parse_position(words[0], words[1], "--bounds"),
                       high = parse_position(words[2], words[3], "--bounds");
        bounds = {low.lon, low.lat, high.lon, high.lat};
    }
    if (bounds[2] < bounds[0]) bounds[2] += 360; // across the antimeridian
    const auto [west, south, east, north] = bounds;
    if (!(south < north && west < east && east - west <= 360 && south >= -90 && north <= 90)) {
        throw InputError("--bounds", "\"" + text + "\" bounds nothing", cure);
    }
    return bounds;
}

std::string cure_for_unknown(const std::string& option, const std::string& prefix,
                             const boost::program_options::options_description& known,
                             const std::string& otherwise) {
    std::vector<std::string_view> names;
    for (const auto& one : known.options()) {
        names.emplace_back(one->long_name());
    }
    const std::string bare = option.substr(std::min(option.find_first_not_of('-'), option.size()));
    const std::string_view nearest = nearest_name(bare, names);
    return nearest.empty() ? otherwise : "did you mean " + prefix + std::string(nearest) + "?";
}

std::string cure_for_word(const std::string& word, const std::vector<std::string>& known) {
    std::string lower = word;
    std::transform(lower.begin(), lower.end(), lower.begin(),
                   [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    const std::vector<std::string_view> names(known.begin(), known.end());
    const std::string_view nearest = nearest_name(lower, names);
    if (!nearest.empty()) return "did you mean " + std::string(nearest) + "?";
    return "give " + joined({known.begin(), known.end() - 1}, ", ") + " or " + known.back();
}

std::size_t printed_format(const boost::program_options::variables_map& given,
                           const std::vector<std::string>& formats) {
    const auto place = [&formats](const std::string& name) {
        return static_cast<std::size_t>(std::find(formats.begin(), formats.end(), name) - formats.begin());
    };
    const auto& format = given["format"].as<std::string>();
    const std::size_t said = place(format), json = place("json");
    if (said == formats.size()) {
        throw InputError("--format", "\"" + format + "\" is not known", cure_for_word(format, formats));
    }
    if (!given["json"].as<bool>()) return said;
    if (!given["format"].defaulted() && said != json) {
        throw InputError("--json", "contradicts --format " + format, "give one of the two");
    }
    return json;
}

bool says_yes(const boost::program_options::variables_map& given, const std::string& name) {
    const auto& word = given[name].as<std::string>();
    if (word != "yes" && word != "no") {
        throw InputError("--" + name, "\"" + word + "\" is neither yes nor no",
                         cure_for_word(word, {"yes", "no"}));
    }
    return word == "yes";
}

} // namespace swingroom::cli
