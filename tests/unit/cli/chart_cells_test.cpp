#include "cli/run/chart_cells.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <cstddef>
#include <limits>

namespace swingroom::cli {
namespace {

using testing::HasSubstr;

constexpr double nowhere = std::numeric_limits<double>::infinity();

std::size_t few(double /*side_m*/) { return 1000; }

TEST(ChartCells, AreHalfAMillimetreAtTheLargestScale) {
    EXPECT_EQ(chart_cells(10'000, 50, few).side_m, 5);
    EXPECT_EQ(chart_cells(8'000, 50, few).side_m, 4);
    EXPECT_EQ(chart_cells(11'999, 50, few).side_m, 5.9) << "to a whole decimetre, the finer";
    EXPECT_THAT(chart_cells(10'000, 50, few).why, HasSubstr("1:10000"));
    EXPECT_EQ(chart_cells(40'000, nowhere, few).side_m, 20) << "whoever can lie nowhere is told so elsewhere";
}

TEST(ChartCells, AreNoMoreThanAQuarterOfTheLeastSwingingRadius) {
    EXPECT_EQ(chart_cells(80'000, 28.4, few).side_m, 7.1);
    EXPECT_EQ(chart_cells(80'000, 28.39, few).side_m, 7.0);
    EXPECT_THAT(chart_cells(80'000, 28.4, few).why,
                HasSubstr("a quarter of the least swinging radius, 28.4 m"));
    EXPECT_EQ(chart_cells(10'000, 20, few).side_m, 5);
    EXPECT_EQ(chart_cells(0, 28.4, few).side_m, 7.1) << "no scale is stated";
    EXPECT_EQ(chart_cells(0, nowhere, few).side_m, 5);
}

TEST(ChartCells, AreAMetreAtTheLeast) {
    EXPECT_EQ(chart_cells(500, 50, few).side_m, 1);
    EXPECT_EQ(chart_cells(10'000, 3, few).side_m, 1);
    EXPECT_EQ(chart_cells(2'000, 50, few).side_m, 1);
    EXPECT_THAT(chart_cells(500, 50, few).why, HasSubstr("finest"));
}

TEST(ChartCells, AreSoCoarseThatNoMoreThanTenToTheEighthAreDecided) {
    for (const double area_m2 : {2.499e9, 2.5e9, 2.6e9, 1e11, 5.1e14}) {
        const auto count = [&](double side_m) {
            return static_cast<std::size_t>(std::ceil(area_m2 / (side_m * side_m)));
        };
        const ChartCells cells = chart_cells(10'000, 50, count);
        EXPECT_LE(count(cells.side_m), 100'000'000u) << area_m2;
        if (area_m2 <= 2.5e9) {
            EXPECT_EQ(cells.side_m, 5) << area_m2;
        } else {
            EXPECT_GT(count(cells.side_m - 0.11), 100'000'000u) << area_m2 << ": no coarser than need be";
            EXPECT_THAT(cells.why, HasSubstr("10^8"));
        }
    }
}

} // namespace
} // namespace swingroom::cli
