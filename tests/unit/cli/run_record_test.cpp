// What a cruise keeps of a run, and which files it asks whether they are new.

#include "cli/cruise/run_record.hpp"
#include "support/scratch.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <chrono>
#include <cstddef>
#include <filesystem>
#include <fstream>
#include <string>

namespace swingroom::cli {
namespace {

using testing::ElementsAre;
using testing_support::Scratch;

TEST(RunRecord, IsReadAsItWasWritten) {
    const RunRecord record{
        "wind = 15\n", "swingroom 1", "00ff", {"a b", "\xC3\xA9"}, "{\n\"told\": \"\\\"\"}\n"};
    const auto read = read_record(record_text(record));
    ASSERT_TRUE(read);
    EXPECT_EQ(read->what_counts, record.what_counts);
    EXPECT_EQ(read->made_by, record.made_by);
    EXPECT_EQ(read->manifest, record.manifest);
    EXPECT_EQ(read->files, record.files);
    EXPECT_EQ(read->told, record.told);
    const std::string text = record_text(record);
    for (std::size_t length = 0; length + 3 < text.size(); ++length) {
        EXPECT_FALSE(read_record(text.substr(0, length))) << length;
    }
    EXPECT_FALSE(read_record("[]"));
}

TEST(InputNeighbours, AreFilesOfTheSameNameUpToTheFirstDot) {
    const Scratch folder;
    for (const char* const name : {"QQ5HAVEN.000", "qq5haven.001", "QQ5HAVENS.000", "sea.tif",
                                   "sea.tif.aux.xml", "SEA.TFW", "sea", "other.tif"}) {
        std::ofstream(folder / name) << name;
    }
    std::filesystem::create_directory(folder / "sea.out");
    EXPECT_THAT(input_neighbours({folder / "sea.tif", folder / "QQ5HAVEN.000"}),
                ElementsAre(folder / "QQ5HAVEN.000", folder / "SEA.TFW", folder / "qq5haven.001",
                            folder / "sea", folder / "sea.tif", folder / "sea.tif.aux.xml"));
    EXPECT_THAT(input_neighbours({folder / "none/sea.tif"}), ElementsAre(folder / "none/sea.tif"));
}

TEST(InputDigests, AreThoseOfTheFileAsItIsNow) {
    const Scratch folder;
    InputDigests digests;
    EXPECT_EQ(digests.of(folder / "none"), "");
    std::ofstream(folder / "file") << "abc";
    // FIPS 180-2, appendix B.1.
    EXPECT_EQ(digests.of(folder / "file"),
              "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    std::ofstream(folder / "file") << "abd";
    std::filesystem::last_write_time(folder / "file",
                                     std::filesystem::file_time_type::clock::now() + std::chrono::seconds(2));
    EXPECT_NE(digests.of(folder / "file"),
              "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
}

} // namespace
} // namespace swingroom::cli
