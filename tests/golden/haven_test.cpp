// The invented haven of testdata/haven, whole: the job of the demo, and the story that it must tell.

#include "swingroom/room/verdict.hpp"

#include "support.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <string>
#include <vector>

namespace swingroom::golden {
namespace {

using testing::HasSubstr;

/// A place of the haven, in metres from its lower left corner as in scripts/make-testdata.
struct Place {
    const char* name;
    double east_m, north_m;
};
constexpr Place pool = {"the narrow pool", 497, 881}, cable = {"on the cable", 523, 331},
                deep = {"the deep", 1001, 101}, roads = {"the roads", 801, 421},
                bank = {"the drying bank", 985, 1051}, moorings = {"among the old moorings", 931, 881},
                wreck = {"the wreck", 1073, 389}, rock = {"the rock", 331, 395},
                fairway = {"the fairway", 705, 761}, land = {"the land", 21, 1151},
                hole = {"what was not surveyed", 1121, 901}, bar = {"the bar", 711, 587},
                kettle = {"the pool behind a ring that dries", 599, 1013};

class Haven : public testing::Test {
protected:
    static void SetUpTestSuite() {
        scratch_ = new Scratch;
        run_ = swingroom({"overlay", "--plan", "testdata/haven/haven.plan", "--out", folder()});
    }
    static void TearDownTestSuite() {
        delete scratch_;
        scratch_ = nullptr;
    }
    void SetUp() override { ASSERT_EQ(run_.exit_code, 0) << run_.err; }

    static std::string folder() { return *scratch_ / "haven"; }
    static Layer layer(const std::string& name) { return read_layer(folder() + "/" + name + ".tif"); }
    static double value(const Layer& layer, const Place& place) {
        return layer.at(static_cast<int>(place.east_m / 2), 599 - static_cast<int>(place.north_m / 2));
    }
    static Verdict verdict(const Place& place) {
        return static_cast<Verdict>(static_cast<int>(value(layer("verdict"), place)));
    }
    static std::uint32_t reasons(const Place& place) {
        return static_cast<std::uint32_t>(value(layer("reasons"), place));
    }

    static Scratch* scratch_;
    static Outcome run_;
};
Scratch* Haven::scratch_ = nullptr;
Outcome Haven::run_;

/// The step that rasters tell lengths and depths in, src/manual/layers.md.
constexpr double told_step_m = 1.0 / 16;

/// The numbers that a member of a JSON file has, one after another.
std::vector<double> numbers(const std::string& geojson, const std::string& property) {
    std::vector<double> found;
    const std::string key = "\"" + property + "\":";
    for (std::size_t at = geojson.find(key); at != std::string::npos; at = geojson.find(key, at + 1)) {
        found.push_back(std::stod(geojson.substr(at + key.size(), 32)));
    }
    return found;
}

TEST_F(Haven, SaysNothingOnStderr) { EXPECT_EQ(run_.err, ""); }

TEST_F(Haven, WritesEveryLayer) {
    std::vector<std::string> names = {"verdict.tif",        "reasons.tif",   "advice.tif",
                                      "depth_low.tif",      "source.tif",    "hull_room.tif",
                                      "ground_room.tif",    "zones.geojson", "spots.geojson",
                                      "exclusions.geojson", "manifest.json"};
    for (const std::string per_way : {"rode", "radius", "spare", "wind_limit"}) {
        for (const std::string way : {"full", "short", "sinker"}) {
            names.push_back(per_way + "_" + way + ".tif");
        }
    }
    for (const auto& name : names) {
        EXPECT_TRUE(std::filesystem::exists(folder() + "/" + name)) << name;
    }
}

TEST_F(Haven, TheNarrowPoolIsANoAtFullScopeAndAYesAtShort) {
    EXPECT_EQ(verdict(pool), Verdict::short_scope);
    EXPECT_LT(value(layer("spare_full"), pool), 0);
    EXPECT_GE(value(layer("spare_short"), pool), 0);
    EXPECT_GT(value(layer("spare_sinker"), pool), value(layer("spare_short"), pool));
}

TEST_F(Haven, NoCellOfThePoolIsAYesAtFullScopeAndSomeNeedTheSinker) {
    const Layer verdicts = layer("verdict");
    std::array<int, 5> count{};
    for (int row = 100; row < 210; ++row) {
        for (int col = 125; col < 300; ++col) {
            ++count.at(static_cast<std::size_t>(verdicts.at(col, row)));
        }
    }
    EXPECT_EQ(count[4], 0);
    EXPECT_GT(count[3], 200);
    EXPECT_GT(count[2], 200);
}

TEST_F(Haven, TheCableIsANoOnlyForTheGround) {
    EXPECT_EQ(verdict(cable), Verdict::no);
    EXPECT_TRUE(reasons(cable) & reason::ground_danger);
    EXPECT_FALSE(reasons(cable) & (reason::hull_danger | reason::too_shallow | reason::drop_forbidden));
    EXPECT_EQ(value(layer("ground_room"), cable), 0);
    EXPECT_GT(value(layer("hull_room"), cable), 60);
}

TEST_F(Haven, TheDeepIsANoOnlyForWantOfRode) {
    EXPECT_EQ(verdict(deep), Verdict::no);
    std::uint32_t rode = 0;
    for (const Way way : all_ways) {
        rode |= reason::of_way(way, reason::OfWay::rode);
    }
    EXPECT_EQ(reasons(deep), rode);
}

TEST_F(Haven, TheRoadsAreAYesAtFullScope) {
    EXPECT_EQ(verdict(roads), Verdict::full);
    EXPECT_EQ(reasons(roads), 0u);
}

// The crest of the bar is 2.0 m below chart datum, give or take a tenth of roughness: less the uncertainty
// and with the 2.75 m that she needs she floats over it from about a metre on, between the levels of the
// plan. The ring dries 0.3 m, which takes more than its high water.
TEST_F(Haven, TheInnerPlacesAreReachedOverTheBarAtTimesAndTheRoadsAlways) {
    const Layer advices = layer("advice");
    const auto advice = [&](const Place& place) { return static_cast<unsigned>(value(advices, place)); };
    constexpr unsigned of_the_way = advice::wait_for_water | advice::out_of_reach | advice::way_unknown;
    EXPECT_EQ(advice(pool) & of_the_way, advice::wait_for_water);
    EXPECT_EQ(advice(roads) & of_the_way, 0u);
    EXPECT_EQ(advice(kettle) & of_the_way, advice::out_of_reach);
    EXPECT_EQ(verdict(kettle), Verdict::out_of_reach);
    EXPECT_EQ(verdict(bar), Verdict::no);
    EXPECT_TRUE(reasons(bar) & reason::too_shallow);
    const Outcome spot =
        swingroom({"spot", "-29.0426395", "47.9882486", "--plan", "testdata/haven/haven.plan"});
    EXPECT_THAT(spot.out,
                testing::AllOf(HasSubstr("none during the stay: high water is 2.50 m above chart datum"),
                               HasSubstr("it dries; open from 3.2")));
}

TEST_F(Haven, EachDangerHasItsReason) {
    EXPECT_TRUE(reasons(bank) & reason::too_shallow);
    EXPECT_TRUE(reasons(wreck) & reason::hull_danger);
    EXPECT_TRUE(reasons(rock) & reason::hull_danger);
    EXPECT_TRUE(reasons(fairway) & reason::drop_forbidden);
    EXPECT_TRUE(reasons(moorings) &
                (reason::ground_danger | reason::of_way(Way::full, reason::OfWay::ground_room)));
    EXPECT_EQ(reasons(land), reason::unsurveyed);
    EXPECT_EQ(reasons(hole), reason::unsurveyed);
    for (const Place& place : {bank, wreck, rock, fairway}) {
        SCOPED_TRACE(place.name);
        EXPECT_EQ(verdict(place), Verdict::no);
    }
    for (const Place& place : {land, hole}) {
        SCOPED_TRACE(place.name);
        EXPECT_EQ(verdict(place), Verdict::unsurveyed);
    }
}

TEST_F(Haven, OldMooringsAskForATripLineAndTheRoadsDoNot) {
    const Layer advices = layer("advice");
    EXPECT_TRUE(static_cast<unsigned>(value(advices, moorings)) & advice::trip_line);
    EXPECT_FALSE(static_cast<unsigned>(value(advices, roads)) & advice::trip_line);
}

TEST_F(Haven, DepthAtLowWaterIsTheSoundingAndTheTideLessTheUncertainty) {
    const Layer elevation = read_layer(SWINGROOM_TESTDATA "/haven/bathymetry.tif"),
                depth = layer("depth_low");
    for (const Place& place : {pool, deep, roads, cable, moorings}) {
        SCOPED_TRACE(place.name);
        const double exact_m = -value(elevation, place) - 0.2 + 0.5;
        EXPECT_LE(value(depth, place), exact_m + 1e-9);
        EXPECT_GE(value(depth, place), exact_m - 0.11);
    }
}

TEST_F(Haven, EveryYesHasRoomAndEveryNoAReason) {
    const Layer verdicts = layer("verdict"), why = layer("reasons"), hull = layer("hull_room"),
                ground = layer("ground_room");
    const std::array spare = {layer("spare_full"), layer("spare_short"), layer("spare_sinker")},
                     radius = {layer("radius_full"), layer("radius_short"), layer("radius_sinker")};
    const std::uint32_t any_way = (1u << reason::first_way_bit) - 1;
    for (std::size_t i = 0; i < verdicts.values.size(); ++i) {
        const auto v = static_cast<Verdict>(static_cast<int>(verdicts.values[i]));
        const auto bits = static_cast<std::uint32_t>(why.values[i]);
        if (v == Verdict::out_of_reach) { // a yes, but for the way there
            ASSERT_EQ(bits & any_way, 0u) << "cell " << i;
            continue;
        }
        if (!is_yes(v)) {
            ASSERT_NE(bits, 0u) << "cell " << i;
            continue;
        }
        const auto way = static_cast<std::size_t>(way_of(v));
        ASSERT_EQ(bits & any_way, 0u) << "cell " << i;
        ASSERT_GE(spare.at(way).values[i], 0) << "cell " << i;
        // Either is rounded by itself, one down, the other up.
        ASSERT_GT(hull.values[i], radius.at(way).values[i] - 2 * told_step_m) << "cell " << i;
        ASSERT_GT(ground.values[i], 0) << "cell " << i;
    }
}

TEST_F(Haven, AskedAboutAPositionTheCommandSaysWhatTheLayersSay) {
    struct Question {
        const char *lon, *lat;
        std::string answer;
    };
    // The positions of pool, roads, cable, deep and land, by PROJ.
    for (const Question& asked :
         {Question{"-29.0439320", "47.9870379", "yes, at short scope"},
          Question{"-29.0397104", "47.9829650", "yes, at full scope"},
          Question{"-29.0434016", "47.9820895", "cable"}, Question{"-29.0369186", "47.9801352", "rode"},
          Question{"-29.0504167", "47.9893427", "unsurveyed"}}) {
        SCOPED_TRACE(asked.answer);
        const Outcome spot = swingroom({"spot", asked.lon, asked.lat, "--plan", "testdata/haven/haven.plan"});
        EXPECT_EQ(spot.exit_code, 0);
        EXPECT_EQ(spot.err, "");
        EXPECT_THAT(spot.out, HasSubstr(asked.answer));
    }
}

TEST_F(Haven, APositionsFiguresAreRoundedTheSafeWayAndAgree) {
    const auto spot = [](const char* lon, const char* lat) {
        return swingroom({"spot", lon, lat, "--plan", "testdata/haven/haven.plan"}).out;
    };
    const std::string pool_words = spot("-29.0439320", "47.9870379");
    EXPECT_THAT(pool_words, HasSubstr("swinging radius  67.6 m, spare -7.1 m\n"));
    EXPECT_THAT(pool_words, HasSubstr("67.6 m needed, 60.5 m there, 7.1 m short"));
    EXPECT_THAT(pool_words, testing::Not(HasSubstr("-0.0")));
    const std::string cable_words = spot("-29.0434016", "47.9820895");
    EXPECT_THAT(cable_words, HasSubstr("spare -50.9 m (ground)\n"));
    EXPECT_THAT(cable_words, HasSubstr("50.9 m short"));
}

TEST_F(Haven, ThePositionsNearestHazardsAreNamedWithDistanceAndBearing) {
    const std::string in_pool =
        swingroom({"spot", "-29.0439320", "47.9870379", "--plan", "testdata/haven/haven.plan"}).out;
    // Old block 1 of moorings.geojson, 373.8 m off on 84.8 degrees by PROJ's geodesic to its coordinates.
    EXPECT_THAT(in_pool, HasSubstr("Nearest hazards within 1852 m"));
    EXPECT_THAT(
        in_pool,
        HasSubstr("     373 m  085     moorings #0 old block 1: mooring block, margin 10.0 m; near a mooring "
                  "block, margin 60.0 m\n"));
    EXPECT_THAT(in_pool, HasSubstr("cables #0 cable to the light on the west head: cable, margin 50.0 m\n"));
    const auto first = in_pool.find("fairways #0"), second = in_pool.find("moorings #0");
    EXPECT_LT(first, second) << "the nearest first";
    // Over the cable itself: nothing to go for, whatever the margin.
    const std::string over_cable =
        swingroom({"spot", "-29.0434016", "47.9820895", "--plan", "testdata/haven/haven.plan"}).out;
    EXPECT_THAT(
        over_cable,
        testing::ContainsRegex("\n       0 m  [0-9]+ +cables #0 cable to the light on the west head: cable"));
}

TEST_F(Haven, AYesAtFullScopeSaysNothingOfASinkerThatIsNotAboard) {
    Scratch scratch;
    std::string text = bytes_of(SWINGROOM_TESTDATA "/haven/heavy_ketch.ini");
    text.erase(text.find("[sinker]"), text.find("[windlass]") - text.find("[sinker]"));
    write_bytes(scratch / "bare.ini", text);
    const auto spot = [&](const char* lon, const char* lat) {
        return swingroom(
                   {"spot", lon, lat, "--plan", "testdata/haven/haven.plan", "--boat", scratch / "bare.ini"})
            .out;
    };
    const std::string full = spot("-29.0397104", "47.9829650");
    EXPECT_THAT(full, HasSubstr("yes, at full scope"));
    EXPECT_THAT(full, testing::Not(HasSubstr("Why not more")));
    const std::string narrow = spot("-29.0439320", "47.9870379");
    EXPECT_THAT(narrow, HasSubstr("Why not more:\n  at full scope"));
    EXPECT_THAT(narrow.substr(narrow.find("Why not more")), testing::Not(HasSubstr("sinker")));
}

TEST_F(Haven, WhereTheHullDoesNotFloatNothingHangsAndNoTripLineIsNeeded) {
    // The position of bank, by PROJ.
    const Outcome run =
        swingroom({"spot", "-29.0374561", "47.9886826", "--plan", "testdata/haven/haven.plan"});
    EXPECT_THAT(run.out, HasSubstr("less water"));
    EXPECT_THAT(run.out, testing::Not(HasSubstr("hanging load")));
    EXPECT_THAT(run.out, testing::Not(HasSubstr("trip line")));
}

TEST_F(Haven, TheManifestTellsWhatWasAssumedOfTheBoatAndWhichRulesApplied) {
    const std::string manifest = bytes_of(folder() + "/manifest.json");
    EXPECT_THAT(manifest, HasSubstr(R"({"name":"assumed policy.max_slope","value":"no limit"})"));
    EXPECT_THAT(manifest, HasSubstr(R"({"name":"assumed loads","value":"drag on the windage area)"));
    EXPECT_THAT(manifest, HasSubstr(R"({"name":"assumed anchor.holding.clay","value":"14000 N, carried)"));
    EXPECT_THAT(manifest, HasSubstr(R"({"name":"rules","value":"the file testdata/haven/haven.rules"})"));
}

TEST_F(Haven, EveryDepthIsFromTheOneRaster) {
    const Layer source = layer("source"), verdicts = layer("verdict");
    ASSERT_EQ(source.values.size(), verdicts.values.size());
    for (std::size_t i = 0; i < source.values.size(); ++i) {
        ASSERT_EQ(source.values[i], verdicts.values[i] == 0 ? 0 : 1) << "cell " << i;
    }
    EXPECT_THAT(bytes_of(folder() + "/source.tif.aux.xml"), HasSubstr("testdata/haven/bathymetry.tif"));
    EXPECT_THAT(swingroom({"spot", "-29.0397104", "47.9829650", "--plan", "testdata/haven/haven.plan"}).out,
                testing::Not(HasSubstr("depth from")));
}

TEST_F(Haven, UnsurveyedCellsAreThoseWithoutADepth) {
    const Layer elevation = read_layer(SWINGROOM_TESTDATA "/haven/bathymetry.tif"),
                verdicts = layer("verdict");
    ASSERT_EQ(elevation.values.size(), verdicts.values.size());
    for (std::size_t i = 0; i < verdicts.values.size(); ++i) {
        ASSERT_EQ(elevation.values[i] == -9999, verdicts.values[i] == 0) << "cell " << i;
    }
}

// All over the haven: the circle of a way has the water that the boat needs exactly where the hull has room
// for it; and the layer has a value where a radius has one and nothing hopeless is in the circle.
TEST_F(Haven, TheCircleHasWaterEnoughExactlyWhereTheHullHasRoom) {
    const Outcome run = swingroom({"overlay", "--plan", "testdata/haven/haven.plan", "--layers",
                                   "least_water_short", "--out", *scratch_ / "water"});
    ASSERT_EQ(run.exit_code, 0) << run.err;
    const Layer water = read_layer(*scratch_ / "water/least_water_short.tif"), radii = layer("radius_short"),
                rooms = layer("hull_room"), depths = layer("depth_low");
    constexpr double needed_m = 2.1 + 0.5 + 0.3 / 2; // of heavy_ketch.ini
    int enough = 0, too_little = 0, none = 0, aground = 0;
    for (int row = 0; row < radii.rows; ++row) {
        for (int col = 0; col < radii.cols; ++col) {
            const double water_m = water.at(col, row), radius_m = radii.at(col, row);
            const bool known = !std::isnan(water_m);
            if (known) {
                ASSERT_LE(water_m, depths.at(col, row)) << col << ',' << row;
            }
            if (std::isnan(radius_m)) { // aground at low water, but not at high water, or out
                aground += known ? 1 : 0;
                continue;
            }
            const bool room = known && water_m >= needed_m - 1e-6;
            // Room is rounded down and the radius up: what of both is less than two steps apart may be
            // either.
            const double left_m = rooms.at(col, row) - radius_m;
            ASSERT_TRUE(room ? left_m > -2 * told_step_m : left_m < 0)
                << col << ',' << row << ": " << water_m;
            ++(room ? enough : known ? too_little : none);
        }
    }
    EXPECT_GT(enough, 10000);
    EXPECT_GT(too_little, 10000);
    EXPECT_GT(none, 1000);
    EXPECT_GT(aground, 1000);
}

TEST_F(Haven, HoursAfloatAreRefusedWithoutATide) {
    const Outcome run = swingroom({"overlay", "--plan", "testdata/haven/haven.plan", "--layers",
                                   "verdict,hours_afloat_full", "--out", *scratch_ / "hours"});
    EXPECT_EQ(run.exit_code, 2);
    EXPECT_THAT(run.err, HasSubstr("--layers: hours_afloat"));
    EXPECT_THAT(run.err, HasSubstr("give --tide"));
}

TEST_F(Haven, ZonesSmallerThanTheBoatCanHitAreLeftOutUnlessWanted) {
    const double least_m2 = std::numbers::pi * 2 * 2; // position_allowance of heavy_ketch.ini
    const std::string usual = bytes_of(folder() + "/zones.geojson");
    const std::vector<double> areas_m2 = numbers(usual, "area_m2");
    ASSERT_FALSE(areas_m2.empty());
    EXPECT_GE(*std::min_element(areas_m2.begin(), areas_m2.end()), std::floor(least_m2));
    EXPECT_THAT(usual,
                HasSubstr("edges smoothed inwards by a cell at the most; those below 12.6 m2 left out"));

    const Outcome run =
        swingroom({"overlay", "--plan", "testdata/haven/haven.plan", "--layers", "zones,spots",
                   "--least-zone", "0", "--zone-edges", "stepped", "--out", *scratch_ / "all"});
    ASSERT_EQ(run.exit_code, 0) << run.err;
    const std::string all = bytes_of(*scratch_ / "all/zones.geojson");
    const std::vector<double> all_m2 = numbers(all, "area_m2");
    EXPECT_GT(all_m2.size(), areas_m2.size());
    EXPECT_EQ(std::count_if(all_m2.begin(), all_m2.end(), [&](double m2) { return m2 >= least_m2; }),
              static_cast<std::ptrdiff_t>(areas_m2.size()));
    EXPECT_GT(all.size(), 3 * usual.size() / 2) << "steps take many corners";
    const auto boats = numbers(usual, "boats");
    EXPECT_EQ(*std::min_element(boats.begin(), boats.end()), 1);
    EXPECT_GE(*std::max_element(boats.begin(), boats.end()), 4) << "in the deep";
}

} // namespace
} // namespace swingroom::golden
