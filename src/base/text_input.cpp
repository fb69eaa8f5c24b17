#include "base/text_input.hpp"

#include "swingroom/base/error.hpp"

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstddef>
#include <fcntl.h>
#include <sys/stat.h>
#include <sys/types.h>
#include <system_error>
#include <unistd.h>

namespace swingroom {
namespace {

/// Far more than anybody writes by hand.
constexpr std::size_t most_bytes = 16U << 20U;

constexpr const char* cure = "give the path of an existing file";

std::string reason_of(int error) { return std::generic_category().message(error); }

/// What the user can mend is told apart from a disk that fails.
[[noreturn]] void refuse(const std::string& path, int error) {
    if (error == ENOENT) throw InputError(path, "no such file", cure);
    for (const int mistake : {EACCES, EPERM, ENOTDIR, ENAMETOOLONG, ELOOP}) {
        if (error == mistake) {
            throw InputError(path, "cannot be opened: " + reason_of(error), "give a file that can be read");
        }
    }
    throw IoError(path, "cannot be opened: " + reason_of(error));
}

void require_plain_file(const std::string& path, const struct stat& about) {
    if (S_ISDIR(about.st_mode)) throw InputError(path, "is a folder", cure);
    if (!S_ISREG(about.st_mode)) {
        throw InputError(path, "is a pipe or a device, not a file", "write what it gives into a file first");
    }
}

class OpenFile {
public:
    explicit OpenFile(const std::string& path) : path_(path) {
        struct stat about {};
        if (::stat(path.c_str(), &about) != 0) refuse(path, errno);
        require_plain_file(path, about);
        // What has taken the file's place since then must not hold up the program either.
        fd_ = ::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK | O_NOCTTY);
        if (fd_ < 0) refuse(path, errno);
    }
    OpenFile(const OpenFile&) = delete;
    OpenFile& operator=(const OpenFile&) = delete;
    ~OpenFile() { ::close(fd_); }

    [[nodiscard]] std::string text() const {
        struct stat about {};
        if (::fstat(fd_, &about) != 0) throw IoError(path_, "cannot be read: " + reason_of(errno));
        require_plain_file(path_, about);
        std::string all;
        std::array<char, 16384> piece{};
        while (const std::size_t got = read(piece.data(), piece.size())) {
            all.append(piece.data(), got);
            if (all.size() > most_bytes) {
                throw InputError(path_, "is larger than 16 MiB, too large for what it is given as", cure);
            }
        }
        return all;
    }

private:
    /// @returns how many bytes; none: that was all
    [[nodiscard]] std::size_t read(char* to, std::size_t most) const {
        while (true) {
            const ssize_t got = ::read(fd_, to, most);
            if (got >= 0) return static_cast<std::size_t>(got);
            if (errno != EINTR) throw IoError(path_, "cannot be read: " + reason_of(errno));
        }
    }

    std::string path_;
    int fd_ = -1;
};

} // namespace

std::string read_text_input(const std::string& path) {
    std::string text = OpenFile(path).text();
    if (std::find(text.begin(), text.end(), '\0') != text.end()) {
        throw InputError(path, "holds zero bytes, so it is no text that is read here", "save it as UTF-8");
    }
    return text;
}

} // namespace swingroom
