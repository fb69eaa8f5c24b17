#pragma once

#include "swingroom/publish/palette.hpp"

#include <array>
#include <cmath>
#include <cstdio>
#include <string>

namespace swingroom {

/// "#01665e".
inline std::string hex_colour(const Colour& colour) {
    std::array<char, 8> text{};
    std::snprintf(text.data(), text.size(), "#%02x%02x%02x", colour[0], colour[1], colour[2]);
    return text.data();
}

/// A share of one with one decimal, whatever the locale: "0.6".
inline std::string opacity_text(double share) {
    const long tenths = std::lround(share * 10);
    return std::to_string(tenths / 10) + "." + std::to_string(tenths % 10);
}

} // namespace swingroom
