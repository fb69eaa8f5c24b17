#include "swingroom/base/error.hpp"
#include "swingroom/sea/georeference.hpp"
#include "swingroom/sea/stay_levels.hpp"

#include "made_raster.hpp"
#include "support/drawing.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <memory>
#include <string>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

using namespace testing_support;
using testing::HasSubstr;

constexpr float none = std::numeric_limits<float>::quiet_NaN();

std::string utm() { return horizontal_crs_wkt("EPSG:32631", "test"); }
std::string degrees() { return horizontal_crs_wkt("EPSG:4326", "test"); }

StayLevels::Level raster(const Grid& grid, std::vector<float> levels_m) {
    return {0, memory_bathymetry(grid, std::move(levels_m), DepthUncertainty::none())};
}
StayLevels::Level number(double level_m) { return {level_m, nullptr}; }

/// Water of one depth all over a window.
DepthPlanes water(Window where, float depth_m) {
    DepthPlanes depths;
    depths.shoal_m.reset(where, depth_m);
    depths.deep_m.reset(where, depth_m);
    return depths;
}

/// The values of all cells of a raster that share some length with a stretch, by arithmetic alone.
struct Brute {
    double least = std::numeric_limits<double>::infinity(), greatest = -least;
    bool hole = false;
};
Brute brute_at(const Grid& grid, int col, int row, const Grid& of, const std::vector<float>& values) {
    const double left = of.col_of(grid.x_of(col)), right = of.col_of(grid.x_of(col + 1)),
                 top = std::min(of.row_of(grid.y_of(row)), of.row_of(grid.y_of(row + 1))),
                 low = std::max(of.row_of(grid.y_of(row)), of.row_of(grid.y_of(row + 1)));
    constexpr double rounding = 1e-5;
    Brute found;
    for (int r = static_cast<int>(std::floor(top)) - 1; r <= low + 1; ++r) {
        for (int c = static_cast<int>(std::floor(left)) - 1; c <= right + 1; ++c) {
            if (std::min<double>(right, c + 1) - std::max<double>(left, c) < rounding ||
                std::min<double>(low, r + 1) - std::max<double>(top, r) < rounding) {
                continue;
            }
            const bool inside = of.extent().contains(c, r);
            const float value = inside
                                    ? values[static_cast<std::size_t>(r) * static_cast<std::size_t>(of.cols) +
                                             static_cast<std::size_t>(c)]
                                    : none;
            found.hole = found.hole || std::isnan(value);
            found.least = std::fmin(found.least, static_cast<double>(value));
            found.greatest = std::fmax(found.greatest, static_cast<double>(value));
        }
    }
    return found;
}

class LevelScenes : public testing::TestWithParam<std::uint64_t> {};

// Two rasters of levels of other cells, finer and coarser, with gaps: each cell gets the least and the
// greatest of what it touches, and one that touches a gap is refused.
TEST_P(LevelScenes, AreTheLeastAndTheGreatestOfAllThatACellTouches) {
    Dice dice(GetParam() * 131 + 3);
    const Grid grid{23, 17, 600'000, 5'900'000, 10, dice.chance(0.5) ? -10.0 : 10.0, utm()};
    const auto made = [&](double base_m, std::vector<float>& values) {
        const double step = dice.chance(0.3) ? 10 : dice.between(3, 60);
        const int cols = static_cast<int>(330 / step) + 2, rows = static_cast<int>(270 / step) + 2;
        const double x = 600'000 - (dice.chance(0.3) ? 4 * step : dice.between(10, 40)),
                     y = grid.y_of(grid.step_y > 0 ? grid.rows : 0) + dice.between(10, 40);
        for (int i = 0; i < cols * rows; ++i) {
            values.push_back(dice.chance(0.004) ? none : static_cast<float>(base_m + dice.between(0, 0.9)));
        }
        return Grid{cols, rows, x, y, step, -step, utm()};
    };
    std::vector<float> lows, highs;
    const Grid low = made(-0.4, lows), high = made(1.5, highs);
    const StayLevels levels(raster(low, lows), raster(high, highs), grid, "the grid");
    const WaterLevels reference = levels.reference();
    int holes = 0;
    for (int row = 0; row < grid.rows; ++row) {
        for (int col = 0; col < grid.cols; ++col) {
            SCOPED_TRACE("column " + std::to_string(col) + ", row " + std::to_string(row));
            const Brute of_low = brute_at(grid, col, row, low, lows),
                        of_high = brute_at(grid, col, row, high, highs);
            DepthPlanes depths = water({col, row, 1, 1}, 4.125F);
            LevelPlanes planes;
            if (of_low.hole || of_high.hole) {
                ++holes;
                EXPECT_THROW(levels.shift(depths, planes), InputError);
                continue;
            }
            levels.shift(depths, planes);
            const double low_water_m = double{depths.shoal_m.at(col, row)} + reference.low_m,
                         high_water_m = double{depths.deep_m.at(col, row)} + reference.high_m;
            constexpr double float_noise_m = 2e-6;
            EXPECT_LE(low_water_m, 4.125 + of_low.least);
            EXPECT_GE(low_water_m, 4.125 + of_low.least - float_noise_m);
            EXPECT_GE(high_water_m, 4.125 + of_high.greatest);
            EXPECT_LE(high_water_m, 4.125 + of_high.greatest + float_noise_m);
            EXPECT_GE(of_low.least, reference.low_m) << "hazards are judged by the least";
            EXPECT_LE(of_high.greatest, levels.greatest_high_m());
            EXPECT_LE(planes.excess_m.at(col, row), levels.greatest_excess_m() + 1e-6);
            EXPECT_GE(planes.excess_m.at(col, row), 0);
            EXPECT_LE(depths.shoal_m.at(col, row), depths.deep_m.at(col, row));
        }
    }
    EXPECT_LT(holes, grid.cols * grid.rows);
}
INSTANTIATE_TEST_SUITE_P(Seeds, LevelScenes, testing::Range<std::uint64_t>(0, 40));

TEST(StayLevels, DoNotDependOnWhatIsReadWithACell) {
    const Grid grid{300, 280, 600'000, 5'900'000, 10, -10, utm()},
        coarse{12, 12, 5.3, 53.4, 0.02, -0.01, degrees()};
    std::vector<float> lows;
    for (int i = 0; i < 144; ++i) {
        lows.push_back(static_cast<float>(0.01 * (i * 37 % 100)));
    }
    // Around 600 km east and 5900 km north of zone 31.
    const Georeference georeference(grid, "grid");
    const LonLat at = georeference.lonlat({150, 140});
    Grid around = coarse;
    around.origin_x = at.lon - 0.12;
    around.origin_y = at.lat + 0.06;
    const StayLevels levels(raster(around, lows), number(3), grid, "the grid");
    DepthPlanes whole = water(grid.extent(), 5);
    LevelPlanes of_whole;
    levels.shift(whole, of_whole);
    for (const Window part : {Window{0, 0, 1, 1}, Window{127, 127, 3, 3}, Window{200, 10, 100, 270}}) {
        DepthPlanes some = water(part, 5);
        LevelPlanes of_some;
        levels.shift(some, of_some);
        for (int row = part.row; row < part.row_end(); ++row) {
            for (int col = part.col; col < part.col_end(); ++col) {
                ASSERT_EQ(some.shoal_m.at(col, row), whole.shoal_m.at(col, row)) << col << " " << row;
                ASSERT_EQ(some.deep_m.at(col, row), whole.deep_m.at(col, row)) << col << " " << row;
            }
        }
    }
    // In another CRS every point of a cell lies in a cell of the raster, whose level is no less than its own.
    for (int row = 3; row < grid.rows; row += 17) {
        for (int col = 5; col < grid.cols; col += 13) {
            for (const auto& [x, y] : {std::pair(0.01, 0.01), {0.5, 0.5}, {0.99, 0.01}, {0.99, 0.99}}) {
                const LonLat p = georeference.lonlat({col + x, row + y});
                const auto c = static_cast<int>(std::floor(around.col_of(p.lon))),
                           r = static_cast<int>(std::floor(around.row_of(p.lat)));
                const double there_m = static_cast<double>(lows.at(static_cast<std::size_t>(12 * r + c)));
                EXPECT_LE(double{whole.shoal_m.at(col, row)} + levels.reference().low_m, 5 + there_m + 1e-6);
            }
        }
    }
}

TEST(StayLevels, OfNumbersOnOneSideShiftThatSideByNothing) {
    const Grid grid{4, 3, 600'000, 5'900'000, 10, -10, utm()},
        one{1, 1, 599'900, 5'900'100, 300, -300, utm()};
    const StayLevels high_raster(number(0.6), raster(one, {2.35F}), grid, "the grid");
    EXPECT_EQ(high_raster.reference().low_m, 0.6);
    EXPECT_NEAR(high_raster.reference().high_m, 2.35, 0.011);
    DepthPlanes depths = water(grid.extent(), 5);
    LevelPlanes planes;
    high_raster.shift(depths, planes);
    EXPECT_EQ(depths.shoal_m.at(1, 1), 5.0F);
    const StayLevels low_raster(raster(one, {0.5F}), number(2.5), grid, "the grid");
    EXPECT_EQ(low_raster.reference().low_m, 0.5);
    EXPECT_EQ(low_raster.reference().high_m, 2.5);
    EXPECT_EQ(low_raster.greatest_excess_m(), 0);
    depths = water(grid.extent(), 5);
    low_raster.shift(depths, planes);
    EXPECT_EQ(depths.shoal_m.at(1, 1), 5.0F);
    EXPECT_EQ(depths.deep_m.at(1, 1), 5.0F);
}

std::string complaint_of(const StayLevels& levels, DepthPlanes depths) {
    try {
        LevelPlanes planes;
        levels.shift(depths, planes);
    } catch (const InputError& error) {
        return error.message().text(marked);
    }
    return "taken";
}

TEST(StayLevels, AreRefusedWhereTheyContradictEachOtherOrAreNotKnown) {
    const Grid grid{4, 3, 600'000, 5'900'000, 10, -10, utm()}, pair{2, 1, 600'000, 5'900'000, 20, -30, utm()};
    const StayLevels crossed(raster(pair, {1, 2}), raster(pair, {1.5, 1.9F}), grid, "the grid");
    EXPECT_EQ(complaint_of(crossed, water({0, 0, 2, 3}, 5)), "taken");
    EXPECT_THAT(
        complaint_of(crossed, water(grid.extent(), 5)),
        HasSubstr("the lowest water, 2 m of depths, lies above the highest, 1.9 m of depths, at 4.4"));
    const StayLevels gap(raster(pair, {1, none}), number(3), grid, "the grid");
    EXPECT_EQ(complaint_of(gap, water({0, 0, 2, 3}, 5)), "taken");
    EXPECT_THAT(complaint_of(gap, water(grid.extent(), 5)),
                HasSubstr("(column 2, row 0 of the grid), where there is a depth; fill its gaps"));
    EXPECT_EQ(complaint_of(gap, water(grid.extent(), none)), "taken") << "who has no depth needs no level";
    EXPECT_EQ(complaint_of(gap, water(grid.extent(), -3.1F)), "taken") << "land above all water";
    EXPECT_NE(complaint_of(gap, water(grid.extent(), -2.9F)), "taken") << "it may be under water";
    const Grid elsewhere{2, 1, 700'000, 5'900'000, 20, -30, utm()};
    EXPECT_THROW(StayLevels(raster(elsewhere, {1, 2}), number(3), grid, "the grid"), InputError);
}

/// What opening levels by a file, as lowest water, and reading them says.
std::string complaint_of_file(const Made& made) {
    const Scratch folder;
    write(made, folder / "low.tif");
    const Grid grid{4, 3, 600'000, 5'900'000, 10, -10, utm()};
    try {
        return complaint_of(open_levels({{0, folder / "low.tif"}, {30, {}}}, grid, "the grid"),
                            water(grid.extent(), 5));
    } catch (const InputError& error) {
        EXPECT_THAT(error.message().text(marked), HasSubstr("low.tif: "));
        return error.message().text(marked);
    }
}

Made made_levels() {
    Made made;
    made.values = {.1, .2, .3, .4, .5, .6, .7, .8, .9, 1, 1.1, 1.2};
    made.unit = "";
    return made;
}

TEST(StayLevels, OfFilesAreMetresUnlessTheySayAnotherUnit) {
    const Scratch folder;
    Made made = made_levels();
    const Grid grid{4, 3, 600'000, 5'900'000, 10, -10, utm()};
    const auto least_m = [&] {
        write(made, folder / "low.tif");
        return open_levels({{0, folder / "low.tif"}, {3, {}}}, grid, "the grid").reference().low_m;
    };
    EXPECT_NEAR(least_m(), 0.1, 1e-9);
    made.unit = "ft";
    made.values.assign(12, 2);
    EXPECT_NEAR(least_m(), 0.6, 1e-9) << "0.6096 m, rounded down";
    made.unit = "";
    made.type = GDT_Int16;
    made.scale = 0.01;
    made.values.assign(12, 123);
    EXPECT_NEAR(least_m(), 1.23, 0.0101);
    const auto levels = open_levels({{0, folder / "low.tif"}, {3, {}}}, grid, "the grid");
    EXPECT_EQ(levels.files(), std::vector<std::string>{folder / "low.tif"});
    EXPECT_THAT(told_all(levels.facts()), testing::Contains(HasSubstr("1.23 to 1.23 m above chart datum")));
}

TEST(StayLevels, OfFilesThatAreDoubtfulAreRefused) {
    EXPECT_EQ(complaint_of_file(made_levels()), "taken");
    Made made = made_levels();
    made.unit = "furlong";
    EXPECT_THAT(complaint_of_file(made), HasSubstr("states the unit \"furlong\", which is not known"));
    made = made_levels();
    made.crs = "";
    EXPECT_THAT(complaint_of_file(made), HasSubstr("names no CRS"));
    made = made_levels();
    made.crs = "EPSG:32631+5703";
    EXPECT_THAT(complaint_of_file(made), HasSubstr("is on the vertical datum \"NAVD88 height"));
    made = made_levels();
    made.unit = "m MSL";
    EXPECT_THAT(complaint_of_file(made), HasSubstr("is on the vertical datum \"MSL\", where levels above"));
    made.unit = "m LAT";
    EXPECT_EQ(complaint_of_file(made), "taken");
    made = made_levels();
    made.second.assign(12, 1);
    EXPECT_THAT(complaint_of_file(made), HasSubstr("has 2 bands, where one is meant"));
    made = made_levels();
    made.values[5] = 31;
    EXPECT_THAT(complaint_of_file(made), HasSubstr("a water level of 31 m (can be -20 to 30 m)"));
    made = made_levels();
    made.values[5] = -9999;
    EXPECT_THAT(complaint_of_file(made), HasSubstr("mostly a mark for missing data"));
    made.nodata = -9999;
    EXPECT_THAT(complaint_of_file(made), HasSubstr("does not say how high the water stands"));
    made = made_levels();
    (*made.transform)[2] = 1;
    EXPECT_THAT(complaint_of_file(made), HasSubstr("rotated or sheared"));
    made = made_levels();
    (*made.transform)[0] += 10;
    EXPECT_THAT(complaint_of_file(made), HasSubstr("(column 0, row 0 of the grid)"))
        << "its edge is a gap, too";
}

} // namespace
} // namespace swingroom
