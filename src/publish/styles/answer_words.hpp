#pragma once

#include "swingroom/room/zones.hpp"

#include <string>
#include <string_view>

namespace swingroom {

/// In the layer spots, where nothing is near enough to have a name.
inline constexpr const char* no_danger = "none within reach";

inline void add_word(std::string& list, std::string_view separator, std::string_view word) {
    if (!list.empty()) list += separator;
    list += word;
}

inline std::string advice_text(std::uint16_t bits) {
    std::string text;
    for (const BitName& name : advice_names)
        if (bits & name.bit) add_word(text, "; ", name.sentence);
    return text;
}

/// "full scope, short scope".
inline std::string ways_text(std::uint8_t ways) {
    std::string text;
    for (const Way way : all_ways)
        if (ways & bit_of(way)) add_word(text, ", ", phrase(way));
    return text;
}

/// "sand, mud".
inline std::string seabeds_text(std::uint16_t seabeds) {
    std::string text;
    for (std::size_t i = 0; i < seabed_names.size(); ++i)
        if (seabeds & bit_of(static_cast<Seabed>(i))) add_word(text, ", ", seabed_names[i]);
    return text;
}

} // namespace swingroom
