#pragma once

#include "swingroom/publish/palette.hpp"

#include "base/text.hpp"

#include <cmath>
#include <string>

namespace swingroom {

/// A colour as styles and pages spell it: "#01665e".
inline std::string hex_colour(const Colour& colour) {
    std::string text = "#";
    for (const auto part : colour) {
        text += hex_digits(part, 2);
    }
    return text;
}

/// A share of one with one decimal, whatever the locale: "0.6".
inline std::string opacity_text(double share) {
    const long tenths = std::lround(share * 10);
    return std::to_string(tenths / 10) + "." + std::to_string(tenths % 10);
}

} // namespace swingroom
