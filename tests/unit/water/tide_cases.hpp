#pragma once

#include "swingroom/water/harmonic_tide.hpp"

#include <fstream>
#include <sstream>
#include <stdexcept>
#include <string>
#include <vector>

namespace swingroom::tide_cases {

/// A line of tides_cases.csv. Its mark says where it is from: S, published by NOAA (public domain); D,
/// computed by two programs written apart from this one, one of them from the rows `year`, `speed` and
/// `constituent` alone.
struct Row {
    std::string kind, station, item, time, value, value2;
};

inline std::vector<Row> rows(const std::string& kind, const std::string& station = {}) {
    std::ifstream in(SWINGROOM_SOURCE "/tests/unit/water/tides_cases.csv");
    std::vector<Row> found;
    std::string line;
    while (std::getline(in, line)) {
        std::vector<std::string> text;
        std::istringstream fields(line);
        for (std::string field; std::getline(fields, field, ',');)
            text.push_back(field);
        text.resize(7);
        if (text[0] == kind && (station.empty() || text[1] == station)) {
            found.push_back({text[0], text[1], text[2], text[3], text[4], text[5]});
        }
    }
    if (found.empty()) throw std::runtime_error("no rows " + kind + " " + station);
    return found;
}

inline Instant moment(const std::string& text) { return parse_instant(text, std::nullopt, "case"); }

/// In metres, of a height that may be in feet.
inline double metres(const Row& row) { return std::stod(row.value) * (row.value2 == "ft" ? 0.3048 : 1); }

inline std::vector<HarmonicConstant> constants(const std::string& station) {
    std::vector<HarmonicConstant> all;
    for (const auto& row : rows("constituent", station)) {
        all.push_back({row.item, std::stod(row.value), std::stod(row.value2)});
    }
    return all;
}

inline HarmonicTide tide(const std::string& station, NodalScheme scheme = NodalScheme::yearly) {
    return {constants(station), std::stod(rows("z0", station).front().value), scheme, station};
}

/// The seven stations with constants, by their numbers in the agency's list.
inline std::vector<std::string> stations() {
    std::vector<std::string> all;
    for (const auto& row : rows("station"))
        all.push_back(row.station);
    return all;
}

} // namespace swingroom::tide_cases
