#include "sea/hazards/seabed_nature.hpp"

#include "base/terminal_text.hpp"
#include "sea/files/attributes.hpp"

#include <algorithm>
#include <array>
#include <cstddef>
#include <span>
#include <string_view>
#include <vector>

namespace swingroom {
namespace {

/// By code, from 1 on; empty: not used.
using Terms = std::span<const std::string_view>;

// IHO S-57 edition 3.1, appendix A, chapter 2: NATSUR (113), NATQUA (114), CATWED (70).
constexpr std::array<std::string_view, 18> natures = {
    "mud", "clay", "silt", "sand", "stone", "gravel", "pebbles", "cobbles", "rock",
    "",    "lava", "",     "",     "coral", "",       "",        "shells",  "boulders"};
constexpr std::array<std::string_view, 10> qualities = {"fine", "medium", "coarse",   "broken",     "sticky",
                                                        "soft", "stiff",  "volcanic", "calcareous", "hard"};
constexpr std::array<std::string_view, 4> weeds = {"kelp", "sea weed", "sea grass", "sargasso"};

std::string term(Terms terms, int code, const char* attribute) {
    if (code >= 1 && static_cast<std::size_t>(code) <= terms.size()) {
        if (const std::string_view known = terms[static_cast<std::size_t>(code) - 1]; !known.empty()) {
            return std::string(known);
        }
    }
    return std::string(attribute) + " " + std::to_string(code);
}

std::vector<std::string> terms_of(const OGRFeature& feature, Terms terms, const char* attribute) {
    const Codes codes = codes_of(feature, attribute);
    std::vector<std::string> words;
    for (const int code : codes.values) {
        words.push_back(term(terms, code, attribute));
    }
    if (!codes.readable) words = {attribute + (" " + printable(text_of(feature, attribute), 40))};
    return words;
}

std::string listed(const std::vector<std::string>& words, std::string_view between) {
    std::string all;
    for (const std::string& word : words) {
        all += (all.empty() ? "" : std::string(between)) + word;
    }
    return all;
}

} // namespace

std::string nature_of(const OGRFeature& feature) {
    std::vector<std::string> grounds = terms_of(feature, natures, "NATSUR");
    const std::vector<std::string> how = terms_of(feature, qualities, "NATQUA");
    if (grounds.empty()) {
        const std::string weed = listed(terms_of(feature, weeds, "CATWED"), " and ");
        return !weed.empty() || how.empty() ? weed : listed(how, ", ") + " ground, kind not charted";
    }
    // Qualities stand in the order of the natures; where one of them has none, the place is lost in a list.
    if (how.size() == grounds.size()) {
        for (std::size_t i = 0; i < how.size(); ++i) {
            grounds[i] = how[i] + " " + grounds[i];
        }
        return listed(grounds, " and ");
    }
    if (grounds.size() == 1 && !how.empty()) return listed(how, ", ") + " " + grounds.front();
    return listed(grounds, " and ") + (how.empty() ? "" : " (" + listed(how, ", ") + ")");
}

} // namespace swingroom
