#include "swingroom/base/error.hpp"
#include "swingroom/boat/loads.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace swingroom {
namespace {

constexpr double ft = 0.3048, lbf_n = 4.4482216152605;

Boat boat_of(double length_m, double windage_m2, double gust) {
    Boat boat;
    boat.name = "trial";
    boat.hull.length_m = length_m;
    boat.hull.draught_m = 2;
    boat.hull.windage_area_m2 = windage_m2;
    boat.policy.gust = gust;
    return boat;
}

// Half rho Cd A V^2 with air of 1.225 kg/m3 (ISA, sea level).
TEST(WindDrag, OfFifteenSquareMetres) {
    EXPECT_NEAR(wind_drag_n(1, 1), 0.1621000154, 1e-10);
    for (const auto& [wind, pull] : {std::pair(5.0, 60.788),
                                     {10.0, 243.150},
                                     {15.0, 547.088},
                                     {20.0, 972.600},
                                     {25.0, 1519.688},
                                     {30.0, 2188.350},
                                     {42.0, 4289.166},
                                     {60.0, 8753.401}}) {
        EXPECT_NEAR(wind_drag_n(15, wind), pull, 6e-4) << wind;
    }
}

TEST(CurrentDrag, OfAYachtInTwoKnots) { EXPECT_NEAR(current_drag_n(45, 0.004, 0.20, 2), 206.2, 0.05); }

// ABYC H-40, working anchor at 30 knots, as reprinted: every column.
TEST(AbycTable, Columns) {
    for (const auto& [length, load] : {std::pair(20.0, 360.0),
                                       {25.0, 490.0},
                                       {30.0, 700.0},
                                       {35.0, 900.0},
                                       {40.0, 1200.0},
                                       {50.0, 1600.0},
                                       {60.0, 2000.0}}) {
        EXPECT_DOUBLE_EQ(*abyc_working_load_lbf(length, 0, HullKind::sail), load);
    }
    EXPECT_DOUBLE_EQ(*abyc_working_load_lbf(12, 0, HullKind::sail), 360)
        << "the first column counts below it";
    EXPECT_FALSE(abyc_working_load_lbf(61, 0, HullKind::sail));
    EXPECT_FALSE(abyc_working_load_lbf(40, 23, HullKind::sail));
}

// 15, 42 and 60 knots: a quarter, twice and four times the working load, as in the table's other rows
// (175, 1400 and 2800 lbf at 30 ft).
TEST(AbycTable, RowsByWind) {
    EXPECT_DOUBLE_EQ(700 * abyc_wind_factor(15), 175);
    EXPECT_DOUBLE_EQ(700 * abyc_wind_factor(30), 700);
    EXPECT_DOUBLE_EQ(700 * abyc_wind_factor(42), 1400);
    EXPECT_DOUBLE_EQ(700 * abyc_wind_factor(60), 2800);
    EXPECT_NEAR(abyc_wind_factor(7.5), 0.0625, 1e-12);
}

// Gerr, Boat Mechanical Systems Handbook, beside table 24-1: a powerboat of 32 ft by 12 ft takes 900 lbf, the
// next column above both; between the columns the length asks for 780 and the beam for 800.
TEST(AbycTable, LengthOrBeamWhicheverAsksForMore) {
    EXPECT_NEAR(*abyc_working_load_lbf(32, 0, HullKind::power), 780, 1e-9);
    EXPECT_NEAR(*abyc_working_load_lbf(32, 12, HullKind::power), 800, 1e-9);
    EXPECT_DOUBLE_EQ(*abyc_working_load_lbf(32, 13, HullKind::power), 900);
    EXPECT_GT(*abyc_working_load_lbf(32, 12, HullKind::sail),
              *abyc_working_load_lbf(32, 12, HullKind::power));
}

TEST(LoadCurve, FromTheTableForFourteenMetresTakesNoGusts) {
    for (const double gust : {1.0, 1.4}) {
        const LoadCurve curve = load_curve(boat_of(14, 0, gust), 0);
        EXPECT_NEAR(curve.pull_n(15), 1598.3, 0.1);
        EXPECT_NEAR(curve.pull_n(30), 6393.3, 0.1);
        EXPECT_NEAR(curve.pull_n(42), 12786.6, 0.1);
    }
    EXPECT_THROW(load_curve(boat_of(61 * ft, 0, 1.4), 0), InputError);
}

TEST(LoadCurve, FromWindageTakesGustsAndCurrent) {
    EXPECT_NEAR(load_curve(boat_of(14, 15, 1), 0).pull_n(30), 2188.350, 1e-3);
    EXPECT_NEAR(load_curve(boat_of(14, 15, 1.4), 0).pull_n(30), 1.96 * 2188.350, 1e-3);
    Boat boat = boat_of(14, 15, 1);
    const double still_n = load_curve(boat, 0).pull_n(10), stream_n = load_curve(boat, 2).pull_n(10);
    EXPECT_GT(stream_n, still_n + 200) << "at least the 206 N of a yacht of that size";
    boat.hull.wetted_area_m2 = 45;
    EXPECT_NEAR(load_curve(boat, 2).pull_n(0), current_drag_n(45, 0.005, 0.0045 * 45, 2), 1e-9);
}

TEST(LoadCurve, OwnTableIsTakenAsItStands) {
    Boat boat = boat_of(14, 15, 1.4);
    boat.load_table = {{10, 400}, {20, 1200}, {30, 2500}};
    const LoadCurve curve = load_curve(boat, 0);
    EXPECT_DOUBLE_EQ(curve.pull_n(10), 400);
    EXPECT_DOUBLE_EQ(curve.pull_n(20), 1200);
    EXPECT_DOUBLE_EQ(curve.pull_n(5), 100);
    EXPECT_DOUBLE_EQ(curve.pull_n(60), 10000);
    // Between two lines linear in the square of the wind: 15 kn of 10 and 20 is (225 - 100)/(400 - 100) of
    // the way.
    EXPECT_DOUBLE_EQ(curve.pull_n(15), 400 + 800 * 125 / 300.0);
    EXPECT_NEAR(curve.wind_kn(400 + 800 * 125 / 300.0), 15, 1e-12);
    EXPECT_EQ(curve.pull_n(0), 0);
}

TEST(LoadCurve, WindIsThePullTurnedRound) {
    Boat boat = boat_of(12, 0, 1.4);
    for (const double current_kn : {0.0, 1.5}) {
        const LoadCurve curve = load_curve(boat, current_kn);
        for (double wind = 1; wind < 90; wind += 0.7) {
            EXPECT_NEAR(curve.wind_kn(curve.pull_n(wind)), wind, 1e-9);
        }
    }
    EXPECT_EQ(load_curve(boat, 3).wind_kn(1), 0) << "the stream alone is more";
    EXPECT_NEAR(load_curve(boat, 0).pull_n(30) / lbf_n, *abyc_working_load_lbf(12 / ft, 0, HullKind::sail),
                1e-6);
}

} // namespace
} // namespace swingroom
