#include "swingroom/overlay/position.hpp"
#include "swingroom/overlay/position_words.hpp"

#include "support/made_tide.hpp"
#include "support/overlay_scene.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

using namespace testing_support;
using testing::HasSubstr;

std::string text(float v) { return std::isnan(v) ? "nan" : std::to_string(v); }

void expect_water_as_in_layers(const PositionReport& report, Way way, const BlockAnswers& said,
                               const StayTide& tide) {
    const auto slot = static_cast<std::size_t>(way);
    const WaterOfWay& water = report.water[slot];
    const float least_m = said.figures(of(Layer::least_water_full, way)).at(report.col, report.row),
                hours = said.figures(of(Layer::hours_afloat_full, way)).at(report.col, report.row);
    // The layer has no negative infinity.
    const double shown_m =
        std::isinf(water.least_water_m) ? std::numeric_limits<double>::quiet_NaN() : water.least_water_m;
    ASSERT_EQ(text(static_cast<float>(shown_m)), text(least_m));
    ASSERT_EQ(std::isnan(water.level_needed_m), std::isnan(water.least_water_m));
    ASSERT_EQ(text(static_cast<float>(water.hours_afloat)), text(hours));
    if (!std::isnan(hours) && !std::isnan(water.level_needed_m)) {
        ASSERT_EQ(hours, narrow_down(tide.stay.hours_afloat(water.level_needed_m)));
    }
    if (report.ways.empty()) return;
    ASSERT_EQ(std::isnan(report.ways[slot].level_needed_m), std::isnan(water.level_needed_m));
    if (std::isnan(water.level_needed_m)) return;
    ASSERT_EQ(report.ways[slot].least_water_m, water.least_water_m);
    ASSERT_EQ(report.ways[slot].level_needed_m, water.level_needed_m);
}

class Positions : public testing::TestWithParam<std::uint64_t> {};

TEST_P(Positions, SayWhatTheLayersSayOfTheirCells) {
    const OverlayScene scene = random_overlay_scene(GetParam(), 26, 22);
    OverlayJob job = scene.job();
    // Of other levels than the tables are made for, which does not matter here: hours are hours at a level.
    const StayTide tide = sine_stay(1, 1.2, static_cast<int>(GetParam()) * 60, 1500);
    if (GetParam() % 4 != 3) job.tide = &tide;
    if (GetParam() % 3 == 2) job.rode_by = RodeBy::sounder;
    Recorder said(job.window);
    run_overlay(job, said, {});
    DepthPlanes depths;
    scene.depths->read(job.window, depths);
    const Georeference georeference(scene.depths->grid(), "scene");
    job.wanted = {}; // must not matter
    for (int row = 0; row < job.window.rows; ++row) {
        for (int col = 0; col < job.window.cols; ++col) {
            SCOPED_TRACE("column " + std::to_string(col) + ", row " + std::to_string(row));
            const PositionReport report = examine(job, georeference, col, row);
            ASSERT_EQ(report.col, col);
            ASSERT_EQ(report.row, row);
            ASSERT_EQ(static_cast<int>(report.answer.verdict), said.all.plane<Layer::verdict>().at(col, row));
            ASSERT_EQ(report.answer.reasons, said.all.plane<Layer::reasons>().at(col, row));
            ASSERT_EQ(report.answer.advice, said.all.plane<Layer::advice>().at(col, row));
            ASSERT_EQ(text(report.facts.shoal_m), text(depths.shoal_m.at(col, row)));
            ASSERT_EQ(text(report.facts.deep_m), text(depths.deep_m.at(col, row)));
            ASSERT_EQ(text(report.depth_low_m), text(said.all.plane<Layer::depth_low>().at(col, row)));
            ASSERT_EQ(report.facts.hull_room_m, said.all.plane<Layer::hull_room>().at(col, row));
            ASSERT_EQ(report.facts.ground_room_m, said.all.plane<Layer::ground_room>().at(col, row));
            for (const Way way : all_ways) {
                expect_water_as_in_layers(report, way, said.all, tide);
                if (HasFatalFailure()) return;
            }
            ASSERT_EQ(report.ways.size(), report.answer.judged ? all_ways.size() : 0u);
            for (const WayAtPosition& at : report.ways) {
                ASSERT_EQ(text(at.spare_m),
                          text(said.all.figures(of(Layer::spare_full, at.way)).at(col, row)));
                if (at.detail.needs.out != WayNeeds::Out::none) {
                    ASSERT_TRUE(std::isnan(said.all.figures(of(Layer::rode_full, at.way)).at(col, row)));
                    ASSERT_FALSE(at.fits);
                    continue;
                }
                ASSERT_EQ(at.detail.needs.rode_m,
                          said.all.figures(of(Layer::rode_full, at.way)).at(col, row));
                ASSERT_EQ(at.detail.needs.radius_m,
                          said.all.figures(of(Layer::radius_full, at.way)).at(col, row));
                ASSERT_EQ(text(at.wind_limit_kn),
                          text(said.all.figures(of(Layer::wind_limit_full, at.way)).at(col, row)));
                if (at.fits) {
                    ASSERT_LE(way_of(report.answer.verdict), at.way);
                    ASSERT_TRUE(is_yes(report.answer.verdict));
                }
            }
            if (is_yes(report.answer.verdict)) {
                ASSERT_TRUE(report.ways[static_cast<std::size_t>(way_of(report.answer.verdict))].fits);
            }
            // One line for each reason, in their order, with its sentence in front.
            std::size_t line = 0;
            for (const BitName& name : reason_names) {
                if ((report.answer.reasons & name.bit) == 0) continue;
                ASSERT_LT(line, report.shortfalls.size());
                ASSERT_EQ(report.shortfalls[line].bit, name.bit);
                ASSERT_THAT(sentence_of(report.shortfalls[line]),
                            testing::StartsWith(std::string(name.sentence)));
                ++line;
            }
            ASSERT_EQ(line, report.shortfalls.size());
            for (const auto& [danger, room_m] :
                 {std::pair(report.hull_danger, report.facts.hull_room_m),
                  std::pair(report.ground_danger, report.facts.ground_room_m)}) {
                ASSERT_EQ(danger.has_value(), static_cast<double>(room_m) < narrow_down(report.reach_m));
                if (!danger) continue;
                ASSERT_EQ(danger->distance_m, static_cast<double>(room_m));
                ASSERT_FALSE(what_is(*danger).empty());
                ASSERT_GE(danger->bearing_deg, 0);
                ASSERT_LT(danger->bearing_deg, 360);
            }
        }
    }
}

INSTANTIATE_TEST_SUITE_P(Seeds, Positions, testing::Range<std::uint64_t>(0, 12));

/// A wide, deep sea of cells of 2 m around the middle cell (40, 40), for the boats of the tests.
struct Sea {
    explicit Sea(bool south_up = false, std::size_t boat = 0)
        : grid(utm_grid(side, side, 2, south_up)), depth_m(static_cast<std::size_t>(side) * side, 4.0F),
          trial(trial_boats()[boat]) {}
    void set(int col, int row, float value_m) {
        depth_m[static_cast<std::size_t>(row) * side + static_cast<std::size_t>(col)] = value_m;
    }
    [[nodiscard]] OverlayScene scene() const {
        OverlayScene scene;
        scene.depths = memory_bathymetry(grid, depth_m, DepthUncertainty::none());
        scene.metric = GroundMetric::uniform(side, 2, 2);
        scene.hazards = std::make_unique<HazardField>(hazards, grid.extent(), scene.metric);
        scene.tables =
            std::make_unique<TackleTables>(read_trial_boat(trial), Conditions{{0.5, 2}, 15, 0}, 0.0);
        scene.seabed = Seabed::sand;
        return scene;
    }
    [[nodiscard]] PositionReport look(int col = middle, int row = middle) const {
        const OverlayScene made = scene();
        return examine(made.job(), Georeference(grid, "sea"), col, row);
    }

    static constexpr int side = 81, middle = 40;
    Grid grid;
    std::vector<float> depth_m;
    std::vector<Hazard> hazards;
    TrialBoat trial;
};

TEST(NearestDanger, HasItsBearingOnBothKindsOfRasters) {
    struct Quarter {
        int cols, norths;
        double bearing_deg;
    };
    for (const bool south_up : {false, true}) {
        for (const auto& [cols, norths, bearing_deg] :
             {Quarter{0, 10, 0}, Quarter{10, 0, 90}, Quarter{0, -10, 180}, Quarter{-10, 0, 270},
              Quarter{9, 9, 45}, Quarter{9, -9, 135}, Quarter{-9, -9, 225}, Quarter{-9, 9, 315}}) {
            SCOPED_TRACE(std::to_string(bearing_deg) + (south_up ? ", south up" : ", north up"));
            Sea sea(south_up);
            sea.set(Sea::middle + cols, Sea::middle + (south_up ? norths : -norths), -1);
            const PositionReport report = sea.look();
            ASSERT_TRUE(report.hull_danger);
            const double apart =
                std::hypot(std::max(std::abs(cols) - 1, 0), std::max(std::abs(norths) - 1, 0));
            EXPECT_NEAR(report.hull_danger->distance_m, 2 * apart, 1e-5);
            EXPECT_LE(report.hull_danger->distance_m, 2 * apart);
            const double off = std::remainder(report.hull_danger->bearing_deg - bearing_deg, 360);
            EXPECT_LT(std::abs(off), 0.05) << report.hull_danger->bearing_deg;
            EXPECT_FALSE(report.ground_danger) << "a bank is no danger to the chain";
        }
    }
}

std::string called(const std::optional<NearestDanger>& danger) {
    return danger ? what_is(*danger) : "nothing";
}

TEST(NearestDanger, IsCalledByWhatItIs) {
    Sea sea;
    EXPECT_FALSE(sea.look().hull_danger);
    EXPECT_FALSE(sea.look().ground_danger);
    sea.set(48, 40, 0.1F); // 0.6 m at low water: 0.7 m are required
    EXPECT_EQ(called(sea.look().hull_danger), "shoal water, 0.6 m at low water");
    sea.set(47, 40, -0.75F);
    EXPECT_EQ(called(sea.look().hull_danger), "a bank that dries by up to 0.3 m at low water")
        << "never less than it dries";
    sea.set(47, 40, -2.5F); // highest water is at 2 m
    EXPECT_EQ(called(sea.look().hull_danger), "land");
    sea.set(40, 46, std::numeric_limits<float>::quiet_NaN());
    EXPECT_EQ(called(sea.look().hull_danger), "unsurveyed water");
    EXPECT_EQ(called(sea.look().ground_danger), "unsurveyed water");
    // What no chart covers.
    sea.hazards = {hazard(effect::uncharted, 0, {{40.5, 46.5}}, "no chart")};
    EXPECT_EQ(called(sea.look().hull_danger), "the edge of the data");
    sea.hazards = {hazard(effect::ground, 1, {{36.5, 0}, {36.5, 81}}, "cable", "cables #3"),
                   hazard(effect::hull, 0, {{40.5, 36.5}}, "wreck")};
    const PositionReport report = sea.look();
    EXPECT_EQ(called(report.hull_danger), "wreck");
    EXPECT_EQ(called(report.ground_danger), "cable (cables #3)");
    EXPECT_TRUE(report.here.empty());
    EXPECT_EQ(called(sea.look(2, 2).hull_danger), "the edge of the data");
}

TEST(NearestDanger, OfSeveralAsNearIsTheOneWhoseMiddleIsNearest) {
    Sea sea;
    for (int col = 35; col <= 45; ++col) { // a wall; the gaps to three of its cells are the same
        sea.set(col, 30, -1);
    }
    const PositionReport report = sea.look();
    ASSERT_TRUE(report.hull_danger);
    EXPECT_EQ(report.hull_danger->distance_m, 18);
    EXPECT_LT(std::abs(std::remainder(report.hull_danger->bearing_deg, 360)), 0.05);
}

TEST(NearestDanger, InTheCellItselfIsNoDistanceOff) {
    Sea sea;
    sea.hazards = {hazard(effect::hull | effect::ground, 3, {{40.5, 40.5}}, "block", "blocks #7"),
                   hazard(effect::drop, 0, {{40.2, 40.2}}, "fairway"),
                   hazard(effect::trip_line, 0, {{40.2, 40.2}}, "debris")};
    const PositionReport report = sea.look();
    ASSERT_TRUE(report.hull_danger && report.ground_danger);
    EXPECT_EQ(report.hull_danger->distance_m, 0);
    EXPECT_EQ(report.ground_danger->distance_m, 0);
    EXPECT_THAT(report.here, testing::ElementsAre("block (blocks #7)", "fairway", "debris"));
    EXPECT_EQ(report.answer.verdict, Verdict::no);
    EXPECT_EQ(report.answer.reasons & ((1u << reason::first_way_bit) - 1),
              reason::hull_danger | reason::ground_danger | reason::drop_forbidden);
    ASSERT_GE(report.shortfalls.size(), 3u);
    EXPECT_THAT(sentence_of(report.shortfalls[0]), HasSubstr(": block (blocks #7)"));
    EXPECT_THAT(sentence_of(report.shortfalls[1]), HasSubstr(": block (blocks #7)"));
    EXPECT_THAT(sentence_of(report.shortfalls[2]), HasSubstr(": fairway"));
    EXPECT_NE(report.answer.advice & advice::trip_line, 0);
}

/// 0.3 m of depth that may be 0.9 m off: no survey has said that it dries in half a metre of water.
TEST(NearestDanger, DriesWhereTheDepthSaysSoAndNotItsUncertainty) {
    Sea sea;
    sea.set(47, 40, 0.3F);
    OverlayScene made = sea.scene();
    made.depths = memory_bathymetry(sea.grid, sea.depth_m, DepthUncertainty::constant(0.9));
    const auto look = [&](int col) {
        return examine(made.job(), Georeference(sea.grid, "sea"), col, Sea::middle);
    };
    EXPECT_EQ(called(look(Sea::middle).hull_danger), "shoal water that may dry by up to 0.1 m at low water");
    EXPECT_THAT(sentence_of(look(47).shortfalls.at(0)),
                HasSubstr(": 0.7 m needed, and it may dry by up to 0.1 m"));
    sea.set(47, 40, -0.8F);
    made.depths = memory_bathymetry(sea.grid, sea.depth_m, DepthUncertainty::constant(0.9));
    EXPECT_EQ(called(look(Sea::middle).hull_danger), "a bank that dries by up to 1.2 m at low water");
}

/// Depths of a sea of 5 m as a chart's areas give them; the middle cell has what is asked for.
class Areas final : public DepthSource {
public:
    Areas(Grid grid, float shoal_m, float deep_m)
        : grid_(std::move(grid)), shoal_m_(shoal_m), deep_m_(deep_m) {}
    [[nodiscard]] const Grid& grid() const override { return grid_; }
    void read(Window where, DepthPlanes& depths) const override {
        depths.shoal_m.reset(where, 5);
        depths.deep_m.reset(where, 6);
        depths.source.reset({});
        depths.banded.reset(where, 1);
        if (!where.contains(Sea::middle, Sea::middle)) return;
        depths.shoal_m.at(Sea::middle, Sea::middle) = shoal_m_;
        depths.deep_m.at(Sea::middle, Sea::middle) = deep_m_;
    }
    [[nodiscard]] double greatest_uncertainty_m() const override { return 1; }
    [[nodiscard]] std::vector<Fact> assumptions() const override { return {}; }
    [[nodiscard]] std::vector<std::string> files() const override { return {}; }

private:
    Grid grid_;
    float shoal_m_, deep_m_;
};

/// What is said of the depth of a charted cell at a highest level.
std::string said_of_shore(float shoal_m, float deep_m, bool land, double high_m) {
    Sea sea;
    if (land) {
        sea.hazards = {
            hazard(effect::hull | effect::ground | effect::drop, 0, {{40.5, 40.5}}, "land", "LNDARE #1")};
    }
    OverlayScene made = sea.scene();
    made.depths = std::make_unique<Areas>(sea.grid, shoal_m, deep_m);
    made.tables =
        std::make_unique<TackleTables>(read_trial_boat(sea.trial), Conditions{{0.5, high_m}, 15, 0}, 1.0);
    const PositionReport report =
        examine(made.job(), Georeference(sea.grid, "sea"), Sea::middle, Sea::middle);
    for (const Shortfall& shortfall : report.shortfalls) {
        if (shortfall.bit == reason::too_shallow) return sentence_of(shortfall);
    }
    return "deep enough";
}

TEST(Position, ChartedLandIsLandHoweverHighTheWater) {
    for (const double high_m : {2.0, 12.5}) {
        EXPECT_THAT(said_of_shore(-10, -10, true, high_m), testing::EndsWith(": this is land")) << high_m;
        EXPECT_THAT(said_of_shore(-10, 2, true, high_m), testing::EndsWith(": this is land"))
            << "as the map has it, of which it is a part";
    }
}

TEST(Position, TheDepthThatStandsForLandMakesNoLandOfWater) {
    EXPECT_THAT(said_of_shore(-10, 2, false, 2), testing::EndsWith("it may dry by up to 9.5 m"));
    EXPECT_THAT(said_of_shore(-10, -1, false, 2), testing::EndsWith("it dries by up to 9.5 m"));
    EXPECT_THAT(said_of_shore(-10, -10, false, 2), testing::EndsWith(": this is land"));
    EXPECT_THAT(said_of_shore(-6, -1, false, 2), testing::EndsWith(": this is land")) << "by the middle";
}

TEST(Position, SaysByHowMuchItFails) {
    Sea sea;
    sea.set(40, 40, -0.8F);
    EXPECT_THAT(sentence_of(sea.look().shortfalls.at(0)),
                HasSubstr(": 0.7 m needed, and it dries by up to 0.3 m"));
    sea.set(40, 40, -3);
    EXPECT_THAT(sentence_of(sea.look().shortfalls.at(0)), testing::EndsWith(": this is land"));
    sea.set(40, 40, 0.1F);
    EXPECT_THAT(sentence_of(sea.look().shortfalls.at(0)),
                HasSubstr("0.7 m needed, 0.6 m there, 0.1 m short"));
    Sea deep;
    for (float& d : deep.depth_m) {
        d = 9.5F;
    }
    const PositionReport report = deep.look();
    ASSERT_EQ(report.answer.reasons & reason::of_way(Way::full, reason::OfWay::rode),
              reason::of_way(Way::full, reason::OfWay::rode));
    // 4 times 9.5 + 2 of tide + 0.5 of roller; 30 m aboard.
    EXPECT_THAT(sentence_of(report.shortfalls.at(0)), HasSubstr("48.0 m needed, 30.0 m there, 18.0 m short"));
    EXPECT_NEAR(report.trip_line_m, 12.5, 1e-9);
    EXPECT_NEAR(report.depth_high_m, 11.5, 1e-9);
    EXPECT_NEAR(report.required_depth_m, 0.7, 1e-12);
}

// The foot is 0.3048 m: 0.7 m are 2.297 ft, 0.6 m 1.969, 48 m 157.48, 30 m 98.43.
TEST(Position, SaysItInTheUnitThatIsAskedFor) {
    const Measures feet{LengthUnit::foot, {}};
    Sea sea;
    sea.set(40, 40, 0.1F);
    EXPECT_THAT(sentence_of(sea.look().shortfalls.at(0), feet),
                HasSubstr("2.3 ft needed, 1.9 ft there, 0.4 ft short"));
    Sea deep;
    for (float& d : deep.depth_m) {
        d = 9.5F;
    }
    EXPECT_THAT(sentence_of(deep.look().shortfalls.at(0), feet),
                HasSubstr("157.5 ft needed, 98.4 ft there, 59.1 ft short"));
}

TEST(Position, TellsNotesOfTheGroundWithTheirPlace) {
    const std::vector<SeabedNote> notes = {{"soft mud", "SBDARE #1", 120.9, 44.6},
                                           {"rock", "SBDARE #2", 0, 0}};
    EXPECT_EQ(notes_text(notes), "soft mud, 120 m off, bearing 045°; rock here");
    EXPECT_EQ(notes_text(notes, {LengthUnit::foot, {}}), "soft mud, 396 ft off, bearing 045°; rock here");
    EXPECT_EQ(notes_text({}), "");
}

// A cable is 185.2 m, the international foot 0.3048 m.
TEST(PositionWords, SayWhatAChartLetsExpect) {
    ExpectedDepth expected;
    expected.areas = {{"DEPARE #12 Q1", 5.44, 9.0}, {"DEPARE #13 Q2", 9.0, 18.16}};
    EXPECT_EQ(expected_text(expected), "charted 5.4 to 18.2 m; no soundings within 370 m");
    EXPECT_EQ(areas_text(expected), "DEPARE #12 Q1; DEPARE #13 Q2");
    expected.soundings = 3;
    expected.least_m = 6;
    expected.greatest_m = 11.2;
    expected.nearest = {8.3, 120.9, 44.7};
    EXPECT_EQ(expected_text(expected), "charted 5.4 to 18.2 m; soundings 6.0 to 11.2 m within 370 m, nearest "
                                       "8.3 m, 120 m off, bearing 045°");
    EXPECT_EQ(
        expected_text(expected, {LengthUnit::foot, {}}),
        "charted 17.8 to 59.6 ft; soundings 19.6 to 36.8 ft within 1213 ft, nearest 27.2 ft, 396 ft off, "
        "bearing 045°");
    ExpectedDepth same = expected;
    same.least_m = same.greatest_m = 6.7;
    same.nearest = {6.7, 0, 0};
    EXPECT_EQ(soundings_text(same), "6.7 m within 370 m, nearest 6.7 m here");
    expected.nearest = {8.3, 0, 0};
    expected.doubtful = 2;
    expected.doubtful_least_m = 3.19;
    EXPECT_EQ(soundings_text(expected), "6.0 to 11.2 m within 370 m, nearest 8.3 m here; of 2 doubtful ones, "
                                        "left out, the least is 3.1 m");
    expected.areas.back().to_m.reset();
    EXPECT_EQ(charted_text(expected), "5.4 m or more, deep edge not charted");
    Shortfall rode;
    rode.bit = reason::of_way(Way::full, reason::OfWay::rode);
    rode.needed = std::numeric_limits<double>::quiet_NaN();
    rode.there = 60;
    EXPECT_EQ(sentence_of(rode),
              "full scope needs more rode than is aboard: the deep edge of the area is not charted");
}

TEST(Position, ASteepCellIsToldWhateverLayersAreWanted) {
    Sea sea;
    sea.set(41, 40, 3.5F); // half a metre in two
    const OverlayScene made = sea.scene();
    OverlayJob job = made.job();
    const Georeference georeference(sea.grid, "sea");
    for (const LayerSet wanted : {LayerSet::all(), LayerSet{}}) {
        job.wanted = wanted;
        const PositionReport report = examine(job, georeference, 40, 40);
        EXPECT_NE(report.answer.advice & advice::steep, 0);
        EXPECT_NEAR(static_cast<double>(report.facts.slope), 0.25, 1e-5);
        EXPECT_GE(static_cast<double>(report.facts.slope), 0.25);
    }
}

TEST(Position, TheSlopeIsTheSteepestToAnyOfEightNeighbours) {
    for (int row = -1; row <= 1; ++row) {
        for (int col = -1; col <= 1; ++col) {
            if (col == 0 && row == 0) continue;
            for (const float rise_m : {0.75F, -0.75F}) {
                Sea sea;
                sea.set(40 + col, 40 + row, 4.0F + rise_m);
                OverlayScene made = sea.scene();
                made.metric = GroundMetric::uniform(Sea::side, 2, 3);
                const PositionReport report = examine(made.job(), Georeference(sea.grid, "sea"), 40, 40);
                const double slope = 0.75 / std::hypot(2 * col, 3 * row);
                EXPECT_NEAR(static_cast<double>(report.facts.slope), slope, 1e-5 * slope)
                    << col << ' ' << row;
                EXPECT_GE(static_cast<double>(report.facts.slope), slope) << col << ' ' << row;
            }
        }
    }
    Sea gap; // a neighbour without a depth says nothing
    gap.set(41, 40, std::numeric_limits<float>::quiet_NaN());
    EXPECT_EQ(gap.look().facts.slope, 0);
}

TEST(Position, UncertaintyThatGrowsWithDepthHidesNoSlope) {
    // A metre deeper is known half a metre worse: the shoal side rises half as steeply as the seabed, the
    // deep side more.
    Sea sea;
    sea.set(41, 40, 3.5F);
    OverlayScene made = sea.scene();
    made.depths = memory_bathymetry(sea.grid, sea.depth_m, DepthUncertainty::linear(0, 0.5));
    made.tables = std::make_unique<TackleTables>(made.tables->boat(), made.tables->conditions(), 3);
    const PositionReport report = examine(made.job(), Georeference(sea.grid, "sea"), 40, 40);
    EXPECT_GE(static_cast<double>(report.facts.slope), 0.25);
}

TEST(Position, ACellThatIsNotSurveyedHasNoWays) {
    Sea sea;
    sea.set(40, 40, std::numeric_limits<float>::quiet_NaN());
    const PositionReport report = sea.look();
    EXPECT_EQ(report.answer.verdict, Verdict::unsurveyed);
    EXPECT_TRUE(report.ways.empty());
    EXPECT_TRUE(std::isnan(report.depth_low_m));
    EXPECT_TRUE(std::isnan(report.depth_high_m));
    ASSERT_EQ(report.shortfalls.size(), 1u);
    EXPECT_EQ(report.shortfalls[0].bit, reason::unsurveyed);
}

TEST(Position, LiesAtTheMiddleOfItsCell) {
    const Sea sea;
    const Georeference georeference(sea.grid, "sea");
    const OverlayScene made = sea.scene();
    const PositionReport report = examine(made.job(), georeference, 7, 11);
    const GridPoint back = georeference.grid_point(report.centre);
    EXPECT_NEAR(back.x, 7.5, 1e-6);
    EXPECT_NEAR(back.y, 11.5, 1e-6);
}

} // namespace
} // namespace swingroom
