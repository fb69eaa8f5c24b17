// What is drawn over the classes of a map: words that keep off each other, hazards as what they are, lines of
// depth, and no more of anything than can be seen.
#include "swingroom/publish/raster_layer.hpp"
#include "swingroom/sea/georeference.hpp"
#include "swingroom/sea/hazard_rules.hpp"

#include "publish/folder/finished_layers.hpp"
#include "publish/styles/colour_text.hpp"
#include "report/map_contours.hpp"
#include "report/map_furniture.hpp"
#include "report/map_labels.hpp"
#include "report/map_legend.hpp"
#include "report/map_marks.hpp"
#include "report/map_path.hpp"
#include "report/map_style.hpp"
#include "report/map_ways.hpp"
#include "report/report_map.hpp"
#include "sea/gdal/gdal_start.hpp"
#include "unit/publish/scratch_folder.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <set>
#include <string>
#include <vector>

namespace swingroom {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;

Grid utm(int cols, int rows, double step_m) {
    return {cols, rows, 400'000, 5'300'000, step_m, -step_m, horizontal_crs_wkt("EPSG:32626", "test")};
}

std::size_t count_of(const std::string& text, const std::string& what) {
    std::size_t count = 0;
    for (std::size_t at = 0; (at = text.find(what, at)) != std::string::npos; at += what.size()) {
        ++count;
    }
    return count;
}

TEST(MapLabels, NeverMeetEachOtherOrLeaveTheMap) {
    MapLabels labels(400, 300, 6.6);
    std::vector<MapBox> taken;
    for (int i = 0; i < 60; ++i) {
        const std::string words(static_cast<std::size_t>(3 + i % 9), 'x');
        const auto place = labels.beside({(i * 97) % 400 * 1.0, (i * 61) % 300 * 1.0}, words, 8);
        if (!place.found) continue;
        const double half = 6.6 * static_cast<double>(words.size()) / 2;
        const MapBox box{place.at.x - half, place.at.y - 12, place.at.x + half, place.at.y + 2};
        EXPECT_TRUE(box.left >= 0 && box.right <= 400 && box.top >= 0 && box.bottom <= 300);
        for (const MapBox& other : taken) {
            EXPECT_FALSE(box.meets(other));
        }
        taken.push_back(box);
    }
    EXPECT_GT(taken.size(), 15U);
    EXPECT_LT(taken.size(), 60U) << "there is no room for all";
}

TEST(MapPath, LeavesOutWhatCannotBeSeen) {
    std::vector<GridPoint> line;
    for (int i = 0; i <= 1000; ++i) {
        line.push_back({i * 0.1, 20 * std::sin(i * 0.01) + (i % 2) * 0.1});
    }
    const auto kept = simplified(line, 0.3);
    EXPECT_LT(kept.size(), 60U);
    EXPECT_EQ(kept.front(), line.front());
    EXPECT_EQ(kept.back(), line.back());
    EXPECT_EQ(path_text({{1, 2}, {1.5, 2}, {1.5, 0}}, true), "M1 2h.5v-2Z");
    EXPECT_DOUBLE_EQ(size_of(line), 100);
}

/// A cone whose least depth is at its middle; a pixel a metre.
MapPlanes& cone(MapPlanes& planes, double metres_a_pixel, const Window& window) {
    BlockAnswers answers;
    answers.core = window;
    answers.map_class.reset(window, static_cast<std::uint8_t>(MapClass::no));
    Plane<float>& depths = answers.plane<Layer::depth_low>();
    depths.reset(window);
    for (int row = 0; row < window.rows; ++row) {
        for (int col = 0; col < window.cols; ++col) {
            const double off = std::hypot(col + 0.5 - window.cols / 2.0, row + 0.5 - window.rows / 2.0);
            depths.at(col, row) = static_cast<float>(off * metres_a_pixel);
        }
    }
    planes.take(answers);
    return planes;
}

TEST(Contours, OfAConeAreCirclesOfTheirDepth) {
    const Grid grid = utm(300, 300, 1);
    const Georeference georeference(grid, "test");
    const MapFrame frame(grid, georeference, grid.extent(), 900);
    MapPlanes planes(grid.extent());
    cone(planes, 0.11, grid.extent());
    const auto contours = depth_contours(planes, frame, {});
    std::vector<std::string> labels;
    for (const Contour& contour : contours) {
        labels.push_back(contour.label);
        ASSERT_EQ(contour.lines.size(), contour.label == "20" ? 4U : 1U) << contour.label;
        for (const GridPoint p : contour.lines.front()) {
            const double off_m = std::hypot(p.x - frame.width() / 2, p.y - frame.height() / 2) / 3;
            EXPECT_NEAR(off_m * 0.11, std::stod(contour.label), 0.05);
        }
    }
    EXPECT_THAT(labels, ::testing::ElementsAre("2", "5", "10", "20"));
    Measures feet;
    feet.length = LengthUnit::foot;
    const auto in_feet = depth_contours(planes, frame, feet);
    ASSERT_FALSE(in_feet.empty());
    EXPECT_EQ(in_feet.front().label, "6");
    const GridPoint first = in_feet.front().lines.front().front();
    EXPECT_NEAR(std::hypot(first.x - frame.width() / 2, first.y - frame.height() / 2) / 3 * 0.11, 6 * 0.3048,
                0.05);
}

TEST(Contours, OfNoiseAreBounded) {
    const Grid grid = utm(1000, 1000, 1);
    const Georeference georeference(grid, "test");
    MapPlanes planes(grid.extent());
    BlockAnswers answers;
    answers.core = grid.extent();
    answers.map_class.reset(answers.core, 0);
    answers.plane<Layer::depth_low>().reset(answers.core);
    unsigned state = 1;
    for (std::size_t i = 0; i < 1'000'000; ++i) {
        state = state * 1664525U + 1013904223U;
        answers.plane<Layer::depth_low>().data()[i] = static_cast<float>(state >> 20U) * 0.05F;
    }
    planes.take(answers);
    std::size_t vertices = 0;
    for (const Contour& contour :
         depth_contours(planes, MapFrame(grid, georeference, grid.extent(), 1000), {})) {
        for (const auto& line : contour.lines) {
            vertices += line.size();
        }
    }
    EXPECT_LE(vertices, 20'000U);
}

Hazard point(const std::string& kind, double x, double y) {
    Hazard hazard;
    hazard.kind = kind;
    hazard.effects = effect::hull;
    hazard.paths = {{{x, y}}};
    return hazard;
}

TEST(MapMarks, EachKindIsDrawnAsItselfAndThreeThousandAreThinned) {
    const Grid grid = utm(500, 500, 2);
    const Georeference georeference(grid, "test");
    const MapFrame frame(grid, georeference, grid.extent(), 1000);
    const auto at_sea = [](GridPoint) { return false; };
    MapMarks marks(frame);
    marks.add(point("wreck", 50, 60), {0, 0}, at_sea);
    marks.add(point("wreck under the hull", 50, 60), {0, 0}, at_sea); // another rule of the same
    marks.add(point("near a wreck", 50, 60), {0, 0}, at_sea);
    EXPECT_EQ(marks.shown(), std::set<Sign>{Sign::wreck});
    EXPECT_EQ(marks.points().size(), 1U);
    EXPECT_NEAR(marks.points().front().x, 100, 1e-6);
    Hazard cable = point("cable", 0, 0);
    cable.paths = {{{10, 10}, {400, 380}}};
    marks.add(cable, {0, 0}, at_sea);
    EXPECT_THAT(marks.drawing().str(), HasSubstr("s-cable over"));
    for (int i = 0; i < 3000; ++i) {
        marks.add(point("rock", 100 + i % 60 * 0.5, 100 + i / 60 * 0.5), {0, 0}, at_sea);
    }
    EXPECT_LT(marks.points().size(), 130U); // 60 by 50 units, a sign to 9 by 9
    EXPECT_LT(marks.drawing().size(), 40'000U);
    MapLabels labels(frame.width(), frame.height(), 6.6);
    const std::string names = marks.names(labels).str();
    EXPECT_EQ(count_of(names, ">wreck<"), 1U);
    EXPECT_THAT(names, HasSubstr(">cable<"));
    EXPECT_LE(count_of(names, ">rock<"), 2U);
}

TEST(MapMarks, OfOneFeatureHaveTheSignThatTellsMost) {
    const Grid grid = utm(500, 500, 2);
    const Georeference georeference(grid, "test");
    const MapFrame frame(grid, georeference, grid.extent(), 1000);
    const auto at_sea = [](GridPoint) { return false; };
    MapMarks marks(frame);
    marks.add(point("rock", 50, 60), {0, 0}, at_sea);
    marks.add(point("near a rock", 50, 60), {0, 0}, at_sea);
    marks.add(point("dries or floats", 50, 60), {0, 0}, at_sea);
    marks.add(point("dries or floats", 200, 60), {0, 0}, at_sea); // in whatever order
    marks.add(point("wreck that shows", 200, 60), {0, 0}, at_sea);
    EXPECT_EQ(marks.shown(), (std::set<Sign>{Sign::rock, Sign::wreck}));
    EXPECT_EQ(marks.points().size(), 2U);
    EXPECT_THAT(marks.drawing().str(), Not(HasSubstr("s-obstr")));
    MapLabels labels(frame.width(), frame.height(), 6.6);
    EXPECT_THAT(marks.names(labels).str(), Not(HasSubstr("obstruction")));
    marks.add(point("dries or floats", 400, 60), {0, 0}, at_sea);
    EXPECT_TRUE(marks.shown().contains(Sign::obstruction)) << "where there is no other sign";
}

TEST(MapMarks, OnLandAreLeftOut) {
    const Grid grid = utm(500, 500, 2);
    const Georeference georeference(grid, "test");
    MapMarks marks(MapFrame(grid, georeference, grid.extent(), 1000));
    marks.add(point("rock", 60, 60), {0, 0}, [](GridPoint p) { return p.x < 500; });
    EXPECT_TRUE(marks.shown().empty());
    marks.add(point("rock", 300, 60), {0, 0}, [](GridPoint p) { return p.x < 500; });
    EXPECT_EQ(marks.points().size(), 1U);
}

TEST(MapMarks, EveryRuleThatForbidsHasASignOfItsOwnOrIsAnArea) {
    for (const HazardRule& rule : default_hazard_rules()) {
        Hazard hazard = point(rule.name, 0, 0);
        hazard.effects = rule.effects;
        hazard.paths.clear();
        hazard.rings = {{{0, 0}, {1, 0}, {1, 1}, {0, 0}}};
        EXPECT_NE(sign_of(hazard), Sign::danger) << rule.name;
    }
}

TEST(ReportMap, TheBestSpotsAreNumberedHoweverCloseTheyLie) {
    const swingroom::testing::ScratchFolder folder;
    const Grid grid = utm(500, 500, 2);
    LayerSpec spec;
    spec.name = "verdict";
    spec.type = CellType::uint8;
    RasterLayer layer(folder.path(), spec, grid, {}, 1);
    layer.write(Plane<std::uint8_t>(grid.extent(), 4));
    layer.finish();
    const FinishedVerdicts verdicts(folder.path());
    const Georeference georeference(verdicts.grid(), "test");
    ReportMap map(verdicts, MapFrame(verdicts.grid(), georeference, grid.extent(), 1000), "map");
    const auto add = [&](double col, std::size_t number) {
        const LonLat at = georeference.lonlat({col, 250});
        FinishedFeature spot;
        spot.rings = {{{at.lon, at.lat}}};
        spot.properties = {{"radius_m", 30.0}};
        map.add_spot(spot, number);
    };
    add(250, 1);
    add(252.5, 2); // 5 units beside it
    add(255, 5);
    const std::string svg = map.svg("title", "description", MapColours::day).str();
    EXPECT_THAT(svg, HasSubstr(">1</text>"));
    EXPECT_THAT(svg, HasSubstr(">2</text>"));
    EXPECT_THAT(svg, Not(HasSubstr(">5</text>"))) << "a dot";
    EXPECT_EQ(count_of(svg, "<g class=\"dot\""), 2U);
    EXPECT_EQ(count_of(svg, "<path class=\"swing\""), 1U) << "from the dot to the number";
}

TEST(MapLegend, ListsWhatIsOnTheMapAndNothingElse) {
    start_gdal(); // swatches are PNGs
    MapShown shown;
    EXPECT_TRUE(map_legend(shown, {}, MapColours::page).empty());
    shown.classes[static_cast<std::size_t>(MapClass::land)] = true;
    shown.signs = {Sign::wreck};
    shown.margins = {"x-ground"};
    shown.contours = true;
    Measures feet;
    feet.length = LengthUnit::foot;
    std::vector<std::string> words;
    for (const LegendItem& item : map_legend(shown, feet, MapColours::day)) {
        words.push_back(item.words);
        EXPECT_FALSE(item.sign.empty());
    }
    EXPECT_THAT(words, ::testing::ElementsAre("land", "depth at low water, ft",
                                              "margin of what anchor and chain must not meet", "wreck"));
}

TEST(MapStyle, OfADrawingByItselfHasNoVariableAndIsOfOneTimeOfDay) {
    for (const MapColours colours : {MapColours::day, MapColours::night}) {
        const std::string sheet = map_style(colours).str();
        EXPECT_THAT(sheet, Not(HasSubstr("var(")));
        EXPECT_THAT(sheet, Not(HasSubstr("&"))); // what a style of HTML would not read as it is meant
        for (const MapInk& ink : map_inks) {
            EXPECT_THAT(sheet, HasSubstr(hex_colour(colours == MapColours::day ? ink.day : ink.night)));
        }
    }
    EXPECT_THAT(map_style(MapColours::page).str(), HasSubstr("prefers-color-scheme: dark"));
}

TEST(Strip, IsInTheUnitAskedForAndHasAnArrowWhereNorthIsNotUp) {
    const Grid upright = utm(400, 300, 2);
    Grid leaning = upright; // far from the zone's middle meridian
    leaning.origin_x = 1'200'000;
    const Georeference up(upright, "test"), lean(leaning, "test");
    const MapFrame of_up(upright, up, upright.extent(), 1000), of_lean(leaning, lean, leaning.extent(), 1000);
    Measures feet;
    feet.length = LengthUnit::foot;
    EXPECT_THAT(scale_strip(of_lean, {}, false).str(), HasSubstr("class=\"north\""));
    EXPECT_THAT(scale_strip(of_up, {}, false).str(), HasSubstr(" m<"));
    EXPECT_THAT(scale_strip(of_up, feet, false).str(), HasSubstr(" ft<"));
    EXPECT_THAT(scale_strip(of_up, feet, false).str(), Not(HasSubstr(" m<")));
}

TEST(Strip, OfAWholeCoastIsInKilometresOrInMilesAlone) {
    const Grid coast = utm(400, 300, 1000);
    const Georeference georeference(coast, "test");
    const MapFrame frame(coast, georeference, coast.extent(), 1000);
    Measures feet;
    feet.length = LengthUnit::foot;
    const std::string metric = scale_strip(frame, {}, true).str(),
                      in_feet = scale_strip(frame, feet, true).str();
    // 200 of 1000 units across 400 km are 80 km, of which 50 is round; 43 nm, of which 20 is.
    EXPECT_THAT(metric, HasSubstr(">50 km<"));
    EXPECT_THAT(metric, Not(HasSubstr(" m<")));
    EXPECT_THAT(in_feet, HasSubstr(">20 nm<"));
    EXPECT_THAT(in_feet, Not(HasSubstr(" ft<")));
}

/// A way of two legs over a grid of 400 by 300 cells of 2 m, its sill on the first; columns and rows.
Approach made_way(const Georeference& georeference, GridPoint from, GridPoint turn, GridPoint to) {
    const LonLat a = georeference.lonlat(from), b = georeference.lonlat(turn), c = georeference.lonlat(to);
    Approach way;
    way.legs = {{a, b, 200, 0, 1.82}, {b, c, 200, 45, 3.19}};
    way.sill = {{}, georeference.lonlat({(from.x + turn.x) / 2, (from.y + turn.y) / 2}), 1.829, 0.93, ""};
    return way;
}

TEST(MapWays, DrawWhatSeveralShareOnceWithTheirDirection) {
    const Grid grid = utm(400, 300, 2);
    const Georeference georeference(grid, "test");
    const MapFrame frame(grid, georeference, grid.extent(), 800); // two units to a cell
    MapWays ways(frame);
    EXPECT_TRUE(ways.lines().empty());
    EXPECT_FALSE(ways.any_line() || ways.any_sill());
    ways.add(made_way(georeference, {200, 300}, {200, 200}, {300, 100}), true);
    ways.add(made_way(georeference, {200, 300}, {200, 200}, {100, 100}), true);
    ways.add(made_way(georeference, {300, 300}, {300, 290}, {310, 280}), false);
    ways.add({}, true); // one that begins where it ends
    const std::string lines = ways.lines().str();
    EXPECT_EQ(count_of(lines, "class=\"way\""), 5U) << "the first leg is shared";
    EXPECT_THAT(lines, HasSubstr("rotate(45)"));
    EXPECT_THAT(lines, HasSubstr("rotate(-45)"));
    EXPECT_EQ(count_of(ways.sills().str(), "class=\"sill\""), 1U)
        << "two are the same, and one is in deep water";
    EXPECT_THAT(ways.sills().str(), HasSubstr("translate(400.0 500.0)"));
    MapLabels labels(800, 600, 6.6);
    EXPECT_THAT(ways.words(labels, {}).str(), HasSubstr(">sill 1.82<")) << "never deeper than it is";
    MapLabels in_feet(800, 600, 6.6);
    EXPECT_THAT(ways.words(in_feet, {LengthUnit::foot, {}}).str(), HasSubstr(">sill 6.00<")); // 6.0006 ft
}

TEST(MapWays, LeaveOutWhatLiesBesideTheMapAndKeepWordsOffTheirLines) {
    const Grid grid = utm(400, 300, 2);
    const Georeference georeference(grid, "test");
    const MapFrame inset(grid, georeference, {250, 50, 100, 100}, 480);
    MapWays ways(inset);
    ways.add(made_way(georeference, {200, 300}, {200, 200}, {300, 100}), true);
    EXPECT_TRUE(ways.any_line()) << "the last leg ends in it";
    EXPECT_FALSE(ways.any_sill());
    EXPECT_TRUE(ways.sills().empty());
    MapLabels labels(480, 480, 6.6);
    ways.keep_clear(labels);
    const GridPoint end = inset.of_cell({300, 100});
    EXPECT_FALSE(labels.upon(end, "depth").found);
    EXPECT_TRUE(labels.upon({end.x + 100, end.y}, "depth").found);
}

TEST(MapLegend, ListsWaysAndSillsWhereThereAreSuch) {
    start_gdal(); // swatches are PNGs
    MapShown shown;
    const auto words_of = [&] {
        std::string words;
        for (const LegendItem& item : map_legend(shown, {}, MapColours::day)) {
            words += item.words + "\n";
        }
        return words;
    };
    EXPECT_EQ(words_of(), "");
    shown.ways = shown.sills = shown.shut = true;
    shown.classes[static_cast<std::size_t>(MapClass::out_of_reach)] = true;
    EXPECT_EQ(words_of(), "no way in, though room and depth would do\n"
                          "drop point to which no way leads\n"
                          "way in to one of the best places\n"
                          "sill of a way in, below chart datum, m\n");
}

} // namespace
} // namespace swingroom
