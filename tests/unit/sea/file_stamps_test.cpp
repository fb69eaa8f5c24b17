// Which files belong to those that are named, and by what it is seen that they have changed.

#include "sea/files/file_stamps.hpp"
#include "support/scratch.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <chrono>
#include <filesystem>
#include <fstream>
#include <string>

namespace swingroom {
namespace {

namespace fs = std::filesystem;

using std::chrono::seconds;
using std::chrono::system_clock;
using testing::ElementsAre;
using testing_support::Scratch;

TEST(FilesWithNeighbours, AreFilesOfTheSameNameUpToTheFirstDot) {
    const Scratch folder;
    for (const char* const name : {"QQ5HAVEN.000", "qq5haven.001", "QQ5HAVENS.000", "sea.tif",
                                   "sea.tif.aux.xml", "SEA.TFW", "sea", "other.tif"}) {
        std::ofstream(folder / name) << name;
    }
    std::filesystem::create_directory(folder / "sea.out");
    EXPECT_THAT(with_neighbours({folder / "sea.tif", folder / "QQ5HAVEN.000"}),
                ElementsAre(folder / "QQ5HAVEN.000", folder / "SEA.TFW", folder / "qq5haven.001",
                            folder / "sea", folder / "sea.tif", folder / "sea.tif.aux.xml"));
    EXPECT_THAT(with_neighbours({folder / "none/sea.tif"}), ElementsAre(folder / "none/sea.tif"));
}

TEST(FileStamps, SeeWhatChangesComesAndGoes) {
    const Scratch folder;
    const auto write = [&](const char* name, const char* text) { std::ofstream(folder / name) << text; };
    write("sea.tif", "abc");
    const FileStamps before({folder / "sea.tif"}, Beside::counted);
    EXPECT_TRUE(before.still_hold());
    write("other.tif", "x");
    EXPECT_TRUE(before.still_hold());
    write("SEA.tfw", "x");
    EXPECT_FALSE(before.still_hold()) << "it has come";
    fs::remove(folder / "SEA.tfw");
    EXPECT_TRUE(before.still_hold());
    const auto time = fs::last_write_time(folder / "sea.tif");
    write("sea.tif", "abcd");
    fs::last_write_time(folder / "sea.tif", time);
    EXPECT_FALSE(before.still_hold()) << "it is longer, whatever its time";
    const FileStamps longer({folder / "sea.tif"}, Beside::counted);
    write("new", "abcd");
    fs::last_write_time(folder / "new", time);
    fs::rename(folder / "new", folder / "sea.tif");
    EXPECT_FALSE(longer.still_hold()) << "it is another file";
    const FileStamps alone({folder / "sea.tif"}, Beside::ignored);
    write("sea.tif.aux.xml", "x");
    EXPECT_TRUE(alone.still_hold());
    fs::remove(folder / "sea.tif");
    EXPECT_FALSE(alone.still_hold()) << "it is gone";
}

TEST(FileStamps, TellWhichFileWasWritten) {
    const Scratch folder;
    std::ofstream(folder / "a.tif") << "abc";
    std::ofstream(folder / "b.tif") << "abc";
    const FileStamps stamps({folder / "a.tif", folder / "b.tif"}, Beside::counted);
    EXPECT_EQ(stamps.first_rewritten(), "");
    std::ofstream(folder / "a.tif.aux.xml") << "x";
    fs::create_hard_link(folder / "a.tif", folder / "backup");
    EXPECT_EQ(stamps.first_rewritten(), "") << "it was linked, and another has come beside it";
    std::ofstream(folder / "b.tif") << "abcd";
    EXPECT_EQ(stamps.first_rewritten(), folder / "b.tif");
    fs::remove(folder / "a.tif");
    EXPECT_EQ(stamps.first_rewritten(), folder / "a.tif");
}

TEST(FileStamps, AreSettledTwoSecondsAfterTheLastChange) {
    const Scratch folder;
    std::ofstream(folder / "sea.tif") << "abc";
    const FileStamps stamps({folder / "sea.tif"}, Beside::counted);
    EXPECT_FALSE(stamps.settled_before(system_clock::now()));
    EXPECT_TRUE(stamps.settled_before(system_clock::now() + seconds(3)));
    std::ofstream(folder / "SEA.tfw") << "x";
    const FileStamps more({folder / "sea.tif"}, Beside::counted);
    EXPECT_TRUE(more.name_all_of(stamps));
    EXPECT_FALSE(stamps.name_all_of(more));
}

TEST(Stamped, HoldsWhatWasOpenedOfFilesThatStandStill) {
    const Scratch folder;
    std::ofstream(folder / "sea.tif") << "abc";
    const auto opened = [&] {
        return Stamped<std::string>(
            {folder / "sea.tif"}, Beside::counted, [] { return std::string("opened"); },
            [&](const std::string&) { return std::vector{folder / "sea.tif"}; });
    };
    EXPECT_FALSE(opened().still_holds()) << "written just now";
    EXPECT_EQ(opened().opened(), "opened");
}

} // namespace
} // namespace swingroom
