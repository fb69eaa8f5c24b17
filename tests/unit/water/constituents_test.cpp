#include "tide_cases.hpp"
#include "water/astronomy.hpp"
#include "water/constituents.hpp"

#include <gtest/gtest.h>

#include <chrono>
#include <cmath>
#include <map>
#include <string>

namespace swingroom {
namespace {

using namespace std::chrono;
using tide_cases::moment;
using tide_cases::rows;

/// How far two angles are apart, in degrees.
double apart_deg(double a, double b) { return std::abs(std::remainder(a - b, 360)); }

double middle_of_year_arguments_deg(const Constituent& what, Instant start, NodeFigures& nodal) {
    nodal = what.nodal(orbit_angles(mean_longitudes(start + (end_of_year(start) - start) / 2)));
    return what.argument_deg(start, mean_longitudes(start)) + nodal.angle_deg;
}

TEST(Constituents, LongitudesAndAnglesOfTheOrbit) {
    for (const auto& row : rows("longitude")) {
        const auto l = mean_longitudes(moment(row.time));
        const std::map<std::string, double> named = {
            {"s", l.moon}, {"h", l.sun}, {"p", l.moon_perigee}, {"N", l.moon_node}, {"p1", l.sun_perigee}};
        EXPECT_LT(apart_deg(named.at(row.item), std::stod(row.value)), 1e-4) << row.item << " " << row.time;
    }
    for (const auto& row : rows("angle")) {
        const auto a = orbit_angles(mean_longitudes(moment(row.time)));
        const std::map<std::string, double> named = {{"I", a.inclination},  {"xi", a.xi},
                                                     {"nu", a.nu},          {"nu1", a.nu_k1},
                                                     {"2nu2", a.two_nu_k2}, {"P", a.perigee}};
        EXPECT_LT(apart_deg(named.at(row.item), std::stod(row.value)), 1e-4) << row.item << " " << row.time;
    }
}

// Five years of the yearly tables: V + u at 0 h on 1 January, f of the middle of the year.
TEST(Constituents, YearlyArgumentsAndFactors) {
    const auto all = rows("year");
    EXPECT_EQ(all.size(), 5U * 37);
    for (const auto& row : all) {
        const auto what = find_constituent(row.item);
        ASSERT_TRUE(what) << row.item;
        NodeFigures nodal;
        const double argument_deg = middle_of_year_arguments_deg(*what, moment(row.time), nodal);
        EXPECT_LT(apart_deg(argument_deg, std::stod(row.value)), 0.002) << row.item << " " << row.time;
        EXPECT_NEAR(nodal.factor, std::stod(row.value2), 2e-5) << row.item << " " << row.time;
    }
}

TEST(Constituents, ArgumentsAndFactorsOfTheMoment) {
    for (const auto& row : rows("instant")) {
        const auto what = find_constituent(row.item);
        ASSERT_TRUE(what) << row.item;
        const auto longitudes = mean_longitudes(moment(row.time));
        const auto nodal = what->nodal(orbit_angles(longitudes));
        EXPECT_LT(apart_deg(what->argument_deg(moment(row.time), longitudes) + nodal.angle_deg,
                            std::stod(row.value)),
                  0.002)
            << row.item << " " << row.time;
        EXPECT_NEAR(nodal.factor, std::stod(row.value2), 2e-5) << row.item << " " << row.time;
    }
}

// A speed is how fast the argument runs: the table's speeds against the longitudes' own, over a day. M1 is
// the one whose argument leaves the perigee to u.
TEST(Constituents, SpeedsAreThoseOfTheArguments) {
    const Instant start = moment("2026-10-08T00:00Z");
    for (const auto& row : rows("speed")) {
        const auto what = find_constituent(row.item);
        ASSERT_TRUE(what) << row.item;
        EXPECT_DOUBLE_EQ(what->speed_deg_h, std::stod(row.value)) << row.item;
        if (row.item == "M1") continue;
        const auto argument = [&](Instant at) { return what->argument_deg(at, mean_longitudes(at)); };
        const double ran_deg = argument(start + 24h) - argument(start) + 360.0 * what->multiples[0];
        EXPECT_NEAR(ran_deg / 24, what->speed_deg_h, 1e-6) << row.item;
    }
}

// Meanings by the rules of annex B of the IHO's list; speeds are sums of those of the list.
TEST(Constituents, CompoundsAreTakenApartByTheirLetters) {
    const std::map<std::string, double> speeds = {{"4MN6", 4 * 28.9841042 - 28.4397295},
                                                  {"MO3", 28.9841042 + 13.9430356},
                                                  {"SK3", 30 + 15.0410686},
                                                  {"MK4", 28.9841042 + 30.0821373},
                                                  {"MKS2", 28.9841042 + 30.0821373 - 30},
                                                  {"MSN2", 28.9841042 + 30 - 28.4397295},
                                                  {"2MS6", 2 * 28.9841042 + 30},
                                                  {"2MN6", 2 * 28.9841042 + 28.4397295},
                                                  {"2MS8", 2 * (28.9841042 + 30)},
                                                  {"M10", 5 * 28.9841042},
                                                  {"3MNS6", 3 * 28.9841042 + 28.4397295 - 30},
                                                  {"2MNU6", 2 * 28.9841042 + 28.5125832},
                                                  {"2MK5", 2 * 28.9841042 + 15.0410686},
                                                  {"2MK6", 2 * 28.9841042 + 30.0821373},
                                                  {"MQ3", 28.9841042 + 13.3986609},
                                                  {"2SM6", 2 * 30 + 28.9841042}};
    for (const auto& [name, speed_deg_h] : speeds) {
        const auto what = find_constituent(name);
        ASSERT_TRUE(what) << name;
        EXPECT_NEAR(what->speed_deg_h, speed_deg_h, 1e-9) << name;
    }
}

// Those of the table that are compounds come out as the table has them, argument and node figures.
TEST(Constituents, TheTablesOwnCompoundsAgreeWithTheirLetters) {
    const Instant at = moment("2026-10-08T00:00Z");
    const auto longitudes = mean_longitudes(at);
    const auto angles = orbit_angles(longitudes);
    const auto sum = [&](std::initializer_list<std::pair<const char*, int>> parts) {
        double deg = 0;
        double factor = 1;
        for (const auto& [name, count] : parts) {
            const auto what = *find_constituent(name);
            const auto nodal = what.nodal(angles);
            deg += count * (what.argument_deg(at, longitudes) + nodal.angle_deg);
            factor *= std::pow(nodal.factor, std::abs(count));
        }
        return std::pair{deg, factor};
    };
    const std::pair<const char*, std::pair<double, double>> wanted[] = {
        {"2MK3", sum({{"M2", 2}, {"K1", -1}})}, {"MK3", sum({{"M2", 1}, {"K1", 1}})},
        {"MN4", sum({{"M2", 1}, {"N2", 1}})},   {"2SM2", sum({{"S2", 2}, {"M2", -1}})},
        {"MS4", sum({{"M2", 1}, {"S2", 1}})},   {"M8", sum({{"M2", 4}})},
        {"4MN6", sum({{"M2", 4}, {"N2", -1}})}, {"2MS8", sum({{"M2", 2}, {"S2", 2}})}};
    for (const auto& [name, figures] : wanted) {
        const auto what = *find_constituent(name);
        const auto nodal = what.nodal(angles);
        EXPECT_LT(apart_deg(what.argument_deg(at, longitudes) + nodal.angle_deg, figures.first), 1e-6)
            << name;
        EXPECT_NEAR(nodal.factor, figures.second, 1e-9) << name;
    }
}

TEST(Constituents, WhatIsNotKnownOrDisputedIsNone) {
    for (const char* name :
         {"",    "X2",  "M",    "2M", "M2S",           "MA2",  "H1",   "KJ2",  "OQ2", "3KM5", "MP1",
          "KQ1", "SO1", "3MS2", "M0", "99999999999M2", "CHI1", "THE1", "SIG1", "Z0",  "2",    "M5"}) {
        EXPECT_FALSE(find_constituent(name)) << name;
    }
}

TEST(Constituents, SpellingsInUse) {
    EXPECT_TRUE(find_constituent("Msf"));
    EXPECT_EQ(usual_name("lambda2"), "LAM2");
    EXPECT_DOUBLE_EQ(find_constituent("RHO1")->speed_deg_h, 13.4715145);
    EXPECT_DOUBLE_EQ(find_constituent("LDA2")->speed_deg_h, 29.4556253);
}

} // namespace
} // namespace swingroom
