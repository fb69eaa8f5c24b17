// Grids of points as text whose steps differ by rounding, against the grids that were rounded.

#include "swingroom/base/error.hpp"
#include "swingroom/sea/bathymetry.hpp"
#include "swingroom/sea/georeference.hpp"

#include "sea/raster/xyz_axis.hpp"
#include "support/drawing.hpp"
#include "support/fact_lines.hpp"
#include "support/scratch.hpp"
#include "support/setting_words.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <cstdio>
#include <fstream>
#include <random>
#include <string>
#include <vector>

namespace swingroom {
namespace {

using bathymetry::fitted_axis;
using bathymetry::XyzAxis;
using testing::AllOf;
using testing::HasSubstr;
using testing_support::Dice;
using testing_support::Scratch;

std::string number(double value, int decimals) {
    std::array<char, 64> text{};
    std::snprintf(text.data(), text.size(), "%.*f", decimals, value);
    return text.data();
}

double rounded(double value, int decimals) { return std::stod(number(value, decimals)); }

TEST(XyzAxis, IsTheStepThatWasRounded) {
    for (const int decimals : {2, 3, 4}) {
        Dice dice(static_cast<std::uint64_t>(decimals));
        for (int round = 0; round < 60; ++round) {
            const double digit = std::pow(10, -decimals);
            const double step = dice.between(60 * digit, 4000 * digit), first = dice.between(-2e6, 9e6);
            const int count = dice.whole(2, 400);
            std::vector<double> coordinates;
            for (int i = 0; i < count; ++i) {
                // The ends are there, or the axis is a shorter one.
                if (i > 0 && i + 1 < count && dice.chance(0.2)) continue;
                coordinates.push_back(rounded(first + i * step, decimals));
            }
            std::shuffle(coordinates.begin(), coordinates.end(), std::mt19937(7));
            const XyzAxis axis = fitted_axis(coordinates);
            ASSERT_EQ(axis.count, count) << "step " << step;
            ASSERT_LE(axis.stray, 0.01);
            const double told = axis.stray * axis.step + digit / 2;
            for (const int i : {0, count / 2, count - 1}) {
                ASSERT_NEAR(axis.first + i * axis.step, first + i * step, told + 1e-7) << i;
            }
        }
    }
}

TEST(XyzAxis, HasNoStepWherePointsAreScattered) {
    Dice dice(5);
    for (int round = 0; round < 40; ++round) {
        std::vector<double> coordinates(static_cast<std::size_t>(dice.whole(8, 300)));
        for (double& value : coordinates) {
            value = dice.between(0, 1000);
        }
        const XyzAxis axis = fitted_axis(coordinates);
        ASSERT_FALSE(axis.count > 1 && axis.stray <= bathymetry::greatest_stray) << coordinates.size();
    }
    EXPECT_EQ(fitted_axis({5, 5, 5}).count, 0) << "one column has no step";
    EXPECT_GT(fitted_axis({0, 10.3, 20, 30.2, 40, 49.8}).stray, 0.01) << "off by 3 % of a step";
}

class XyzGrid : public testing::Test {
protected:
    [[nodiscard]] BathymetryRequest request(const std::string& text) const {
        const std::string file = scratch_ / "grid.xyz";
        std::ofstream(file) << text;
        BathymetryRequest of;
        of.file = file;
        of.positive_down = true;
        of.depth_unit = "m";
        of.chart_datum_m = 0;
        of.uncertainty = DepthUncertainty::none();
        of.crs = "EPSG:32631";
        return of;
    }
    [[nodiscard]] std::string refusal(const std::string& text) const {
        try {
            (void)open_bathymetry(request(text));
        } catch (const InputError& error) {
            return error.message().text(marked);
        }
        return "accepted";
    }

private:
    Scratch scratch_;
};

/// Lines of points, in some order.
struct Lines {
    int cols = 5, rows = 4, decimals = 2;
    double step_x = 9.9887, step_y = 10.0213;
    std::string between = " ";
    bool by_columns = false, from_south = false;

    static constexpr double west = 600'005.37, south = 5'900'005.91;
    [[nodiscard]] static double depth(int col, int row) { return 2 + col + 0.25 * row; }
    [[nodiscard]] std::vector<std::string> points() const {
        std::vector<std::string> lines;
        for (int i = 0; i < cols * rows; ++i) {
            const int col = by_columns ? i / rows : i % cols, down = by_columns ? i % rows : i / cols;
            const int row = from_south ? rows - 1 - down : down; // the first is the northernmost
            lines.push_back(number(west + col * step_x, decimals) + between +
                            number(south + (rows - 1 - row) * step_y, decimals) + between +
                            number(depth(col, row), 2));
        }
        return lines;
    }
    [[nodiscard]] std::string text() const { return joined(points()); }
    static std::string joined(const std::vector<std::string>& lines) {
        std::string all;
        for (const std::string& line : lines) {
            all += line + "\n";
        }
        return all;
    }
};

void expect_cells(const DepthSource& source, const Lines& lines) {
    const Grid& grid = source.grid();
    ASSERT_EQ(grid.cols, lines.cols);
    ASSERT_EQ(grid.rows, lines.rows);
    ASSERT_LE(grid.slack_cells, 0.02);
    DepthPlanes depths;
    source.read(grid.extent(), depths);
    for (int row = 0; row < lines.rows; ++row) {
        for (int col = 0; col < lines.cols; ++col) {
            const double x = grid.col_of(Lines::west + col * lines.step_x),
                         y = grid.row_of(Lines::south + (lines.rows - 1 - row) * lines.step_y);
            // GDAL's own reader keeps the order of rows.
            const int row_there = grid.step_y < 0 ? row : lines.rows - 1 - row;
            ASSERT_NEAR(x, col + 0.5, grid.slack_cells);
            ASSERT_NEAR(y, row_there + 0.5, grid.slack_cells);
            ASSERT_FLOAT_EQ(depths.shoal_m.at(col, row_there), static_cast<float>(Lines::depth(col, row)));
        }
    }
}

TEST_F(XyzGrid, IsTheGridThatWasRoundedWithinWhatItTells) {
    Dice dice(11);
    for (int round = 0; round < 40; ++round) {
        Lines lines;
        lines.cols = dice.whole(8, 40);
        lines.rows = dice.whole(8, 40);
        lines.decimals = dice.whole(1, 3);
        const double digit = std::pow(10, -lines.decimals);
        lines.step_x = dice.between(70 * digit, 3000 * digit);
        lines.step_y = dice.between(70 * digit, 3000 * digit);
        lines.by_columns = dice.chance(0.5);
        lines.from_south = dice.chance(0.5);
        const auto source = open_bathymetry(request(lines.text()));
        SCOPED_TRACE("steps " + std::to_string(lines.step_x) + ", " + std::to_string(lines.step_y));
        if (HasFatalFailure()) return;
        expect_cells(*source, lines);
    }
}

TEST_F(XyzGrid, IsReadInAnyOrderWithAnySeparatorAndAHeader) {
    for (const std::string between : {" ", "\t", ",", ";", ", ", "   "}) {
        Lines lines;
        lines.between = between;
        expect_cells(*open_bathymetry(request(lines.text())), lines);
        expect_cells(*open_bathymetry(
                         request("Longitude" + between + "Latitude" + between + "Depth\n" + lines.text())),
                     lines);
    }
    Lines lines;
    std::vector<std::string> points = lines.points();
    // What neither goes by rows nor by columns GDAL does not read either.
    std::shuffle(points.begin(), points.end(), std::mt19937(3));
    expect_cells(*open_bathymetry(request(Lines::joined(points))), lines);
}

TEST_F(XyzGrid, TellsHowFarItsCellsMayLieBesideTheirPlaces) {
    const auto source = open_bathymetry(request(Lines{}.text()));
    EXPECT_THAT(told_all(source->assumptions()),
                testing::Contains(AllOf(HasSubstr("steps: rounded"), HasSubstr("% of a cell"))));
    EXPECT_THAT(told_all(source->assumptions()), testing::Contains(HasSubstr("format: XYZ")));
}

TEST_F(XyzGrid, PointsLeftOutAreUnsurveyed) {
    const Lines lines;
    std::vector<std::string> points = lines.points();
    points.erase(points.begin() + 6);
    const auto source = open_bathymetry(request(Lines::joined(points)));
    DepthPlanes depths;
    source->read(source->grid().extent(), depths);
    EXPECT_TRUE(std::isnan(depths.shoal_m.at(1, 1)));
    EXPECT_FLOAT_EQ(depths.shoal_m.at(2, 1), static_cast<float>(Lines::depth(2, 1)));
}

TEST_F(XyzGrid, OtherPointsAreRefusedByWhatIsWrong) {
    const Lines lines;
    EXPECT_THAT(refusal("600005 5900015 1\n600017.3 5900011 2\n600021 5900002.7 3\n600002 5899991 4\n"
                        "600013 5899983 5\n"),
                AllOf(HasSubstr("holds points that are no regular grid"), HasSubstr("gdal_grid")));
    std::vector<std::string> points = lines.points();
    points.push_back(points[3]);
    EXPECT_THAT(refusal(Lines::joined(points)), HasSubstr("two of them lie in one cell"));
    Lines many; // GDAL looks at the first lines to tell what the file is
    many.cols = many.rows = 12;
    points = many.points();
    points[100] = "600025.35 5900026 half";
    EXPECT_THAT(refusal(Lines::joined(points)), HasSubstr("grid.xyz:101: is no point of three numbers"));
    Lines coarse;
    coarse.decimals = 0;
    coarse.step_x = 10.4;
    EXPECT_THAT(refusal(coarse.text()),
                AllOf(HasSubstr("beside their places"), HasSubstr("at most 1 % is taken for rounding")));
}

/// Points with more columns, between x, y and value or behind them.
std::string with_names(const std::string& names, const Lines& lines, const std::string& more) {
    std::string text = names + "\n";
    for (const std::string& line : lines.points()) {
        text += line + more + "\n";
    }
    return text;
}

TEST_F(XyzGrid, TakesColumnsByTheirWholeNames) {
    const Lines lines;
    for (const std::string names : {"x y depth zone zUncertainty", "Easting Northing Z year id",
                                    "\"lon\" \"lat\" \"value\" depthUncertainty yError"}) {
        expect_cells(*open_bathymetry(request(with_names(names, lines, " 31 0.5"))), lines);
    }
    EXPECT_THAT(
        refusal(with_names("x y z depth", lines, " 31")),
        AllOf(HasSubstr("\"z\" and \"depth\" may both be the value"), HasSubstr("keep three columns")));
    EXPECT_THAT(refusal(with_names("x y depthUncertainty zone", lines, " 31")),
                HasSubstr("\"depthuncertainty\" only begins as the name of the value"));
    EXPECT_THAT(refusal(with_names("x y z", lines, " 31")),
                HasSubstr("has 4 columns, and the first line names 3"));
}

// GDAL reads exact grids by itself, and takes the last name that begins like one.
TEST_F(XyzGrid, RefusesColumnsThatGdalTakesForOthers) {
    Lines lines;
    lines.step_x = lines.step_y = 10;
    expect_cells(*open_bathymetry(request(with_names("x y z year", lines, " 31"))), lines);
    EXPECT_THAT(refusal(with_names("x y z altError", lines, " 31")),
                AllOf(HasSubstr("\"alterror\" would be taken for another one by GDAL"),
                      HasSubstr("keep three columns: x y z")));
}

TEST_F(XyzGrid, TellsHowAMarkForMissingDataCanBeDeclared) {
    Lines lines;
    std::vector<std::string> points = lines.points();
    points[6].replace(points[6].rfind(' '), std::string::npos, " -9999");
    const auto complaint = [&] {
        try {
            const auto source = open_bathymetry(request(Lines::joined(points)));
            DepthPlanes depths;
            source->read(source->grid().extent(), depths);
        } catch (const InputError& error) {
            return error.message().text(marked);
        }
        return std::string("accepted");
    };
    EXPECT_THAT(complaint(), HasSubstr("take these points out, or write nan"));
    lines.step_x = lines.step_y = 10;
    points = lines.points();
    points[6].replace(points[6].rfind(' '), std::string::npos, " -9999");
    EXPECT_THAT(complaint(), HasSubstr("gdal_translate -a_nodata -9999 IN OUT.tif"));
}

TEST_F(XyzGrid, TellsASmallStepByItsDigits) {
    Lines lines;
    lines.decimals = 5;
    lines.step_x = lines.step_y = 0.000104;
    EXPECT_THAT(refusal(lines.text()),
                AllOf(HasSubstr("of the step of 0.0001"), HasSubstr("beside their places")));
}

TEST_F(XyzGrid, WhatIsMeasuredBetweenItsCellsIsLessByTheSlack) {
    const auto source = open_bathymetry(request(Lines{}.text()));
    ASSERT_GT(source->grid().slack_cells, 0);
    Grid exact = source->grid();
    exact.slack_cells = 0;
    const CellSize with = ground_metric(source->grid(), "rounded").least(),
                   without = ground_metric(exact, "exact").least();
    EXPECT_NEAR(with.dx_m, without.dx_m * (1 - source->grid().slack_cells), 1e-6);
    EXPECT_NEAR(with.dy_m, without.dy_m * (1 - source->grid().slack_cells), 1e-6);
}

} // namespace
} // namespace swingroom
