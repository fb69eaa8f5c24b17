#include "swingroom/base/error.hpp"

#include "cli/run/run_size.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <optional>
#include <string>

namespace swingroom::cli {
namespace {

using testing::AllOf;
using testing::HasSubstr;

RunSize size_of(int cols, int rows, DiskNeed disk, std::optional<double> free_bytes) {
    return {{0, 0, cols, rows}, 4e8, disk, free_bytes};
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

} // namespace
} // namespace swingroom::cli
