#include "swingroom/base/error.hpp"

#include "base/text_input.hpp"
#include "support/scratch.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/un.h>
#include <unistd.h>

namespace swingroom {
namespace {

using testing::HasSubstr;
using testing::StartsWith;

class TextInput : public testing::Test {
protected:
    [[nodiscard]] std::string written(const std::string& bytes) const {
        std::ofstream(scratch / "input", std::ios::binary) << bytes;
        return scratch / "input";
    }
    /// What the user is told to mend.
    static std::string refused(const std::string& path) {
        try {
            read_text_input(path);
        } catch (const InputError& error) {
            return error.what();
        }
        return "";
    }
    testing_support::Scratch scratch;
};

TEST_F(TextInput, IsReadWhole) {
    EXPECT_EQ(read_text_input(written("")), "");
    EXPECT_EQ(read_text_input(written("a = \xff\r\n")), "a = \xff\r\n");
    const std::string long_one(16U << 20U, 'x');
    EXPECT_EQ(read_text_input(written(long_one)), long_one);
    symlink("input", (scratch / "link").c_str());
    EXPECT_EQ(read_text_input(scratch / "link"), long_one);
}

TEST_F(TextInput, ThatIsNoPlainFileIsRefusedAtOnce) {
    const std::string fifo = scratch / "fifo", socket_name = scratch / "socket";
    ASSERT_EQ(mkfifo(fifo.c_str(), 0600), 0);
    const int listener = socket(AF_UNIX, SOCK_STREAM, 0);
    sockaddr_un address{};
    address.sun_family = AF_UNIX;
    socket_name.copy(address.sun_path, sizeof address.sun_path - 1);
    // NOLINTNEXTLINE(cppcoreguidelines-pro-type-reinterpret-cast): as sockets are named
    ASSERT_EQ(bind(listener, reinterpret_cast<const sockaddr*>(&address), sizeof address), 0);
    for (const std::string& path :
         {fifo, socket_name, std::string("/dev/zero"), std::string("/dev/null"), std::string("/dev/tty")}) {
        EXPECT_THAT(refused(path), StartsWith(path + ": is a pipe or a device, not a file; "));
    }
    close(listener);
    EXPECT_THAT(refused(scratch.path().string()), HasSubstr(": is a folder; "));
}

TEST_F(TextInput, ThatIsNotThereOrNotToBeReachedIsTheUsersToMend) {
    EXPECT_EQ(refused("no/such"), "no/such: no such file; give the path of an existing file");
    EXPECT_EQ(refused(""), ": no such file; give the path of an existing file");
    EXPECT_THAT(refused(written("") + "/below"), HasSubstr("cannot be opened: Not a directory; "));
    symlink("loop", (scratch / "loop").c_str());
    EXPECT_THAT(refused(scratch / "loop"), HasSubstr("cannot be opened: Too many levels"));
}

TEST_F(TextInput, ThatIsNoTextOrEndlessIsRefused) {
    EXPECT_THAT(refused(written(std::string("a\0b", 3))), HasSubstr("holds zero bytes"));
    EXPECT_THAT(refused(written(std::string((16U << 20U) + 1, 'x'))), HasSubstr("is larger than 16 MiB"));
}

TEST_F(TextInput, ThatFailsInReadingIsADisksFailure) {
    // The kernel's view of memory, of which the first page is never there.
    try {
        read_text_input("/proc/self/mem");
        FAIL() << "was read";
    } catch (const IoError& error) {
        EXPECT_STREQ(error.what(), "/proc/self/mem: cannot be read: Input/output error");
    }
}

} // namespace
} // namespace swingroom
