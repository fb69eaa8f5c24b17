#include "swingroom/base/block_cut.hpp"
#include "swingroom/base/grid.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <numeric>
#include <vector>

namespace swingroom {
namespace {

TEST(Window, CommonOfTwoThatDoNotMeetIsEmpty) {
    EXPECT_TRUE(common({0, 0, 4, 4}, {4, 0, 4, 4}).empty());
    EXPECT_TRUE(common({0, 0, 4, 4}, {-9, -9, 3, 3}).empty());
    EXPECT_EQ(common({0, 0, 4, 4}, {-9, -9, 3, 3}).cells(), 0U);
    EXPECT_EQ(common({0, 0, 4, 4}, {2, -1, 9, 3}), (Window{2, 0, 2, 2}));
}

TEST(Window, GrownReachesOutOnAllSides) {
    EXPECT_EQ(grown({3, 5, 2, 1}, 4), (Window{-1, 1, 10, 9}));
    EXPECT_EQ(common(grown({0, 0, 7, 3}, 2), {0, 0, 7, 3}), (Window{0, 0, 7, 3}));
}

TEST(Window, CellsOfTheLargestRastersDoNotOverflow) {
    EXPECT_EQ((Window{0, 0, 100'000, 100'000}).cells(), 10'000'000'000U);
}

/// Every cell once, whatever the cut.
void expect_partition(Window window, int block) {
    const std::vector<Window> blocks = cut_into_blocks(window, block);
    Plane<int> seen(window);
    for (const Window& b : blocks) {
        EXPECT_LE(b.cols, block);
        EXPECT_LE(b.rows, block);
        EXPECT_FALSE(b.empty());
        for (int r = b.row; r < b.row_end(); ++r) {
            for (int c = b.col; c < b.col_end(); ++c) {
                ++seen.at(c, r);
            }
        }
    }
    for (int r = window.row; r < window.row_end(); ++r) {
        for (int c = window.col; c < window.col_end(); ++c) {
            EXPECT_EQ(seen.at(c, r), 1) << c << ", " << r;
        }
    }
}

TEST(CutIntoBlocks, EveryCellOnce) {
    expect_partition({0, 0, 10, 7}, 4);
    expect_partition({3, 5, 10, 7}, 4);
    expect_partition({0, 0, 1, 1}, 512);
    expect_partition({8, 8, 8, 8}, 8);
}

TEST(CutIntoBlocks, WindowsThatReachOutsideTheRaster) {
    expect_partition({-3, -5, 10, 7}, 4);
    expect_partition({-9, -9, 4, 4}, 4);
}

TEST(CutIntoBlocks, TheCutDoesNotDependOnWhereTheWindowStarts) {
    const std::vector<Window> blocks = cut_into_blocks({-3, 6, 8, 3}, 4);
    ASSERT_EQ(blocks.size(), 6U);
    EXPECT_EQ(blocks[0], (Window{-3, 6, 3, 2})) << "a block border lies on every multiple of the size, 0 too";
    EXPECT_EQ(blocks[1], (Window{0, 6, 4, 2}));
    EXPECT_EQ(blocks[2], (Window{4, 6, 1, 2}));
    EXPECT_EQ(blocks[3], (Window{-3, 8, 3, 1}));
}

TEST(CutIntoBlocks, NothingOfNothing) { EXPECT_TRUE(cut_into_blocks({4, 4, 0, 3}, 16).empty()); }

TEST(Grid, PlaceOfACellAndBack) {
    const Grid grid{100, 50, 500'000, 4'000'000, 10, -20, "crs"};
    EXPECT_EQ(grid.x_of(3.5), 500'035);
    EXPECT_EQ(grid.y_of(2), 3'999'960);
    EXPECT_EQ(grid.col_of(500'035), 3.5);
    EXPECT_EQ(grid.row_of(3'999'960), 2);
    const Grid part = grid.part({10, 20, 5, 6});
    EXPECT_EQ(part.x_of(0), grid.x_of(10));
    EXPECT_EQ(part.y_of(6), grid.y_of(26));
    EXPECT_EQ(part.extent(), (Window{0, 0, 5, 6}));
    EXPECT_EQ(part.crs_wkt, "crs");
}

TEST(Plane, AddressesCellsByTheRastersOwnNumbers) {
    Plane<int> plane({-2, 7, 3, 2}, 1);
    plane.at(0, 8) = 5;
    EXPECT_EQ(plane.size(), 6U);
    EXPECT_EQ(plane.row(8)[2], 5);
    EXPECT_EQ(plane.data()[5], 5);
    plane.reset({0, 0, 2, 2}, 9);
    EXPECT_EQ(plane.at(1, 1), 9) << "a reset fills anew";
}

TEST(BlockCut, IsTheCutIntoBlocksAndNeedsNoListOfAnySize) {
    for (const Window window : {Window{0, 0, 10, 7}, Window{3, 5, 9, 11}, Window{-7, -4, 9, 9},
                                Window{-8, -4, 8, 4}, Window{2, 2, 1, 1}, Window{}}) {
        const BlockCut cut(window, 4, {0, 0});
        const std::vector<Window> blocks = cut_into_blocks(window, 4);
        ASSERT_EQ(cut.count(), blocks.size());
        std::size_t first_row = 0;
        for (std::size_t i = 0; i < blocks.size(); ++i) {
            EXPECT_EQ(cut[i], blocks[i]);
            EXPECT_EQ((blocks[i].col + 8) / 4, (blocks[i].col_end() + 7) / 4)
                << "within one of the raster's blocks";
            if (blocks[i].row == window.row) ++first_row;
        }
        EXPECT_EQ(first_row, cut.across());
    }
    const BlockCut huge({0, 0, 2'000'000'000, 2'000'000'000}, {2048, 512});
    EXPECT_EQ(huge.count(), std::size_t{976'563} * 3'906'250);
    EXPECT_EQ(huge[huge.count() - 1], (Window{1'999'998'976, 1'999'999'488, 1024, 512}));
}

TEST(BlockCut, CountsFromTheWindowsFirstCell) {
    const Window window{5, -3, 10, 7};
    const BlockCut cut(window, {4, 3});
    ASSERT_EQ(cut.count(), 9U);
    EXPECT_EQ(cut.across(), 3U);
    EXPECT_EQ(cut[0], (Window{5, -3, 4, 3}));
    EXPECT_EQ(cut[1], (Window{9, -3, 4, 3}));
    EXPECT_EQ(cut[2], (Window{13, -3, 2, 3})) << "the last ones are cut off";
    EXPECT_EQ(cut[3], (Window{5, 0, 4, 3}));
    EXPECT_EQ(cut[8], (Window{13, 3, 2, 1}));
}

TEST(BlockCut, RowsThatGoTogetherAreNumberedColumnByColumn) {
    const BlockCut cut({0, 0, 12, 15}, {4, 3}); // three across, five down
    const auto numbers = [&](std::size_t rows) {
        std::vector<std::size_t> all;
        for (std::size_t i = 0; i < cut.count(); ++i) {
            all.push_back(cut.by_columns(i, rows));
        }
        return all;
    };
    EXPECT_EQ(numbers(2), (std::vector<std::size_t>{0, 3, 1, 4, 2, 5, 6, 9, 7, 10, 8, 11, 12, 13, 14}));
    EXPECT_EQ(numbers(4), (std::vector<std::size_t>{0, 3, 6, 9, 1, 4, 7, 10, 2, 5, 8, 11, 12, 13, 14}));
    EXPECT_EQ(numbers(9), (std::vector<std::size_t>{0, 3, 6, 9, 12, 1, 4, 7, 10, 13, 2, 5, 8, 11, 14}));
    std::vector<std::size_t> in_order(cut.count());
    std::iota(in_order.begin(), in_order.end(), std::size_t{0});
    EXPECT_EQ(numbers(1), in_order);
}

TEST(BlockCut, HasEveryCellOnceWhereverItCountsFrom) {
    for (const Window window : {Window{3, 5, 9, 11}, Window{-7, -4, 9, 9}, Window{100, 7, 1, 20}}) {
        for (const BlockSize size : {BlockSize(4), BlockSize(7, 2), BlockSize(1, 9), BlockSize(50)}) {
            for (const GridCell origin :
                 {GridCell{window.col, window.row}, GridCell{0, 0}, GridCell{6, -5}}) {
                const BlockCut cut(window, size, origin);
                Plane<int> seen(window);
                for (std::size_t i = 0; i < cut.count(); ++i) {
                    const Window block = cut[i];
                    ASSERT_EQ(common(block, window), block);
                    ASSERT_TRUE(block.cols > 0 && block.cols <= size.cols && block.rows > 0 &&
                                block.rows <= size.rows);
                    for (int row = block.row; row < block.row_end(); ++row) {
                        for (int col = block.col; col < block.col_end(); ++col) {
                            ++seen.at(col, row);
                        }
                    }
                }
                EXPECT_EQ(std::count(seen.data(), seen.data() + seen.size(), 1),
                          static_cast<std::ptrdiff_t>(window.cells()));
            }
        }
    }
}

} // namespace
} // namespace swingroom
