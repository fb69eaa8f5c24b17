#include "swingroom/base/error.hpp"

#include "publish/folder/guarded_files.hpp"
#include "unit/publish/scratch_folder.hpp"

#include <cpl_vsi.h>
#include <gtest/gtest.h>

#include <cerrno>
#include <csignal>
#include <string>
#include <sys/resource.h>

namespace swingroom {
namespace {

using testing::bytes_of;
using testing::ScratchFolder;

struct NoFault {
    ~NoFault() { guarded::plan_fault({}); }
};

TEST(GuardedFiles, WritesSeeksReadsAndCutsLikeAFile) {
    const ScratchFolder folder;
    const auto path = folder.path() / "file";
    VSILFILE* file = VSIFOpenL(guarded::gdal_name(path).c_str(), "w+");
    ASSERT_NE(file, nullptr);
    for (int i = 0; i < 100000; ++i) {
        VSIFPrintfL(file, "%05d\n", i);
    }
    EXPECT_EQ(VSIFTellL(file), 600000U);
    VSIFSeekL(file, 6 * 777, SEEK_SET);
    EXPECT_EQ(VSIFWriteL("abcde", 1, 5, file), 5U);
    VSIFSeekL(file, 6 * 776, SEEK_SET);
    std::string read(18, ' ');
    EXPECT_EQ(VSIFReadL(read.data(), 1, 18, file), 18U);
    EXPECT_EQ(read, "00776\nabcde\n00778\n");
    VSIFSeekL(file, 0, SEEK_END);
    EXPECT_EQ(VSIFTellL(file), 600000U);
    EXPECT_EQ(VSIFReadL(read.data(), 1, 1, file), 0U);
    EXPECT_TRUE(VSIFEofL(file));
    EXPECT_EQ(VSIFTruncateL(file, 12), 0);
    EXPECT_EQ(VSIFCloseL(file), 0);
    EXPECT_EQ(bytes_of(path), "00000\n00001\n");
    EXPECT_NO_THROW(guarded::throw_if_failed(path));
}

TEST(GuardedFiles, KeepsAFailureThatTheWriterIgnores) {
    const ScratchFolder folder;
    const NoFault after;
    const auto path = folder.path() / "file";
    VSILFILE* file = VSIFOpenL(guarded::gdal_name(path).c_str(), "w");
    ASSERT_NE(file, nullptr);
    guarded::plan_fault({1, ENOSPC, false});
    VSIFPrintfL(file, "lost");
    VSIFCloseL(file);
    try {
        guarded::throw_if_failed(path);
        FAIL() << "the loss went unnoticed";
    } catch (const IoError& error) {
        EXPECT_NE(std::string(error.what()).find("No space left on device"), std::string::npos)
            << error.what();
        EXPECT_NE(std::string(error.what()).find(path.string()), std::string::npos) << error.what();
    }
    EXPECT_NO_THROW(guarded::throw_if_failed(path)) << "told once";
}

TEST(GuardedFiles, NoticesAFullDevice) {
    guarded::Writer writer("/dev/full");
    writer.write("bytes");
    EXPECT_THROW(writer.close(), IoError);
}

TEST(GuardedFiles, NoticesTheLimitOnAFilesSize) {
    const ScratchFolder folder;
    rlimit before{};
    ASSERT_EQ(getrlimit(RLIMIT_FSIZE, &before), 0);
    const auto handler = std::signal(SIGXFSZ, SIG_IGN);
    const rlimit small{10000, before.rlim_max};
    ASSERT_EQ(setrlimit(RLIMIT_FSIZE, &small), 0);
    EXPECT_THROW(
        {
            guarded::Writer writer(folder.path() / "file");
            for (int i = 0; i < 1000; ++i) {
                writer.write(std::string(1000, 'x'));
            }
            writer.close();
        },
        IoError);
    setrlimit(RLIMIT_FSIZE, &before);
    std::signal(SIGXFSZ, handler);
}

} // namespace
} // namespace swingroom
