// The same job gives the same bytes, whatever the threads and the blocks, and a window gives the cells of the
// whole.

#include "support.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace swingroom::golden {
namespace {

std::map<std::string, std::string> bytes_of_run(const std::vector<std::string>& extra) {
    const Scratch scratch;
    std::vector<std::string> words = {"overlay", "--plan", "testdata/haven/haven.plan", "--out",
                                      scratch / "out"};
    words.insert(words.end(), extra.begin(), extra.end());
    const Outcome run = swingroom(words);
    EXPECT_EQ(run.exit_code, 0) << run.err;
    return run.exit_code == 0 ? contents(scratch / "out") : std::map<std::string, std::string>{};
}

void expect_same(const std::map<std::string, std::string>& ours,
                 const std::map<std::string, std::string>& theirs) {
    ASSERT_EQ(ours.size(), theirs.size());
    for (const auto& [name, bytes] : ours) {
        ASSERT_TRUE(theirs.contains(name)) << name;
        // No EXPECT_EQ: nobody wants to read the difference of two rasters.
        EXPECT_TRUE(bytes == theirs.at(name)) << name << " differs";
    }
}

TEST(SameBytes, WhateverTheThreads) {
    const auto one = bytes_of_run({"--threads", "1"});
    ASSERT_FALSE(one.empty());
    expect_same(one, bytes_of_run({"--threads", "2"}));
    expect_same(one, bytes_of_run({"--threads", "7"}));
}

TEST(SameBytes, WhateverTheMemoryAndWithItTheBlocks) {
    const auto usual = bytes_of_run({});
    ASSERT_FALSE(usual.empty());
    expect_same(usual, bytes_of_run({"--memory", "64"}));
    expect_same(usual, bytes_of_run({"--memory", "4000"}));
}

} // namespace
} // namespace swingroom::golden
