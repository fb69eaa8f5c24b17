// What there is, opened once: a part of it answers as the whole does, and many small parts cost little.

#include "swingroom/sea/sea.hpp"

#include "support/burnt_seabeds.hpp"
#include "support/open_data.hpp"
#include "support/warning_lines.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <ctime>
#include <filesystem>
#include <iostream>
#include <optional>
#include <random>
#include <string>

namespace swingroom {
namespace {

using testing_support::burnt_seabeds;

const std::string cells = SWINGROOM_TESTDATA "/cells/";
const std::string haven = SWINGROOM_TESTDATA "/haven/";

SeaRequest charts_alone() {
    SeaRequest request;
    request.charts = {cells + "QQ5HAVEN.000", cells + "QQ3APPRO.000"};
    request.rules = default_hazard_rules();
    return request;
}

SeaRequest chart_over_raster() {
    SeaRequest request = charts_alone();
    BathymetryRequest raster;
    raster.file = haven + "bathymetry.tif";
    raster.positive_down = false;
    raster.chart_datum_m = 0;
    raster.uncertainty = DepthUncertainty::parse("0.2", "test");
    request.bathymetry = {raster};
    request.hazards = {haven + "cables.geojson"};
    return request;
}

bool same(float a, float b) { return a == b || (std::isnan(a) && std::isnan(b)); }

/// Everything that cells are told of a window, from a part and from the whole.
void expect_same(const SeaPart& part, const SeaPart& whole, Window window) {
    DepthPlanes here, there;
    part.depths->read(window, here);
    whole.depths->read(window, there);
    Plane<Effects> effects(window, 0), all_effects(window, 0);
    part.hazards->burn(effects);
    whole.hazards->burn(all_effects);
    const Plane<Seabed> seabed = burnt_seabeds(*part.hazards, window, Seabed::unknown);
    const Plane<Seabed> all_seabed = burnt_seabeds(*whole.hazards, window, Seabed::unknown);
    ASSERT_EQ(here.source.size(), there.source.size());
    ASSERT_EQ(here.differs.size(), there.differs.size());
    for (int row = window.row; row < window.row_end(); ++row) {
        for (int col = window.col; col < window.col_end(); ++col) {
            ASSERT_TRUE(same(here.shoal_m.at(col, row), there.shoal_m.at(col, row))) << col << ' ' << row;
            ASSERT_TRUE(same(here.deep_m.at(col, row), there.deep_m.at(col, row))) << col << ' ' << row;
            if (here.source.size() > 0) {
                ASSERT_EQ(here.source.at(col, row), there.source.at(col, row)) << col << ' ' << row;
            }
            if (here.differs.size() > 0) {
                ASSERT_EQ(here.differs.at(col, row), there.differs.at(col, row)) << col << ' ' << row;
            }
            ASSERT_EQ(effects.at(col, row), all_effects.at(col, row)) << col << ' ' << row;
            ASSERT_EQ(seabed.at(col, row), all_seabed.at(col, row)) << col << ' ' << row;
        }
    }
    EXPECT_EQ(part.depths->greatest_uncertainty_m(), whole.depths->greatest_uncertainty_m());
}

void expect_parts_like_the_whole(const SeaRequest& request, int parts, int most_cells) {
    const Sea sea(request);
    const Window all = sea.grid().extent();
    const SeaPart whole = sea.part(all, 0);
    EXPECT_LE(whole.depths->greatest_uncertainty_m(), sea.greatest_uncertainty_m());
    std::mt19937 dice(4);
    for (int i = 0; i < parts; ++i) {
        std::uniform_int_distribution<int> cols(1, std::min(most_cells, all.cols)),
            rows(1, std::min(most_cells, all.rows));
        Window window{0, 0, cols(dice), rows(dice)};
        window.col = std::uniform_int_distribution<int>(0, all.cols - window.cols)(dice);
        window.row = std::uniform_int_distribution<int>(0, all.rows - window.rows)(dice);
        SCOPED_TRACE(testing::Message() << window.cols << " x " << window.rows << " cells from " << window.col
                                        << ", " << window.row);
        const SeaPart part = sea.part(window, 0);
        EXPECT_EQ(told_all(part.found.warnings), told_all(whole.found.warnings));
        EXPECT_EQ(part.found.files, whole.found.files);
        EXPECT_LE(part.hazards->hazards().size(), whole.hazards->hazards().size());
        expect_same(part, whole, window);
        if (testing::Test::HasFatalFailure()) return;
    }
}

TEST(Sea, APartOfItAnswersAsTheWhole) { expect_parts_like_the_whole(charts_alone(), 30, 300); }

TEST(Sea, APartOfAChartOverARasterAnswersAsTheWhole) {
    expect_parts_like_the_whole(chart_over_raster(), 15, 200);
}

TEST(Sea, APartOfAChartOverASurveyAnswersAsTheWhole) {
    SeaRequest request = chart_over_raster();
    request.bathymetry.front().survey = true;
    expect_parts_like_the_whole(request, 25, 120);
}

TEST(Sea, APartOfAnOpenChartAnswersAsTheWhole) {
    const std::string data = testing_support::open_data();
    if (data.empty()) GTEST_SKIP() << testing_support::no_open_data;
    for (const char* const cell : {"chesapeake-enc/US4MD81M.000", "key-west-enc/US5FL4DR.000"}) {
        SCOPED_TRACE(cell);
        SeaRequest request;
        request.charts = {data + cell};
        request.rules = default_hazard_rules();
        request.cell_m = 25;
        request.zone_margin = true;
        expect_parts_like_the_whole(request, 12, 250);
    }
}

TEST(Sea, FarFromAHazardAPartHoldsItNot) {
    const Sea sea(charts_alone());
    const SeaPart whole = sea.part(sea.grid().extent(), 0), part = sea.part({0, 0, 40, 40}, 0);
    EXPECT_LT(part.hazards->hazards().size(), whole.hazards->hazards().size() / 2);
}

TEST(Sea, BeyondAPartNothingCountsAsFree) {
    const Sea sea(charts_alone());
    const Window here{100, 100, 40, 30}, wider{90, 95, 60, 40};
    const SeaPart part = sea.part(here, 0);
    Plane<Effects> effects(wider, 0);
    part.hazards->burn(effects);
    int beyond = 0;
    for (int row = wider.row; row < wider.row_end(); ++row) {
        for (int col = wider.col; col < wider.col_end(); ++col) {
            if (!here.contains(col, row)) {
                ++beyond;
                EXPECT_EQ(effects.at(col, row) & (effect::hull | effect::ground),
                          effect::hull | effect::ground);
            }
        }
    }
    EXPECT_EQ(beyond, 60 * 40 - 40 * 30);
}

TEST(Sea, IsReadOnceForBoatsAndLevelsThatSeeDifferentDangers) {
    // The haven's wreck of 6.4 m, less the uncertainty of its zone, is deep enough for one and not for
    // another.
    const Sea sea(charts_alone());
    const SeaPart part = sea.part(sea.grid().extent(), 0);
    const auto dangers = [&](double required_depth_m, double low_water_m) {
        HullNeeds hull;
        hull.required_depth_m = required_depth_m;
        hull.low_water_m = low_water_m;
        const std::vector<Effects> effects = effects_on(part.hazards->hazards(), hull);
        return std::count_if(effects.begin(), effects.end(),
                             [](Effects e) { return (e & effect::hull) != 0; });
    };
    const auto any_hull = std::count_if(part.hazards->hazards().begin(), part.hazards->hazards().end(),
                                        [](const Hazard& h) { return (h.effects & effect::hull) != 0; });
    EXPECT_LT(dangers(1, 0), dangers(8, 0));
    EXPECT_EQ(dangers(8, 0), dangers(12, 4));
    EXPECT_EQ(dangers(1e4, 0), any_hull);
    // Of those that state a depth, all are cleared by who needs none.
    for (const Hazard& hazard : part.hazards->hazards()) {
        if (hazard.least_depth_m) {
            EXPECT_EQ(effects_on(hazard, HullNeeds{*hazard.least_depth_m, 0}) & effect::hull, 0)
                << hazard.label;
            EXPECT_NE(effects_on(hazard, HullNeeds{*hazard.least_depth_m + 0.01, 0}) & effect::hull, 0)
                << hazard.label;
        }
    }
}

/// Twenty looks at single cells after the chart is open, against opening it for one.
TEST(Sea, ManySmallPartsCostLittleOnceItIsOpen) {
    SeaRequest request = charts_alone();
    if (const std::string data = testing_support::open_data(); !data.empty()) {
        request.charts = {data + "chesapeake-enc/US4MD81M.000"};
    }
    const auto seconds = [](std::clock_t since) {
        return static_cast<double>(std::clock() - since) / CLOCKS_PER_SEC;
    };
    const auto look = [](const Sea& sea, int i) {
        const Window all = sea.grid().extent();
        const Window here{all.cols * (i + 1) / 22, all.rows * (i + 1) / 22, 1, 1};
        const SeaPart part = sea.part(here, 150);
        DepthPlanes depths;
        part.depths->read(here, depths);
    };
    std::clock_t begin = std::clock();
    {
        const Sea sea(request);
        look(sea, 0);
    }
    const double one_s = seconds(begin);
    begin = std::clock();
    const Sea sea(request);
    for (int i = 0; i < 20; ++i) {
        look(sea, i);
    }
    const double twenty_s = seconds(begin);
    std::cout << "one look " << one_s << " s, twenty " << twenty_s << " s\n";
    EXPECT_LT(twenty_s, 5 * one_s);
}

} // namespace
} // namespace swingroom
