#include "swingroom/base/error.hpp"
#include "swingroom/sea/bathymetry.hpp"

#include "support/fact_lines.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <ogr_spatialref.h>

#include <cmath>
#include <cstdint>
#include <limits>
#include <memory>
#include <string>
#include <thread>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

using testing::HasSubstr;

constexpr float none = std::numeric_limits<float>::quiet_NaN();

std::string wkt_of(const char* crs) {
    OGRSpatialReference srs;
    EXPECT_EQ(srs.SetFromUserInput(crs), OGRERR_NONE);
    char* text = nullptr;
    const char* const options[] = {"FORMAT=WKT2_2019", nullptr};
    srs.exportToWkt(&text, options);
    std::string wkt = text;
    CPLFree(text);
    return wkt;
}

/// A source with a name, and a count of the cells that it was asked for.
class Named final : public DepthSource {
public:
    Named(std::string name, std::unique_ptr<DepthSource> source)
        : name_(std::move(name)), source_(std::move(source)) {}
    [[nodiscard]] const Grid& grid() const override { return source_->grid(); }
    void read(Window where, DepthPlanes& depths) const override {
        most_cells_ = std::max(most_cells_, where.cells());
        source_->read(where, depths);
    }
    [[nodiscard]] std::int64_t decoded_bytes(Window where) const override {
        return static_cast<std::int64_t>(common(where, grid().extent()).cells()); // a byte each
    }
    [[nodiscard]] double greatest_uncertainty_m() const override { return source_->greatest_uncertainty_m(); }
    [[nodiscard]] std::vector<Fact> assumptions() const override { return source_->assumptions(); }
    [[nodiscard]] std::vector<std::string> files() const override { return {name_}; }
    [[nodiscard]] std::vector<std::string> sources() const override { return {name_}; }
    [[nodiscard]] std::size_t most_cells() const { return most_cells_; }

private:
    std::string name_;
    std::unique_ptr<DepthSource> source_;
    mutable std::size_t most_cells_ = 0;
};

std::unique_ptr<Named> raster(const std::string& name, Grid grid, std::vector<float> depths,
                              const DepthUncertainty& uncertainty = DepthUncertainty::none()) {
    return std::make_unique<Named>(name, memory_bathymetry(std::move(grid), std::move(depths), uncertainty));
}
/// All of one depth.
std::unique_ptr<Named> flat(const std::string& name, const Grid& grid, float depth) {
    return raster(name, grid, std::vector<float>(grid.extent().cells(), depth));
}

template <class... Rasters>
std::unique_ptr<DepthSource> together(Rasters... rasters) {
    std::vector<std::unique_ptr<DepthSource>> all;
    (all.push_back(std::move(rasters)), ...);
    return mosaic(std::move(all));
}

const std::string& utm() {
    static const std::string wkt = wkt_of("EPSG:32631");
    return wkt;
}
const std::string& degrees() {
    static const std::string wkt = wkt_of("EPSG:4326");
    return wkt;
}

/// One row of a plane as text, the depths as whole metres, a dot for none.
template <class T>
std::string row_of(const Plane<T>& plane, int row) {
    std::string text;
    for (int col = plane.window().col; col < plane.window().col_end(); ++col) {
        const auto value = static_cast<double>(plane.at(col, row));
        text += (text.empty() ? "" : " ") +
                (std::isnan(value) ? std::string(".") : std::to_string(std::lround(value)));
    }
    return text;
}

TEST(Mosaic, EachCellTakesTheShoalestAndTheDeepestOfAllItTouches) {
    // Cells of 10 m; those of the other are 30 m and begin 10 m to the left: two meet in the second's middle.
    const Grid fine{6, 1, 600'000, 5'900'000, 10, -10, utm()},
        coarse{3, 1, 599'985, 5'900'005, 30, -30, utm()};
    const auto both = together(raster("coarse", coarse, {3, 7, 5}),
                               raster("fine", fine, {none, none, 1, none, none, none}));
    ASSERT_EQ(both->sources(), (std::vector<std::string>{"fine", "coarse"}));
    DepthPlanes depths;
    both->read(both->grid().extent(), depths);
    ASSERT_EQ(both->grid().cols,
              10); // two more to the left, two to the right, half of one outside the raster
    ASSERT_EQ(both->grid().rows, 4);
    EXPECT_EQ(both->grid().origin_x, 599'980);
    EXPECT_EQ(both->grid().origin_y, 5'900'010);
    EXPECT_EQ(row_of(depths.shoal_m, 1), ". 3 3 3 1 7 5 5 5 .");
    EXPECT_EQ(row_of(depths.deep_m, 1), ". 3 3 7 1 7 7 5 5 .");
    EXPECT_EQ(row_of(depths.source, 1), "0 2 2 2 1 2 2 2 2 0");
    EXPECT_EQ(row_of(depths.shoal_m, 0), ". . . . . . . . . .");
}

TEST(Mosaic, OfTwoAsFineTheFirstThatIsGivenCountsAndEdgesThatFitLeaveNoSeam) {
    const Grid left{3, 2, 600'000, 5'900'000, 10, -10, utm()},
        right{3, 2, 600'020, 5'900'000, 10, -10, utm()}, wide{4, 1, 599'980, 5'900'000, 20, -20, utm()};
    const auto read = [&](bool left_first) {
        std::vector<std::unique_ptr<DepthSource>> rasters;
        rasters.push_back(flat("wide", wide, 9));
        rasters.push_back(left_first ? flat("left", left, 4) : flat("right", right, 6));
        rasters.push_back(left_first ? flat("right", right, 6) : flat("left", left, 4));
        const auto all = mosaic(std::move(rasters));
        DepthPlanes depths;
        all->read(all->grid().extent(), depths);
        return row_of(depths.shoal_m, 0) + " / " + row_of(depths.source, 0);
    };
    EXPECT_EQ(read(true), "9 9 4 4 4 6 6 9 / 3 3 1 1 1 2 2 3");
    EXPECT_EQ(read(false), "9 9 4 4 6 6 6 9 / 3 3 2 2 1 1 1 3");
}

TEST(Mosaic, ARasterThatGoesAroundTheGlobeHasNoSeam) {
    const Grid fine{4, 2, 179, 1, 0.5, -0.5, degrees()}, world{360, 180, -180, 90, 1, -1, degrees()};
    std::vector<float> depths(world.extent().cells());
    for (std::size_t i = 0; i < depths.size(); ++i) {
        depths[i] = static_cast<float>(i % 360);
    }
    const auto both = together(flat("fine", fine, none), raster("world", world, std::move(depths)));
    EXPECT_EQ(both->grid().cols, 720);
    EXPECT_EQ(both->grid().rows, 360);
    const int at_180 = static_cast<int>(both->grid().col_of(180)),
              north = static_cast<int>(both->grid().row_of(1));
    DepthPlanes seen;
    both->read({at_180 - 3, north, 6, 1}, seen);
    EXPECT_EQ(row_of(seen.shoal_m, north), "358 359 359 0 0 1");
    // The same water by cells that straddle the seam.
    const Grid beside{4, 2, 178.75, 1, 0.5, -0.5, degrees()};
    const auto askew = together(flat("beside", beside, none), flat("world", world, 8));
    const int first = static_cast<int>(askew->grid().col_of(178.75));
    askew->read({first, static_cast<int>(askew->grid().row_of(1)), 4, 1}, seen);
    EXPECT_EQ(row_of(seen.shoal_m, seen.shoal_m.window().row), "8 8 8 8");
}

TEST(Mosaic, ReadsOfACoarserRasterOnlyWhatAWindowNeeds) {
    const Grid fine{64, 64, 600'000, 5'900'000, 5, -5, utm()},
        coarse{1000, 1000, 4.4, 53.4, 0.0003, -0.0003, degrees()};
    auto seen = flat("coarse", coarse, 8);
    const Named& asked = *seen;
    const auto both = together(flat("fine", fine, none), std::move(seen));
    DepthPlanes depths;
    const Window middle{both->grid().cols / 2, both->grid().rows / 2, 300, 300};
    both->read(middle, depths);
    EXPECT_EQ(depths.shoal_m.at(middle.col, middle.row), 8);
    EXPECT_GT(asked.most_cells(), 0U);
    EXPECT_LT(asked.most_cells(), 128U * 128U);
}

TEST(Mosaic, DecodesAboutWhatEachRasterHasOfAWindow) {
    const Grid fine{10, 10, 600'000, 5'900'000, 10, -10, utm()},
        coarse{10, 10, 600'000, 5'900'100, 20, -20, utm()}; // half of it above, half of the rest to the right
    const auto both = together(flat("coarse", coarse, 4), flat("fine", fine, 5));
    ASSERT_EQ(both->grid().extent().cells(), 20U * 20U);
    EXPECT_EQ(both->decoded_bytes(both->grid().extent()), 100 + 100);
    EXPECT_EQ(both->decoded_bytes({0, 0, 20, 10}), 50) << "the coarse one alone is there";
    EXPECT_EQ(both->decoded_bytes({0, 10, 10, 10}), 100 + 25);
}

TEST(Mosaic, ManyThreadsMayReadAtOnce) {
    const Grid fine{300, 300, 600'000, 5'900'000, 10, -10, utm()},
        coarse{200, 200, 4.48, 53.26, 0.0005, -0.0004, degrees()};
    std::vector<float> depths(coarse.extent().cells());
    for (std::size_t i = 0; i < depths.size(); ++i) {
        depths[i] = static_cast<float>(i % 97);
    }
    const auto both = together(flat("fine", fine, none), raster("coarse", coarse, depths));
    DepthPlanes whole;
    both->read(both->grid().extent(), whole);
    std::vector<std::thread> threads;
    std::vector<int> wrong(4, 0);
    for (std::size_t t = 0; t < wrong.size(); ++t) {
        threads.emplace_back([&, t] {
            for (int row = static_cast<int>(t); row < both->grid().rows; row += 50) {
                DepthPlanes part;
                both->read({0, row, both->grid().cols, 1}, part);
                for (int col = 0; col < both->grid().cols; ++col) {
                    wrong[t] += part.source.at(col, row) != whole.source.at(col, row) ||
                                (part.source.at(col, row) != 0 &&
                                 part.shoal_m.at(col, row) != whole.shoal_m.at(col, row));
                }
            }
        });
    }
    for (std::thread& thread : threads) {
        thread.join();
    }
    EXPECT_EQ(wrong, std::vector<int>(4, 0));
}

TEST(Mosaic, PaysForWhatTheTieOfTwoDatumsLeavesOpen) {
    // NAD83 to WGS 84 is stated to 4 m (EPSG 1188): a cell within that of another's edge may lie in either.
    const Grid fine{20, 1, 600'000, 4'600'000, 2, -2, wkt_of("EPSG:32619")},
        coarse{2, 2, 600'000 - 80, 4'600'100, 100, -100, wkt_of("EPSG:26919")};
    const auto both = together(flat("fine", fine, none), raster("coarse", coarse, {3, 7, 3, 7}));
    EXPECT_THAT(told_all(both->assumptions()),
                testing::Contains(HasSubstr("coarse: datum tied to the grid's within 4 m")));
    DepthPlanes depths;
    const auto& grid = both->grid();
    const int row = static_cast<int>(grid.row_of(4'600'000 + 30));
    both->read({0, row, grid.cols, 1}, depths);
    const auto at = [&](double x) { return depths.shoal_m.at(static_cast<int>(grid.col_of(x)), row); };
    EXPECT_EQ(at(600'010), 3);
    EXPECT_EQ(at(600'021), 3); // past the edge at 600 020, but not by 4 m
    EXPECT_EQ(at(600'027), 7);
}

TEST(Mosaic, TiesDatumsByWayOfAThirdWhereTheDirectWayNeedsGridsThatAreNotThere) {
    // NAD83 to WGS 84, 4 m (EPSG 1188), and on to NAD83(2011), 2 m (EPSG 9774).
    const Grid fine{4, 4, 360'000, 4'769'000, 2, -2, wkt_of("EPSG:26919")},
        coarse{4, 4, 360'000, 4'769'000, 10, -10, wkt_of("EPSG:6348")};
    EXPECT_THAT(told_all(together(flat("fine", fine, 5), flat("coarse", coarse, 5))->assumptions()),
                testing::Contains(HasSubstr("coarse: datum tied to the grid's within 6 m")));
}

TEST(Mosaic, RefusesACrsThatNothingTies) {
    const Grid fine{4, 4, 600'000, 5'900'000, 10, -10, utm()};
    const Grid odd{
        4,
        4,
        3,
        53,
        0.001,
        -0.001,
        R"(GEOGCRS["odd",DATUM["odd",ELLIPSOID["odd",6378000,290]],CS[ellipsoidal,2],)"
        R"(AXIS["latitude",north],AXIS["longitude",east],ANGLEUNIT["degree",0.0174532925199433]])"};
    EXPECT_THROW(together(flat("fine", fine, 5), flat("odd", odd, 5)), InputError);
}

TEST(Mosaic, WhatOneKnowsOfAPartOfACellBoundsItWhoeverKnowsTheRest) {
    // Cells of 10 m. A rock of 6 m between the fourth and the fifth, amid nothing; below all of it 60 m wide
    // cells.
    const Grid fine{2, 1, 600'000, 5'900'000, 10, -10, utm()}, rock{3, 1, 600'030, 5'900'002, 12, -12, utm()},
        wide{4, 4, 599'940, 5'900'060, 60, -60, utm()};
    const auto all =
        together(flat("fine", fine, 9), raster("rock", rock, {none, 1, none}), flat("wide", wide, 8));
    ASSERT_EQ(all->sources(), (std::vector<std::string>{"fine", "rock", "wide"}));
    DepthPlanes depths;
    const int row = static_cast<int>(all->grid().row_of(5'900'000)),
              col = static_cast<int>(all->grid().col_of(600'000));
    all->read({col, row, 8, 1}, depths);
    EXPECT_EQ(row_of(depths.shoal_m, row), "9 9 8 8 1 1 8 8");
    EXPECT_EQ(row_of(depths.deep_m, row), "9 9 8 8 8 8 8 8");
    EXPECT_EQ(row_of(depths.source, row), "1 1 3 3 2 2 3 3");
}

TEST(Mosaic, TwoThatEndInACellKnowItTogetherOnlyIfNothingIsLeftBetweenThem) {
    const Grid fine{2, 1, 600'000, 5'900'000, 10, -10, utm()},
        left{2, 1, 600'020, 5'900'000, 12.5, -12.5, utm()};
    const auto row_with = [&](double right_begins) {
        const Grid right{2, 1, right_begins, 5'900'000, 13, -13, utm()};
        const auto all = together(flat("fine", fine, 9), flat("left", left, 5), flat("right", right, 7));
        DepthPlanes depths;
        const int row = static_cast<int>(std::floor(all->grid().row_of(5'899'999)));
        all->read({static_cast<int>(all->grid().col_of(600'000)), row, 6, 1}, depths);
        EXPECT_EQ(depths.partial.size(), 0U);
        return row_of(depths.shoal_m, row) + " / " + row_of(depths.deep_m, row);
    };
    EXPECT_EQ(row_with(600'045), "9 9 5 5 5 7 / 9 9 5 5 7 7");       // edge to edge
    EXPECT_EQ(row_with(600'045.00001), "9 9 5 5 5 7 / 9 9 5 5 7 7"); // but for the digits of a file
    EXPECT_EQ(row_with(600'046), "9 9 5 5 . 7 / 9 9 5 5 . 7");
    EXPECT_EQ(row_with(600'044), "9 9 5 5 5 7 / 9 9 5 5 7 7");
}

TEST(ChartOverRaster, APartThatARasterKnowsBoundsWhatTheChartSaysOfTheRest) {
    const Grid fine{2, 1, 600'000, 5'900'000, 10, -10, utm()}, rock{3, 1, 600'030, 5'900'002, 12, -12, utm()};
    auto rasters = together(flat("fine", fine, 9), raster("rock", rock, {none, 1, none}));
    const Grid grid = rasters->grid();
    const int row = static_cast<int>(grid.row_of(5'900'000)), col = static_cast<int>(grid.col_of(600'000));
    auto chart = raster("chart", grid, std::vector<float>(grid.extent().cells(), 6));
    const auto all = chart_over_raster(std::move(rasters), std::move(chart));
    DepthPlanes depths;
    all->read({col, row, 7, 1}, depths);
    EXPECT_EQ(row_of(depths.shoal_m, row), "6 6 6 6 1 1 6");
    EXPECT_EQ(row_of(depths.deep_m, row), "9 9 6 6 6 6 6");
    EXPECT_EQ(row_of(depths.source, row), "3 3 3 3 2 2 3");
    EXPECT_EQ(depths.partial.size(), 0U);
}

TEST(ChartOverRaster, TheShoalerCountsForTheKeelAndTheRastersDeepSideForTheRode) {
    const Grid grid{6, 1, 600'000, 5'900'000, 10, -10, utm()};
    // Of the raster 1 m, of the chart's contours 2 m to either side.
    const auto both =
        chart_over_raster(raster("raster", grid, {10, 10, 10, none, 10, none}, DepthUncertainty::constant(1)),
                          raster("chart", grid, {8, 12, 20, 6, none, none}, DepthUncertainty::constant(2)));
    EXPECT_EQ(both->sources(), (std::vector<std::string>{"raster", "chart"}));
    EXPECT_EQ(both->files(), (std::vector<std::string>{"raster", "chart"}));
    DepthPlanes depths;
    both->read({-1, 0, 8, 1}, depths);
    EXPECT_EQ(row_of(depths.shoal_m, 0), ". 6 9 9 4 9 . .");
    EXPECT_EQ(row_of(depths.deep_m, 0), ". 11 11 18 8 11 . .");
    EXPECT_EQ(row_of(depths.source, 0), "0 2 1 1 2 1 0 0");
    for (int col = 0; col < 6; ++col) {
        if (depths.source.at(col, 0) != 0) {
            EXPECT_LE(static_cast<double>(depths.deep_m.at(col, 0) - depths.shoal_m.at(col, 0)),
                      2 * both->greatest_uncertainty_m());
        }
    }
}

TEST(ChartOverRaster, OverAMosaicTheChartComesAfterAllRasters) {
    const Grid fine{2, 2, 600'000, 5'900'000, 10, -10, utm()},
        coarse{2, 2, 600'000, 5'900'000, 20, -20, utm()};
    auto rasters = together(flat("fine", fine, 5), flat("coarse", coarse, 7));
    const Grid grid = rasters->grid();
    auto chart = raster("chart", grid, std::vector<float>(grid.extent().cells(), 6));
    const auto all = chart_over_raster(std::move(rasters), std::move(chart));
    EXPECT_EQ(all->sources(), (std::vector<std::string>{"fine", "coarse", "chart"}));
    DepthPlanes depths;
    all->read(grid.extent(), depths);
    EXPECT_EQ(row_of(depths.source, 0), "1 1 3 3");
    EXPECT_EQ(row_of(depths.shoal_m, 0), "5 5 6 6");
    EXPECT_EQ(row_of(depths.deep_m, 0), "6 6 7 7");
}

} // namespace
} // namespace swingroom
