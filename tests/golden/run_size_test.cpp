// Runs that are too large: refused before they start, with their numbers; what --bounds cuts out of a huge
// raster goes on.
#include "support.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cstdint>
#include <filesystem>
#include <string>
#include <sys/mount.h>
#include <vector>

namespace swingroom::golden {
namespace {

using testing::AllOf;
using testing::HasSubstr;

class RunTooLarge : public testing::Test {
protected:
    /// The haven's night over other depths.
    [[nodiscard]] std::vector<std::string> over(const std::vector<std::string>& depths,
                                                const std::string& layers = "verdict") const {
        std::vector<std::string> words = {"overlay",      "--boat", "testdata/haven/heavy_ketch.ini",
                                          "--low-water",  "0.5",    "--high-water",
                                          "2.5",          "--wind", "15",
                                          "--layers",     layers,   "--out",
                                          scratch / "out"};
        words.insert(words.end(), depths.begin(), depths.end());
        return words;
    }
    void expect_refused(const std::vector<std::string>& words, const std::string& where) const {
        const Outcome run = swingroom(words);
        EXPECT_EQ(run.exit_code, 2);
        EXPECT_EQ(run.lines(), 1U) << run.err;
        EXPECT_THAT(run.err, AllOf(HasSubstr(where), HasSubstr("cells ("), HasSubstr("of memory"),
                                   HasSubstr("of disk")));
        EXPECT_FALSE(std::filesystem::exists(scratch / "out"));
    }
    Scratch scratch;
};

/// A TIFF of some 300 bytes that claims any number of cells, none of them written.
std::string claimed_tiff(std::uint32_t side, double step_deg, double west, double north) {
    const auto bytes = [](auto value) {
        return std::string(reinterpret_cast<const char*>(&value), sizeof value);
    };
    const auto doubles = [&](const std::vector<double>& values) {
        std::string text;
        for (const double value : values) {
            text += bytes(value);
        }
        return text;
    };
    struct Tag {
        std::uint16_t id, type;
        std::uint32_t count;
        std::string data; ///< padded to four bytes, or longer and put behind
    };
    const auto whole = [&](std::uint32_t value) { return bytes(value); };
    const auto two = [&](std::uint16_t value) { return bytes(value) + std::string(2, 0); };
    std::string keys;
    for (const std::uint16_t key :
         std::vector<std::uint16_t>{1, 1, 0, 3, 1024, 0, 1, 2, 1025, 0, 1, 1, 2048, 0, 1, 4326}) {
        keys += bytes(key);
    }
    const std::vector<Tag> tags = {{256, 4, 1, whole(side)},
                                   {257, 4, 1, whole(side)},
                                   {258, 3, 1, two(16)},
                                   {259, 3, 1, two(1)},
                                   {262, 3, 1, two(1)},
                                   {277, 3, 1, two(1)},
                                   {322, 4, 1, whole(8192)},
                                   {323, 4, 1, whole(8192)},
                                   {324, 4, 1, whole(0)},
                                   {325, 4, 1, whole(0)},
                                   {339, 3, 1, two(2)},
                                   {33550, 12, 3, doubles({step_deg, step_deg, 0})},
                                   {33922, 12, 6, doubles({0, 0, 0, west, north, 0})},
                                   {34735, 3, 16, keys},
                                   {42113, 2, 6, std::string("-9999\0", 6)}};
    std::string head = "II*" + std::string(1, 0) + whole(8) + bytes(static_cast<std::uint16_t>(tags.size())),
                behind;
    const std::size_t start = head.size() + 12 * tags.size() + 4;
    for (const Tag& tag : tags) {
        head += bytes(tag.id) + bytes(tag.type) + whole(tag.count);
        head += tag.data.size() == 4 ? tag.data : whole(static_cast<std::uint32_t>(start + behind.size()));
        if (tag.data.size() != 4) behind += tag.data;
    }
    return head + whole(0) + behind;
}

const std::vector<std::string> stated = {"--positive",    "up", "--depth-unit",  "m",
                                         "--chart-datum", "0",  "--uncertainty", "0.5"};

std::vector<std::string> raster(const std::string& file, const std::vector<std::string>& more = {}) {
    std::vector<std::string> words = {"--bathymetry", file};
    words.insert(words.end(), stated.begin(), stated.end());
    words.insert(words.end(), more.begin(), more.end());
    return words;
}

TEST_F(RunTooLarge, FromATiffOfThreeHundredBytes) {
    const std::string file = scratch / "claims.tif";
    write_bytes(file, claimed_tiff(1'000'000, 1e-5, -29.05, 48));
    ASSERT_LT(std::filesystem::file_size(file), 400U);
    expect_refused(over(raster(file)), "claims.tif: a run over 1e12 cells (1000000 x 1000000)");
    const Outcome cut = swingroom(over(raster(file, {"--bounds", "-29,47.9,-28.9999,47.9001"})));
    EXPECT_EQ(cut.exit_code, 0) << cut.err;
    EXPECT_FALSE(cut.says("a run over")) << cut.err;
}

TEST_F(RunTooLarge, FromOneFlippedByteInACell) {
    std::string cell = bytes_of(SWINGROOM_SOURCE "/testdata/cells/QQ5HAVEN.000");
    constexpr std::int32_t southern_edge = 479789977; // of its coverage, in 10^-7 degrees
    const std::size_t at = cell.find(std::string(reinterpret_cast<const char*>(&southern_edge), 4));
    ASSERT_NE(at, std::string::npos);
    cell[at + 3] = static_cast<char>(cell[at + 3] ^ 0x10);
    const std::string file = scratch / "QQ5HAVEN.000";
    write_bytes(file, cell);
    expect_refused(over({"--chart", file, "--cell", "0.5"}), "QQ5HAVEN.000: a run over 2.39e10 cells");
    expect_refused(over({"--chart", file, "--cell", "5", "--cells-limit", "1e8"}),
                   "QQ5HAVEN.000: a run over 2.4e8 cells");
    const Outcome cut =
        swingroom(over({"--chart", file, "--cell", "0.5", "--bounds", "-29.045,47.983,-29.0449,47.9831"}));
    EXPECT_EQ(cut.exit_code, 0) << cut.err;
}

TEST_F(RunTooLarge, FromRastersThatReachAnyWay) {
    const std::string file = scratch / "dust.tif";
    write_bytes(file, claimed_tiff(10, 1e-26, 0, 0));
    const Outcome run = swingroom(over(raster("testdata/haven/bathymetry.tif", {"--bathymetry", file})));
    EXPECT_EQ(run.exit_code, 2);
    EXPECT_EQ(run.lines(), 1U) << run.err;
    EXPECT_THAT(run.err, testing::ContainsRegex("that [0-9.]+e\\+27 x [0-9.]+e\\+27 cells would be needed"));
}

TEST_F(RunTooLarge, ByAnyLimitThatIsGiven) {
    const std::vector<std::string> haven = {"overlay", "--plan", "testdata/haven/haven.plan", "--out",
                                            scratch / "out"};
    const auto with_limit = [&](const std::string& limit) {
        auto words = haven;
        words.insert(words.end(), {"--layers", "verdict", "--cells-limit", limit});
        return words;
    };
    expect_refused(with_limit("419999"),
                   "a run over 420000 cells (700 x 600) is larger than --cells-limit 419999");
    EXPECT_EQ(swingroom(with_limit("20000000000")).exit_code, 0);
    for (const char* wrong : {"0", "-1", "2e19", "many", "2,5"}) {
        const Outcome run = swingroom(with_limit(wrong));
        EXPECT_EQ(run.exit_code, 2) << wrong;
        EXPECT_THAT(run.err, HasSubstr("--cells-limit")) << wrong;
    }
}

TEST_F(RunTooLarge, ForTheDisk) {
    const std::string card = scratch / "card";
    std::filesystem::create_directory(card);
    if (::mount("none", card.c_str(), "tmpfs", 0, "size=64k") != 0) {
        GTEST_SKIP() << "needs the right to mount a small file system";
    }
    std::vector<std::string> words = {"overlay", "--plan", "testdata/haven/haven.plan", "--out",
                                      card + "/out"};
    const Outcome refused = swingroom(words);
    EXPECT_EQ(refused.exit_code, 2);
    EXPECT_EQ(refused.lines(), 1U) << refused.err;
    EXPECT_THAT(refused.err,
                AllOf(HasSubstr("does not fit on the disk"), HasSubstr("of which " + card + " has 0.1 MB"),
                      HasSubstr("fewer --layers")));
    EXPECT_TRUE(std::filesystem::is_empty(card));
    ASSERT_EQ(::mount("none", card.c_str(), "tmpfs", MS_REMOUNT, "size=4m"), 0);
    words.insert(words.end(), {"--layers", "depth_low,hull_room"}); // if they were noise, 5.8 MB
    const Outcome tight = swingroom(words);
    EXPECT_EQ(tight.exit_code, 0) << tight.err;
    EXPECT_THAT(tight.err, HasSubstr("whether that is enough depends on how well the layers compress"));
    EXPECT_EQ(::umount(card.c_str()), 0);
}

} // namespace
} // namespace swingroom::golden
