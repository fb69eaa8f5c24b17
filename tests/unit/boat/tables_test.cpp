#include "swingroom/boat/tables.hpp"

#include <chrono>
#include <iostream>
#include <sstream>

#include <gtest/gtest.h>

namespace swingroom {
namespace {

constexpr const char* yacht_text = R"([hull]
length = 14 m
draught = 2.1 m
bow_roller = 1.4 m
windage_area = 15
[rode]
chain = 60 m
chain_diameter = 10 mm
mark = 5 m
[anchor]
type = scoop
mass = 25 kg
holding.sand = 8 kN
[sinker]
mass = 20 kg
at = 1 spans
)";

Boat yacht(const std::string& more = "") {
    std::istringstream in(std::string(yacht_text) + more);
    return read_boat(in, "yacht.ini");
}

TEST(TackleTables, AreMadeInLessThanThreeTenthsOfASecond) {
    const auto start = std::chrono::steady_clock::now();
    const TackleTables tables(yacht(), {{0.6, 4.2}, 20, 0}, 1);
    const auto made = std::chrono::steady_clock::now();
    static_cast<void>(tables.wind_limit_kn(Way::full, 5, 6, 60, Seabed::sand));
    const auto wind_made = std::chrono::steady_clock::now();
    const std::chrono::duration<double> lie = made - start, wind = wind_made - made;
    RecordProperty("making", std::to_string(lie.count()) + " s, wind limits " + std::to_string(wind.count()));
    std::cout << lie.count() << " s and " << wind.count() << " s\n";
    for (const Way way : all_ways) {
        const WayDetail d = tables.detail(way, 3, 4);
        std::cout << name(way) << " " << d.lie.rode_m << " " << d.lie.radius_m << " " << d.lie.ground_m << " "
                  << d.reach_m << " " << d.angle_deg << " " << d.angle_limit_kn << " at " << d.sinker_from_bow_m
                  << " wind " << tables.wind_limit_kn(way, 3, 4, d.lie.radius_m, Seabed::sand) << "\n";
    }
}

} // namespace
} // namespace swingroom
