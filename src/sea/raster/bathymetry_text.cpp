#include "sea/raster/bathymetry_text.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

namespace swingroom::bathymetry {

std::string lower(std::string_view text) {
    std::string out(text);
    for (char& c : out) {
        if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
    }
    return out;
}

std::string in_quotes(std::string_view text) { return "\"" + std::string(text) + "\""; }

std::string plain(double value) {
    std::array<char, 32> buffer{};
    const auto result = std::to_chars(buffer.data(), buffer.data() + buffer.size(), value);
    return {buffer.data(), result.ptr};
}

std::string rounded(double value) { return plain(std::round(value * 100) / 100); }

std::string text_or_empty(const char* text) { return text ? text : ""; }

} // namespace swingroom::bathymetry
