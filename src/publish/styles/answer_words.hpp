#pragma once

#include "swingroom/boat/way.hpp"
#include "swingroom/overlay/way_in.hpp"
#include "swingroom/room/verdict.hpp"
#include "swingroom/room/zones.hpp"

#include "base/text.hpp"

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

namespace swingroom {

/// In the layer spots, where nothing is near enough to have a name.
inline constexpr const char* no_danger = "none within reach";

/// "foul ground near: a trip line is wise; ...": the sentences of all bits that are set, empty for none.
inline std::string advice_text(std::uint16_t bits) {
    std::string text;
    for (const BitName& name : advice_names) {
        if (bits & name.bit) add_word(text, "; ", name.sentence);
    }
    return text;
}

/// The bits of a column that advice_text() has filled.
inline std::uint16_t advice_of(std::string_view column) {
    constexpr std::string_view separator = "; ";
    std::uint16_t bits = 0;
    for (const BitName& name : advice_names) {
        if (!column.starts_with(name.sentence)) continue;
        bits = static_cast<std::uint16_t>(bits | name.bit);
        column.remove_prefix(std::min(name.sentence.size() + separator.size(), column.size()));
    }
    return bits;
}

/// The ways of a set in words, the most demanding first: "full scope, short scope".
inline std::string ways_text(std::uint8_t ways) {
    std::string text;
    for (const Way way : all_ways) {
        if (ways & bit_of(way)) add_word(text, ", ", phrase(way));
    }
    return text;
}

/// The ways of a column that ways_text() has filled.
inline std::uint8_t ways_of(std::string_view column) {
    constexpr std::string_view separator = ", ";
    std::uint8_t ways = 0;
    while (!column.empty()) {
        const std::size_t end = std::min(column.find(separator), column.size());
        for (const Way way : all_ways) {
            if (column.substr(0, end) == phrase(way)) ways = static_cast<std::uint8_t>(ways | bit_of(way));
        }
        column.remove_prefix(std::min(end + separator.size(), column.size()));
    }
    return ways;
}

/// The verdict that a column holds as a number; what is none of them is not known.
inline Verdict verdict_of(double column) {
    return column >= 0 && column < static_cast<double>(verdict_phrases.size()) ? static_cast<Verdict>(column)
                                                                               : Verdict::unsurveyed;
}

/// How a yes lies, without the yes: "full scope", "full scope by the sounder".
inline std::string short_phrase(Verdict verdict) {
    if (!is_yes(verdict)) return std::string(phrase(verdict));
    return std::string(phrase(way_of(verdict))) + (is_by_sounder(verdict) ? " by the sounder" : "");
}

/// How a place stands to the way in, as columns and documents have it.
inline std::string_view reach_word(Reach reach) {
    switch (reach) {
    case Reach::always:
        return "always";
    case Reach::at_times:
        return "at times";
    case Reach::never:
        return "never";
    case Reach::unknown:
        break;
    }
    return "not known";
}

/// The seabeds of a set by their names, `unknown` first, then from the best to the worst: "sand, mud".
inline std::string seabeds_text(std::uint16_t seabeds) {
    std::string text;
    for (std::size_t i = 0; i < seabed_names.size(); ++i) {
        if (seabeds & bit_of(static_cast<Seabed>(i))) add_word(text, ", ", seabed_names[i]);
    }
    return text;
}

} // namespace swingroom
