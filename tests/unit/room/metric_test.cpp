#include "swingroom/room/metric.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <random>
#include <vector>

namespace swingroom {
namespace {

GroundMetric random_metric(std::mt19937& random, int rows) {
    std::uniform_real_distribution<double> side(1, 20);
    std::vector<CellSize> sizes;
    for (int i = 0; i < rows; ++i) {
        sizes.push_back({side(random), side(random)});
    }
    return GroundMetric(std::move(sizes));
}

TEST(GroundMetric, RowsOutsideTheRasterTakeTheNearestRowsSize) {
    const GroundMetric metric({{1, 2}, {3, 4}, {5, 6}});
    EXPECT_EQ(metric.at(-7).dx_m, 1);
    EXPECT_EQ(metric.at(1).dy_m, 4);
    EXPECT_EQ(metric.at(99).dy_m, 6);
    EXPECT_EQ(metric.least(-9, -3).dx_m, 1);
    EXPECT_EQ(metric.least(5, 9).dy_m, 6);
}

TEST(GroundMetric, LeastIsTakenOfEachSideByItself) {
    const GroundMetric metric({{3, 2}, {1, 4}, {5, 1}});
    EXPECT_EQ(metric.least(0, 1).dx_m, 1);
    EXPECT_EQ(metric.least(0, 1).dy_m, 2);
    EXPECT_EQ(metric.least().dy_m, 1);
    EXPECT_EQ(metric.least(2, 2).dx_m, 5);
}

TEST(GroundMetric, WithinZeroAndWithinEverything) {
    const GroundMetric metric = GroundMetric::uniform(5, 10, 20);
    EXPECT_EQ(metric.within(0).rows(), 5);
    EXPECT_EQ(metric.within(0).at(2).dx_m, 10);
    const GroundMetric varied({{3, 2}, {1, 4}, {5, 1}});
    const GroundMetric all = varied.within(std::numeric_limits<double>::infinity());
    for (int row = 0; row < 3; ++row) {
        EXPECT_EQ(all.at(row).dx_m, 1);
        EXPECT_EQ(all.at(row).dy_m, 1);
    }
}

/// What `within` promises: a row's size is not above that of any row that the reach can touch. A reach
/// touches rows as far as it goes at the least height of a row, and one more where it starts inside one.
TEST(GroundMetric, WithinIsNeverAboveAnyRowInReach) {
    constexpr unsigned seed = 7;
    std::mt19937 random(seed);
    std::uniform_int_distribution<int> rows(1, 60);
    std::uniform_real_distribution<double> reach(0, 200);
    for (int trial = 0; trial < 300; ++trial) {
        const GroundMetric metric = random_metric(random, rows(random));
        const double reach_m = reach(random);
        const GroundMetric within = metric.within(reach_m);
        const int far = static_cast<int>(reach_m / metric.least().dy_m) + 1;
        for (int row = 0; row < metric.rows(); ++row) {
            const CellSize touched = metric.least(row - far, row + far);
            ASSERT_LE(within.at(row).dx_m, touched.dx_m) << "seed " << seed << ", trial " << trial;
            ASSERT_LE(within.at(row).dy_m, touched.dy_m) << "seed " << seed << ", trial " << trial;
            const CellSize wider = metric.least(row - far - 3, row + far + 3);
            ASSERT_GE(within.at(row).dx_m, wider.dx_m) << "no more timid than three rows, trial " << trial;
            ASSERT_GE(within.at(row).dy_m, wider.dy_m);
        }
    }
}

TEST(GroundMetric, RowsThatShareASizeAreNoLessSafe) {
    constexpr unsigned seed = 9;
    std::mt19937 random(seed);
    std::uniform_int_distribution<int> some_rows(1, 60), some_each(1, 9);
    std::uniform_real_distribution<double> some_reach(0, 200);
    for (int trial = 0; trial < 300; ++trial) {
        const GroundMetric fine = random_metric(random, some_rows(random));
        const int each = some_each(random);
        std::vector<CellSize> sizes;
        for (int row = 0; row < fine.rows(); row += each) {
            sizes.push_back(fine.least(row, std::min(row + each, fine.rows()) - 1));
        }
        const GroundMetric shared(sizes, each, fine.rows());
        ASSERT_EQ(shared.rows(), fine.rows());
        const double reach_m = some_reach(random);
        const GroundMetric within = shared.within(reach_m);
        const int far = static_cast<int>(reach_m / fine.least().dy_m) + 1;
        for (int row = -3; row < fine.rows() + 3; ++row) {
            ASSERT_LE(shared.at(row).dx_m, fine.at(row).dx_m) << "seed " << seed << ", trial " << trial;
            const CellSize touched = fine.least(row - far, row + far);
            ASSERT_LE(within.at(row).dx_m, touched.dx_m) << "seed " << seed << ", trial " << trial;
            ASSERT_LE(within.at(row).dy_m, touched.dy_m) << "seed " << seed << ", trial " << trial;
        }
    }
}

TEST(GroundMetric, GreatestIsTakenOfEachSideByItself) {
    const GroundMetric metric({{3, 2}, {1, 4}, {5, 1}});
    EXPECT_EQ(metric.greatest(0, 1).dx_m, 3);
    EXPECT_EQ(metric.greatest(0, 1).dy_m, 4);
    EXPECT_EQ(metric.greatest(-5, 9).dx_m, 5);
}

} // namespace
} // namespace swingroom
