// The layer boats_yes of a run with several boats, against verdict.tif in the folder of each.

#include "support.hpp"
#include "support/boats_yes_levels.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cstdint>
#include <filesystem>
#include <set>
#include <string>
#include <utility>
#include <vector>

namespace swingroom::golden {
namespace {

namespace fs = std::filesystem;

using testing::HasSubstr;
using testing::IsSupersetOf;
using testing_support::byte_levels_of;
using testing_support::expect_counts_of;
using Words = std::vector<std::string>;

const std::string haven = SWINGROOM_SOURCE "/testdata/haven/";

class BoatsYes : public testing::Test {
protected:
    /// The boats of the haven and a launch, which finds room where they do not.
    void SetUp() override {
        std::string launch = bytes_of(haven + "light_sloop.ini");
        for (const auto& [key, value] :
             {std::pair("name", "launch"), std::pair("draught", "0.5 m"), std::pair("length", "5 m")}) {
            const std::size_t at = launch.find("\n" + std::string(key) + " = ");
            ASSERT_NE(at, std::string::npos) << key;
            launch.replace(at, launch.find('\n', at + 1) - at, "\n" + std::string(key) + " = " + value);
        }
        write_bytes(scratch / "launch.ini", launch);
    }
    Outcome make(const std::string& plan, const Words& more) const {
        Words words = {"overlay", "--plan", haven + plan, "--out", scratch / "all", "--overwrite"};
        for (const std::string& file :
             {haven + "heavy_ketch.ini", haven + "light_sloop.ini", scratch / "launch.ini"}) {
            words.insert(words.end(), {"--boat", file});
        }
        words.insert(words.end(), more.begin(), more.end());
        return swingroom(words);
    }
    /// @returns the counts that there are
    std::set<int> counts() const {
        Words verdicts;
        for (const auto& entry : fs::directory_iterator(scratch / "all")) {
            if (entry.is_directory()) verdicts.push_back(entry.path() / "verdict.tif");
        }
        EXPECT_EQ(verdicts.size(), 3U);
        return expect_counts_of(scratch / "all/boats_yes.tif", verdicts);
    }

    Scratch scratch;
};

TEST_F(BoatsYes, AreTheVerdictsOfTheBoatsCountedInEachLevel) {
    ASSERT_EQ(make("haven.plan", {"--layers", "verdict,boats_yes"}).exit_code, 0);
    EXPECT_THAT(counts(), IsSupersetOf({0, 1, 2, 3, 255}));
    EXPECT_THAT(bytes_of(scratch / "all/manifest.json"), HasSubstr("boats_yes.tif"));
    EXPECT_EQ(swingroom({"verify", scratch / "all"}).exit_code, 0);
    const std::string bytes = bytes_of(scratch / "all/boats_yes.tif");
    ASSERT_EQ(
        make("haven.plan", {"--layers", "boats_yes,verdict", "--threads", "4", "--memory", "64"}).exit_code,
        0);
    EXPECT_TRUE(bytes == bytes_of(scratch / "all/boats_yes.tif")) << "threads and blocks show in it";
}

// Where a boat's verdict is 8 she has no yes: the haven has a pool behind a ring that dries.
TEST_F(BoatsYes, CountNoBoatThatCannotGetThere) {
    ASSERT_EQ(make("evening.plan", {"--layers", "verdict,boats_yes"}).exit_code, 0);
    counts();
    int out_of_reach = 0;
    for (const auto& entry : fs::directory_iterator(scratch / "all")) {
        if (!entry.is_directory()) continue;
        const std::vector<std::uint8_t> verdicts = byte_levels_of(entry.path() / "verdict.tif").at(0).cells;
        out_of_reach += static_cast<int>(std::count(verdicts.begin(), verdicts.end(), 8));
    }
    EXPECT_GT(out_of_reach, 0);
}

TEST_F(BoatsYes, AreOfferedAsTilesAndLeftOutWhereNobodyAsks) {
    ASSERT_EQ(make("haven.plan", {"--layers", "boats_yes.mbtiles,verdict"}).exit_code, 0);
    EXPECT_TRUE(fs::exists(scratch / "all/boats_yes.mbtiles"));
    EXPECT_FALSE(fs::exists(scratch / "all/boats_yes.tif"));
    ASSERT_EQ(make("haven.plan", {"--layers", "verdict"}).exit_code, 0);
    for (const auto& entry : fs::recursive_directory_iterator(scratch / "all")) {
        EXPECT_FALSE(entry.path().filename().string().starts_with("boats_yes")) << entry.path();
    }
}

TEST_F(BoatsYes, OfOneBoatAreRefusedInALine) {
    const Outcome run = swingroom(
        {"overlay", "--plan", haven + "haven.plan", "--out", scratch / "one", "--layers", "boats_yes"});
    EXPECT_EQ(run.exit_code, 2);
    EXPECT_EQ(run.err, "swingroom: --layers: boats_yes counts several boats, and there is one; give several "
                       "boats, or leave it out\n");
}

} // namespace
} // namespace swingroom::golden
