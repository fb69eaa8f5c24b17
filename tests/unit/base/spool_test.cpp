#include "swingroom/base/error.hpp"

#include "base/spool.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <array>
#include <cstddef>
#include <cstdint>
#include <fcntl.h>
#include <filesystem>
#include <span>
#include <string>
#include <thread>
#include <unistd.h>
#include <vector>

namespace swingroom {
namespace {

using testing::AllOf;
using testing::HasSubstr;

std::vector<std::byte> record_of(int number, std::size_t bytes) {
    return std::vector(bytes, static_cast<std::byte>(number));
}

/// Writes records of different lengths and reads them from the last to the first.
void expect_all_back(Spool& spool) {
    std::vector<std::uint64_t> at;
    for (int i = 0; i < 100; ++i) {
        at.push_back(spool.put(record_of(i, static_cast<std::size_t>(i * 7 % 50))));
    }
    for (int i = 99; i >= 0; --i) {
        std::vector<std::byte> read(static_cast<std::size_t>(i * 7 % 50), std::byte{255});
        spool.get(at[static_cast<std::size_t>(i)], read);
        EXPECT_EQ(read, record_of(i, read.size()));
    }
}

class SpoolFolder : public testing::Test {
public:
    SpoolFolder()
        : folder_(std::filesystem::temp_directory_path() / ("swingroom-spool-" + std::to_string(getpid()))) {
        std::filesystem::create_directory(folder_);
    }
    ~SpoolFolder() override { std::filesystem::remove_all(folder_); }
    SpoolFolder(const SpoolFolder&) = delete;
    SpoolFolder& operator=(const SpoolFolder&) = delete;

protected:
    std::filesystem::path folder_;
};

TEST_F(SpoolFolder, GivesBackFromMemoryAndFromDisk) {
    Spool small({folder_ / "not there", 10'000});
    expect_all_back(small);
    EXPECT_EQ(small.bytes_on_disk(), 0) << "nothing is opened for so little";
    Spool of_disk({folder_, 0}), both({folder_, 1000});
    expect_all_back(of_disk);
    expect_all_back(both);
    EXPECT_GT(of_disk.bytes_on_disk(), 2000) << "all of it";
    EXPECT_LT(both.bytes_on_disk(), of_disk.bytes_on_disk() - 950) << "what fits stays in memory: 49 may not";
    EXPECT_GE(both.bytes_on_disk(), of_disk.bytes_on_disk() - 1000) << "and no more of it";
    EXPECT_TRUE(std::filesystem::is_empty(folder_)) << "the file has no name";
}

TEST_F(SpoolFolder, TakesFromSeveralThreads) {
    Spool spool({folder_, 3000});
    std::array<std::vector<std::uint64_t>, 4> at;
    {
        std::vector<std::jthread> threads;
        for (int thread = 0; thread < 4; ++thread) {
            threads.emplace_back([&spool, &mine = at.at(static_cast<std::size_t>(thread)), thread] {
                for (int i = 0; i < 200; ++i) {
                    mine.push_back(spool.put(record_of(thread * 50 + i % 50, 20)));
                }
            });
        }
    }
    for (int thread = 0; thread < 4; ++thread) {
        for (int i = 0; i < 200; ++i) {
            std::vector<std::byte> read(20);
            spool.get(at.at(static_cast<std::size_t>(thread))[static_cast<std::size_t>(i)], read);
            ASSERT_EQ(read, record_of(thread * 50 + i % 50, 20));
        }
    }
}

std::string failure(Spool& spool) {
    try {
        spool.put(record_of(1, 100));
    } catch (const IoError& error) {
        return error.what();
    }
    return "none";
}

TEST_F(SpoolFolder, ThatIsFullIsAnErrorThatNamesIt) {
    Spool full({folder_, 0}, [](const std::filesystem::path& /*folder*/) {
        return ::open("/dev/full", O_RDWR | O_CLOEXEC);
    });
    EXPECT_THAT(failure(full), AllOf(HasSubstr(folder_.string()), HasSubstr("No space left on device"),
                                     HasSubstr("free space there"), testing::Not(HasSubstr("\n"))));
    Spool nowhere({folder_ / "not there", 50});
    EXPECT_THAT(failure(nowhere), AllOf(HasSubstr("not there"), HasSubstr("No such file or directory")));
}

TEST_F(SpoolFolder, OfWhatIsNotThereAnyMoreIsAnError) {
    Spool cut({folder_, 0}, [](const std::filesystem::path& folder) {
        return ::open((folder / "cut").c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0600);
    });
    const std::uint64_t at = cut.put(record_of(1, 100));
    std::filesystem::resize_file(folder_ / "cut", 50);
    std::vector<std::byte> read(100);
    EXPECT_THROW(cut.get(at, read), IoError);
}

} // namespace
} // namespace swingroom
