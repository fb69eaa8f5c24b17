#include "swingroom/boat/report.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <sstream>

namespace swingroom {
namespace {

// What a sinker is worth, computed once by a solver of its own in closed form: yacht of 14 m, drag area 15 m2
// (2.4315 N/kn2), 10 mm chain of 2.2 kg/m, 20 kg of steel, roller 1.4 m above the water, no gusts.
Boat yacht(Sinker::At at, double value, double line_m = 0) {
    std::istringstream in(R"([hull]
length = 14 m
draught = 2.1 m
bow_roller = 1.4 m
windage_area = 15
[rode]
chain = 100 m
chain_diameter = 10 mm
[anchor]
type = scoop
mass = 25 kg
[sinker]
mass = 20 kg
[policy]
gust = 1
)");
    Boat boat = read_boat(in, "yacht.ini");
    boat.sinker->at = at;
    boat.sinker->at_value = value;
    boat.sinker->line_m = line_m;
    return boat;
}

constexpr double sinker_n = 170.5233;

struct Held {
    double depth_m, wind_kn, without_m, at_span_m, mid_m, best_at_m, best_m;
};
// Rode fixed at five spans: 32 m in 5 m of water, 82 m in 15 m.
constexpr Held held[] = {
    {5, 5, 28.60, 27.11, 28.60, 6.6, 27.06},    {5, 10, 30.02, 29.17, 30.02, 7.8, 29.09},
    {5, 15, 30.63, 30.22, 30.51, 9.8, 30.13},   {5, 20, 30.96, 30.75, 30.70, 12.4, 30.67},
    {5, 30, 31.26, 31.20, 31.16, 16.6, 31.16},  {15, 5, 70.69, 68.54, 70.69, 16.6, 68.50},
    {15, 10, 74.55, 72.99, 74.55, 18.0, 72.91}, {15, 15, 76.63, 75.71, 76.63, 20.5, 75.62},
    {15, 20, 77.84, 77.30, 77.80, 24.0, 77.20}, {15, 30, 79.16, 78.94, 78.88, 32.4, 78.85}};

TEST(SinkerWorth, MetresOfReachWithTheRodeAsItIs) {
    for (const Held& row : held) {
        SCOPED_TRACE(std::to_string(row.depth_m) + " m, " + std::to_string(row.wind_kn) + " kn");
        const double rode_m = 5 * (row.depth_m + 1.4);
        const auto reach_m = [&](double at_m) {
            const Boat boat = yacht(Sinker::At::metres, at_m);
            return sinker_worth(TackleTables(boat, {{0, 0}, row.wind_kn, 0}, 0), row.depth_m, rode_m,
                                row.wind_kn)
                .held_reach_with_m;
        };
        const TackleTables best(yacht(Sinker::At::best, 0, rode_m), {{0, 0}, row.wind_kn, 0}, 0);
        const SinkerWorth worth = sinker_worth(best, row.depth_m, rode_m, row.wind_kn);
        EXPECT_DOUBLE_EQ(worth.held_rode_m, rode_m);
        EXPECT_NEAR(worth.held_reach_without_m, row.without_m, 0.0051);
        EXPECT_NEAR(reach_m(row.depth_m + 1.4), row.at_span_m, 0.0051);
        EXPECT_NEAR(reach_m(rode_m / 2), row.mid_m, 0.0051);
        // The table's best was found in steps of 0.2 m; ours may be better by a little.
        EXPECT_LE(worth.held_reach_with_m, row.best_m + 0.0051);
        EXPECT_GE(worth.held_reach_with_m, row.best_m - 0.015);
        EXPECT_NEAR(reach_m(row.best_at_m), row.best_m, 0.0051);
    }
}

// The angle of pull at 30 knots in 5 m: 3.94 degrees without, 1.82 with the sinker mid-way.
TEST(SinkerWorth, AngleOfPullWithTheRodeAsItIs) {
    const Rode rode = yacht(Sinker::At::spans, 1).rode;
    EXPECT_NEAR(rode_state(2188.35, 6.4, rode_parts(rode, 32, std::nullopt, Stretch::none)).angle_deg, 3.94,
                0.0051);
    EXPECT_NEAR(
        rode_state(2188.35, 6.4, rode_parts(rode, 32, HungSinker{sinker_n, 16}, Stretch::none)).angle_deg,
        1.82, 0.0051);
}

struct Cut {
    double depth_m, wind_kn, rode_m, reach_m, mid_rode_m, mid_reach_m, anchor_rode_m, anchor_reach_m;
};
// Rode cut to no uplift at that wind.
constexpr Cut cuts[] = {
    {5, 5, 9.08, 5.68, 8.65, 4.45, 6.63, 1.71},         {5, 10, 14.38, 12.40, 12.32, 9.51, 8.97, 6.23},
    {5, 15, 20.35, 18.98, 17.21, 15.35, 13.59, 11.91},  {5, 20, 26.55, 25.50, 22.89, 21.56, 19.15, 17.96},
    {5, 30, 39.17, 38.47, 35.10, 34.27, 31.18, 30.43},  {15, 5, 19.37, 8.06, 19.20, 7.18, 16.76, 3.30},
    {15, 10, 26.35, 18.90, 25.08, 16.46, 20.42, 11.76}, {15, 15, 35.01, 29.64, 32.52, 26.24, 27.70, 21.81},
    {15, 20, 44.38, 40.22, 41.16, 36.38, 36.50, 32.09}, {15, 30, 64.00, 61.16, 60.12, 56.97, 55.64, 52.72}};

TEST(LeastRode, WithoutUpliftWithTheSinkerMidWayAndAtTheAnchor) {
    const Rode rode = yacht(Sinker::At::spans, 1).rode;
    for (const Cut& row : cuts) {
        SCOPED_TRACE(std::to_string(row.depth_m) + " m, " + std::to_string(row.wind_kn) + " kn");
        const double pull_n = wind_drag_n(15, row.wind_kn), span_m = row.depth_m + 1.4;
        const auto check = [&](const HangSinker& hang, double rode_m, double reach_m) {
            const double least_m = least_rode_m(rode, pull_n, 0, span_m, hang);
            EXPECT_NEAR(least_m, rode_m, 0.0051);
            const RodeState state =
                rode_state(pull_n, span_m, rode_parts(rode, least_m, hang(least_m), Stretch::none));
            EXPECT_NEAR(state.reach_m, reach_m, 0.0051);
            EXPECT_NEAR(state.angle_deg, 0, 1e-6);
        };
        check([](double) { return std::nullopt; }, row.rode_m, row.reach_m);
        check(
            [](double rode_m) {
                return HungSinker{sinker_n, rode_m / 2};
            },
            row.mid_rode_m, row.mid_reach_m);
        check(
            [](double rode_m) {
                return HungSinker{sinker_n, rode_m};
            },
            row.anchor_rode_m, row.anchor_reach_m);
        // Hard by the anchor there is a closed form.
        const double w = in_water_n(2.2, 7850), h = pull_n;
        const double closed_m =
            h / w * std::sqrt(std::pow(w * span_m / h + std::sqrt(1 + std::pow(sinker_n / h, 2)), 2) - 1) -
            sinker_n / w;
        EXPECT_NEAR(closed_m, row.anchor_rode_m, 0.0051);
    }
}

struct Uplift {
    double depth_m, scope, none_kn, at_span_kn, mid_kn, anchor_kn, none_8_kn, mid_8_kn;
};
// Mean wind at which uplift begins, and at which it passes 8 degrees.
constexpr Uplift uplifts[] = {
    {5, 2, 8.61, 10.56, 10.56, 14.23, 10.08, 12.64},   {5, 3, 14.05, 15.72, 16.81, 20.04, 18.32, 22.06},
    {5, 4, 19.24, 20.66, 22.27, 25.44, 28.76, 33.40},  {5, 5, 24.34, 25.55, 27.50, 30.67, 43.92, 49.73},
    {15, 2, 13.78, 15.17, 15.17, 17.96, 16.14, 17.92}, {15, 3, 22.50, 23.62, 24.34, 26.70, 29.33, 31.82},
    {15, 4, 30.80, 31.73, 32.79, 35.03, 46.04, 49.08}, {15, 5, 38.96, 39.75, 41.02, 43.21, 70.31, 74.08}};

TEST(GreatestPull, AsWindAtWhichUpliftBegins) {
    const Boat boat = yacht(Sinker::At::spans, 1);
    const LoadCurve loads = load_curve(boat, 0);
    for (const Uplift& row : uplifts) {
        SCOPED_TRACE(std::to_string(row.depth_m) + " m, scope " + std::to_string(row.scope));
        const double span_m = row.depth_m + 1.4, rode_m = row.scope * span_m;
        const auto wind_kn = [&](std::optional<HungSinker> sinker, double angle_deg) {
            return loads.wind_kn(
                greatest_pull_n(span_m, angle_deg, rode_parts(boat.rode, rode_m, sinker, Stretch::none)));
        };
        EXPECT_NEAR(wind_kn(std::nullopt, 0), row.none_kn, 0.0051);
        EXPECT_NEAR(wind_kn(HungSinker{sinker_n, span_m}, 0), row.at_span_kn, 0.0051);
        EXPECT_NEAR(wind_kn(HungSinker{sinker_n, rode_m / 2}, 0), row.mid_kn, 0.0051);
        EXPECT_NEAR(wind_kn(HungSinker{sinker_n, rode_m}, 0), row.anchor_kn, 0.0056);
        EXPECT_NEAR(wind_kn(std::nullopt, 8), row.none_8_kn, 0.0051);
        EXPECT_NEAR(wind_kn(HungSinker{sinker_n, rode_m / 2}, 8), row.mid_8_kn, 0.0051);
    }
}

// With the small-craft table's load (6393 N at 30 kn for 14 m) in 5 m, by sqrt(h^2 + 2hH/w) and its like for
// the sinker at the anchor: 4 to 5 m less for mid-way, 8 to 9 m less at the anchor.
TEST(LeastRode, UnderTheSmallCraftTablesLoad) {
    Boat boat = yacht(Sinker::At::spans, 1);
    boat.hull.windage_area_m2 = 0;
    const double pull_n = load_curve(boat, 0).pull_n(30);
    const auto least_m = [&](const HangSinker& hang) {
        return least_rode_m(boat.rode, pull_n, 0, 6.4, hang);
    };
    EXPECT_NEAR(least_m([](double) { return std::nullopt; }), 66.36, 0.0051);
    EXPECT_NEAR(least_m([](double l) { return HungSinker{sinker_n, l / 2}; }), 62.04, 0.0051);
    EXPECT_NEAR(least_m([](double l) { return HungSinker{sinker_n, l}; }), 57.90, 0.0051);
}

// Moments about the roller: the rode saved is at most f W/w, reached from below as the wind grows.
TEST(SinkerWorth, RodeSavedStaysBelowTheLengthOfChainThatWeighsAsMuch) {
    const TackleTables tables(yacht(Sinker::At::best, 0, 1000), {{0, 0}, 20, 0}, 0);
    double last_m = 0;
    for (double wind_kn = 18; wind_kn <= 60; wind_kn += 3) {
        const SinkerWorth worth = sinker_worth(tables, 5, 32, wind_kn);
        EXPECT_LT(worth.rode_saved_m(), 9.091);
        EXPECT_GT(worth.rode_saved_m(), last_m);
        EXPECT_GE(worth.radius_saved_when_cut_m(), 0);
        EXPECT_GE(worth.radius_saved_as_it_is_m(), 0);
        last_m = worth.rode_saved_m();
    }
    // In light wind the least ratio of scope governs, and there is no rode to save.
    EXPECT_EQ(sinker_worth(tables, 5, 32, 5).rode_saved_m(), 0);
}

TEST(FullScopeRode, IsTheTablesAtItsMark) {
    const TackleTables tables(yacht(Sinker::At::best, 0, 16), {{0.5, 2.5}, 15, 0}, 0);
    // Five spans of 5 m + 2.5 m + 1.4 m are 44.5 m; the rode has a mark every 5 m.
    EXPECT_DOUBLE_EQ(full_scope_rode_m(tables, 5), 45);
    EXPECT_DOUBLE_EQ(full_scope_rode_m(tables, 5),
                     static_cast<double>(depth_line(tables, 5).ways[0].needs.rode_m));
}

TEST(DepthTable, RunsFromTheLeastDepthThatFloatsHerToTheFirstThatIsTooDeep) {
    Boat boat = yacht(Sinker::At::spans, 1);
    boat.windlass_rated_pull_n = 500;
    boat.recovery_depth_m = 10;
    boat.anchor.holding_n.front() = 20000;
    const auto table = depth_table(TackleTables(boat, {{0.4, 3.2}, 20, 0}, 0));
    ASSERT_GT(table.size(), 8U);
    EXPECT_DOUBLE_EQ(table.front().depth_m, 2.5)
        << "draught 2.1 and 0.5 under the keel, 0.4 of water above datum";
    for (std::size_t i = 1; i < table.size(); ++i) {
        EXPECT_GT(table[i].depth_m, table[i - 1].depth_m);
        EXPECT_EQ(table[i].any_way(), i + 1 < table.size());
        EXPECT_GE(table[i].hanging_load_n, table[i - 1].hanging_load_n);
    }
    const auto at = [&](double depth_m) {
        for (const DepthLine& line : table) {
            if (line.depth_m == depth_m) return line;
        }
        ADD_FAILURE() << depth_m;
        return table.front();
    };
    EXPECT_DOUBLE_EQ(at(5).trip_line_m, 9.2);
    EXPECT_FALSE(at(6).beyond_recovery);
    EXPECT_TRUE(at(7).beyond_recovery) << "10.2 m at high water";
    EXPECT_GE(at(5).wind_limit_kn[1], 19.99f);
    boat.anchor.holding_n = {};
    const TackleTables unrated(boat, {{0.4, 3.2}, 20, 0}, 0);
    EXPECT_EQ(unrated.limit_by(Seabed::unknown), LimitBy::room);
    EXPECT_GE(depth_table(unrated).front().wind_limit_kn[1], 19.99f)
        << "of an anchor that nobody rated by room and angle alone";
}

} // namespace
} // namespace swingroom
