#include "swingroom/base/error.hpp"

#include "cli/run/run_size.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace swingroom::cli {
namespace {

using testing::AllOf;
using testing::HasSubstr;

RunSize size_of(int cols, int rows, DiskNeed disk, std::optional<double> free_bytes) {
    return {{0, 0, cols, rows}, 4e8, disk, 0, free_bytes};
}

std::string refusal(const RunSize& size, double limit) {
    try {
        require_possible(size, limit, "chart.000", "/media/card");
    } catch (const InputError& error) {
        return error.what();
    }
    return "taken";
}

TEST(RunSize, OverTheLimitIsRefusedWithItsNumbers) {
    const RunSize size = size_of(215594, 357346, {5.2e12, 1e13}, 8e10);
    EXPECT_THAT(refusal(size, 2e10),
                AllOf(HasSubstr("chart.000: a run over 7.7e10 cells (215594 x 357346)"),
                      HasSubstr("--cells-limit 2e10 allows"), HasSubstr("about 400 MB of memory"),
                      HasSubstr("5.2 TB to 10 TB of disk, of which /media/card has 80 GB")));
    EXPECT_THAT(refusal(size, 1e11), HasSubstr("does not fit on the disk"));
    EXPECT_EQ(refusal(size_of(215594, 357346, {5.2e12, 1e13}, 6e12), 1e11), "taken");
    EXPECT_EQ(refusal(size_of(100, 100, {1, 1}, {}), 10000), "taken") << "the limit itself is allowed";
    EXPECT_NE(refusal(size_of(100, 100, {1, 1}, {}), 9999), "taken");
    EXPECT_NE(refusal(size_of(2'000'000'000, 2'000'000'000, {1, 1}, {}), 1e18), "taken") << "no overflow";
}

TEST(RunSize, IsRefusedForTheDiskOnlyWhereEvenTheBestCompressionWouldNotDo) {
    EXPECT_NE(refusal(size_of(100, 100, {2e9, 4e9}, 1.9e9), 2e10), "taken");
    EXPECT_EQ(refusal(size_of(100, 100, {2e9, 4e9}, 2.1e9), 2e10), "taken");
    EXPECT_EQ(refusal(size_of(100, 100, {2e9, 4e9}, {}), 2e10), "taken") << "a disk that tells nothing";
}

TEST(RunSize, IsToldFromAThousandMillionCellsOnOrWhereTheDiskIsTight) {
    EXPECT_EQ(note_of_size(size_of(31622, 31622, {1e9, 2e9}, 1e12), "a.tif", "/"), "");
    EXPECT_THAT(note_of_size(size_of(31623, 31623, {1e9, 2e9}, 1e12), "a.tif", "/data"),
                AllOf(HasSubstr("a.tif: a run over 1e9 cells (31623 x 31623)"), HasSubstr("/data has 1.0 TB"),
                      testing::Not(HasSubstr("compress"))));
    EXPECT_THAT(note_of_size(size_of(10, 10, {1e9, 2e9}, 1.5e9), "a.tif", "/data"),
                HasSubstr("whether that is enough depends on how well the layers compress"));
}

TEST(RunSize, OfMemoryFollowsBlocksHaloAndThreads) {
    const Window large{0, 0, 30000, 30000};
    LayerSet verdict;
    verdict.add(Layer::verdict);
    const double one = memory_need(large, verdict, 1, 512, 100),
                 four = memory_need(large, verdict, 4, 512, 100);
    EXPECT_NEAR(four - one, 3 * 712.0 * 712 * 46, 1);
    EXPECT_LT(memory_need({0, 0, 10, 10}, verdict, 1024, 512, 100), 2 * one) << "one block, one thread";
    EXPECT_LT(memory_need({0, 0, 2'000'000'000, 10}, LayerSet::all(), 1, 512, 0), 1e9);
    EXPECT_NO_THROW(require_memory(1e9, 2e9, "a.tif", 2, 100));
    EXPECT_NO_THROW(require_memory(1e9, {}, "a.tif", 2, 100));
    EXPECT_NEAR(memory_need(large, verdict, 1, {2048, 512}, 100) - memory_need(large, verdict, 1, 512, 100),
                (2248.0 - 712) * 712 * 46, 1);
    try {
        require_memory(1.2e11, 2.4e10, "a.tif", 2, 30000);
        FAIL();
    } catch (const InputError& error) {
        EXPECT_STREQ(
            error.what(),
            "a.tif: needs about 120 GB of memory, and this machine has 24 GB: a swinging circle spans "
            "60000 cells, for each of 2 threads; give fewer --threads, or a coarser raster");
    }
}

// Blocks are answered for one boat after the other; each boat has files of her own.
TEST(RunSize, OfSeveralBoatsGrowsWithTheirFilesAndNotWithTheirBlocks) {
    const Window large{0, 0, 30000, 30000};
    const double one = memory_need(large, LayerSet::all(), 2, 512, 100),
                 two = memory_need(large, LayerSet::all(), 2, 512, 100, {}, 2),
                 ten = memory_need(large, LayerSet::all(), 2, 512, 100, {}, 10);
    EXPECT_GT(two, one);
    EXPECT_NEAR(ten - one, 9 * (two - one), 1);
    EXPECT_LT(ten, 2 * one) << "a run of ten is no ten runs";
    const WayInNeed alone = way_in_need({0, 0, 65536, 65536}, 1024),
                    of_ten = way_in_need({0, 0, 65536, 65536}, 1024, 10);
    EXPECT_LT(of_ten.memory_bytes, 2 * alone.memory_bytes) << "what is kept in memory is shared out";
    EXPECT_NEAR(of_ten.kept_disk_bytes, 10 * alone.kept_disk_bytes, 1);
    EXPECT_NEAR(of_ten.disk_bytes - of_ten.kept_disk_bytes, alone.disk_bytes - alone.kept_disk_bytes, 1)
        << "they are looked for one after the other";
}

TEST(RunSize, BlocksAreWholeTilesAsManySideBySideAsMemoryAllows) {
    LayerSet verdict;
    verdict.add(Layer::verdict);
    EXPECT_EQ(block_for(100'000, 2, 100, verdict), BlockSize(1024, 512)) << "more is hardly faster";
    EXPECT_EQ(block_for(100'000, 2, 60, verdict), BlockSize(512, 512))
        << "nor is that where little is around";
    int before = 0;
    for (const int memory_mb : {100, 150, 200, 300, 1000}) {
        const BlockSize block = block_for(memory_mb, 2, 100, verdict);
        EXPECT_EQ(block.rows, 512);
        EXPECT_EQ(block.cols % 512, 0);
        EXPECT_GE(block.cols, before);
        EXPECT_LE(2 * 46 * (block.cols + 200.0) * (block.rows + 200.0), memory_mb * 1e6 / 2);
        before = block.cols;
    }
    EXPECT_EQ(block_for(64, 4, 0, LayerSet::all()), BlockSize(512, 128))
        << "a part of a tile, of which none is whole";
    EXPECT_EQ(block_for(64, 1000, 20'000, LayerSet::all()), BlockSize(512, 128)) << "the least that there is";
}

TEST(RunSize, OfTheWayInIsThatOfTheWholeRasterAndMostlyOnTheDisk) {
    const WayInNeed none = way_in_need({0, 0, 100, 100}, 512),
                    middle = way_in_need({0, 0, 16384, 16384}, 512),
                    large = way_in_need({0, 0, 65536, 65536}, 1024);
    EXPECT_LT(none.memory_bytes, 1e6);
    EXPECT_EQ(none.disk_bytes, 0);
    // By cell of a block's rim: what it is reduced to, and where one gets in; and runs, a byte for eight
    // cells.
    const double rims = 4.0 / 512;
    EXPECT_LT(middle.memory_bytes, 7.2e7);
    EXPECT_NEAR(middle.disk_bytes, 16384.0 * 16384 * (rims * 44 + 0.125), 1);
    EXPECT_NEAR(middle.kept_disk_bytes, 16384.0 * 16384 * (rims * 12 + 0.125), 1);
    EXPECT_LT(large.memory_bytes, 1.2e8);
    EXPECT_NEAR(large.disk_bytes, 65536.0 * 65536 * (rims * 44 + 0.125), 1)
        << "blocks are no larger than 512 cells";
    EXPECT_NEAR(large.kept_disk_bytes, 65536.0 * 65536 * (rims * 12 + 0.125), 1);
    EXPECT_EQ(way_in_need({0, 0, 4096, 4096}, 512).disk_bytes, 0) << "all of it stays in memory";
    EXPECT_EQ(with_way_in({1, 1e6}, large).most_bytes, large.disk_bytes);
    EXPECT_EQ(with_way_in({1, 1e12}, large).most_bytes, 1e12 + large.kept_disk_bytes);
    EXPECT_EQ(with_way_in({1, 1e12}, large).least_bytes, 1) << "open sea and land take nothing";
    RunSize size = size_of(65536, 65536, {1e9, 2e9}, 1e12);
    size.way_in_disk_bytes = large.disk_bytes;
    EXPECT_THAT(note_of_size(size, "a.tif", "/"),
                HasSubstr("2.0 GB of disk (up to 2.1 GB of it for the way in), of which / has"));
}

/// A file in blocks of one size, of four bytes a cell.
class InBlocks final : public DepthSource {
public:
    InBlocks(int cols, int rows, BlockSize block) : grid_{cols, rows, 0, 0, 2, -2, {}}, block_(block) {}
    [[nodiscard]] const Grid& grid() const override { return grid_; }
    void read(Window, DepthPlanes&) const override {}
    [[nodiscard]] std::int64_t decoded_bytes(Window where) const override {
        const Window in = common(where, grid_.extent());
        const auto touched = [](int first, int end, int side) {
            return std::int64_t{(end + side - 1) / side - first / side} * side;
        };
        return 4 * touched(in.col, in.col_end(), block_.cols) * touched(in.row, in.row_end(), block_.rows);
    }
    [[nodiscard]] double greatest_uncertainty_m() const override { return 0; }
    [[nodiscard]] std::vector<Fact> assumptions() const override { return {}; }
    [[nodiscard]] std::vector<std::string> files() const override { return {}; }

private:
    Grid grid_;
    BlockSize block_;
};

FileCache cache_of(int memory_mb, int cols, BlockSize blocks_of_file) {
    const InBlocks file(cols, 8192, blocks_of_file);
    return file_cache(memory_mb, file, file.grid().extent(), 512, 100);
}

TEST(FileCache, HoldsWhatTwoRowsOfBlocksAskForWhereThatIsAFifthOfTheMemory) {
    EXPECT_EQ(cache_of(400, 8192, 512).bytes, 4 * 512 * 8192 * 4) << "four rows of tiles";
    EXPECT_EQ(cache_of(400, 4096, 512).bytes, 50'000'000) << "an eighth is there in any case";
    EXPECT_EQ(cache_of(400, 8192, 512).wanted_mb, 0);
    EXPECT_EQ(cache_of(400, 16384, 512).bytes, 2 * (4 * 512 * 2 * 512 * 4))
        << "tiles side by side for two threads, where more does not help";
    EXPECT_EQ(cache_of(900, 16384, 512).bytes, 4 * 512 * 16384 * 4);
}

TEST(FileCache, GrowsForStripsThatEachBlockWouldDecodeAgain) {
    constexpr std::int64_t rows = 2 * 512 + 2 * 100; // of two rows of blocks, and around them
    const FileCache strips = cache_of(400, 24000, {24000, 1});
    EXPECT_GE(strips.bytes, rows * 24000 * 4);
    EXPECT_LE(strips.bytes, 400'000'000 / 3);
    EXPECT_EQ(strips.wanted_mb, 0);

    const FileCache too_wide = cache_of(400, 60000, {60000, 1});
    EXPECT_EQ(too_wide.bytes, 16'000'000);
    EXPECT_EQ(too_wide.times_decoded, 118) << "once for each block beside it";
    ASSERT_GT(too_wide.wanted_mb, 400);
    EXPECT_GE(cache_of(too_wide.wanted_mb, 60000, {60000, 1}).bytes, rows * 60000 * 4)
        << "what is told will do";
    EXPECT_EQ(cache_of(too_wide.wanted_mb, 60000, {60000, 1}).wanted_mb, 0);
}

TEST(FileCache, HoldsATileThatIsLargerThanABlock) {
    EXPECT_GE(cache_of(400, 40000, 1024).bytes, 2 * 1024 * 1024 * 4);
}

} // namespace
} // namespace swingroom::cli
