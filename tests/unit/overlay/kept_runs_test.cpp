#include "overlay/kept_runs.hpp"

#include <gtest/gtest.h>

#include <cstddef>
#include <cstdint>

namespace swingroom {
namespace {

constexpr Window block{512, 1024, 64, 64};
constexpr float lowest_m = -2.5F;

void expect_same(const PassableRuns& found, const PassableRuns& kept) {
    EXPECT_EQ(found.block, kept.block);
    ASSERT_EQ(found.runs.size(), kept.runs.size());
    for (std::size_t i = 0; i < kept.runs.size(); ++i) {
        EXPECT_EQ(found.runs[i].first, kept.runs[i].first) << i;
        EXPECT_EQ(found.runs[i].end, kept.runs[i].end) << i;
        EXPECT_EQ(found.runs[i].level_m, kept.runs[i].level_m) << i;
    }
}

TEST(KeptRuns, GiveBackWhatWasPutFromMemoryAndFromDisk) {
    const PassableRuns of{
        block, {{0, 1, lowest_m}, {1, 64, -2}, {64, 128, lowest_m}, {700, 703, 1.25F}, {4095, 4096, 3}}};
    for (const std::size_t in_memory_bytes : {std::size_t{0}, std::size_t{1000}}) {
        KeptRuns kept(2, lowest_m, {{}, in_memory_bytes});
        kept.put(1, of);
        EXPECT_EQ(kept.bytes_on_disk() > 0, in_memory_bytes == 0);
        PassableRuns found;
        ASSERT_TRUE(kept.get(1, block, found));
        expect_same(found, of);
        ASSERT_TRUE(kept.get_lowest(1, block, found));
        expect_same(found, {block, {{0, 1, lowest_m}, {64, 128, lowest_m}}});
        EXPECT_FALSE(kept.get(0, block, found)) << "nothing was put there";
        EXPECT_FALSE(kept.get_lowest(0, block, found)) << "nothing was put there";
    }
}

TEST(KeptRuns, LeaveOutWhatTakesTooMuch) {
    PassableRuns of{block, {}};
    for (std::uint32_t cell = 0; cell < 4096; cell += 2) {
        of.runs.push_back({cell, cell + 1, 2});
    }
    KeptRuns kept(3, lowest_m, {});
    kept.put(0, of);
    PassableRuns found;
    EXPECT_FALSE(kept.get(0, block, found));
    EXPECT_FALSE(kept.get_lowest(0, block, found));
    of.runs[7].level_m = of.runs[2000].level_m = lowest_m;
    kept.put(1, of);
    EXPECT_FALSE(kept.get(1, block, found));
    ASSERT_TRUE(kept.get_lowest(1, block, found));
    expect_same(found, {block, {of.runs[7], of.runs[2000]}});
    for (PassableRuns::Run& run : of.runs) {
        run.level_m = lowest_m;
    }
    kept.put(2, of);
    EXPECT_FALSE(kept.get_lowest(2, block, found)) << "too many are at the lowest level";
}

} // namespace
} // namespace swingroom
