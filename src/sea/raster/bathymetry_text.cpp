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

std::string declaring_nodata(std::string_view driver, std::string_view mark) {
    // These have no update access, or none that keeps a declaration in the file.
    constexpr std::array<std::string_view, 12> read_only = {"AAIGrid", "GRASSASCIIGrid", "XYZ",     "GSAG",
                                                            "DTED",    "SRTMHGT",        "USGSDEM", "netCDF",
                                                            "BAG",     "S102",           "GSBG",    "GS7BG"};
    const bool in_place = std::find(read_only.begin(), read_only.end(), driver) == read_only.end();
    const std::string option = "-a_nodata" + (mark.empty() ? "" : " " + std::string(mark));
    return in_place ? "gdal_edit.py " + option : "gdal_translate " + option + " IN OUT.tif";
}

std::string text_or_empty(const char* text) { return text ? text : ""; }

} // namespace swingroom::bathymetry
