#include "sea/files/watched_reading.hpp"

#include "swingroom/base/error.hpp"

#include "sea/gdal/file_system.hpp"

#include <cpl_conv.h>
#include <cpl_error.h>
#include <cpl_string.h>
#include <cpl_vsi.h>
#include <gdal_priv.h>

#include <algorithm>
#include <atomic>
#include <cerrno>
#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <dirent.h>
#include <fcntl.h>
#include <memory>
#include <mutex>
#include <string_view>
#include <sys/stat.h>
#include <system_error>
#include <unistd.h>
#include <utility>
#include <vector>

namespace swingroom::watched {
namespace {

// ---- planned faults, for tests -------------------------------------------------------------------------

std::atomic<std::int64_t> fault_at(0), fault_calls(0);

/// Whether the call that is about to be made shall fail; errno is set then.
bool planned_to_fail() {
    const bool fails = ++fault_calls == fault_at;
    if (fails) errno = EIO;
    return fails;
}

// ---- the first failure ---------------------------------------------------------------------------------

struct Failure {
    std::string file;
    const char* action = "";
    int error = 0;
};

std::mutex failure_mutex;
Failure failure;

void remember(const std::string& file, const char* action, int error) {
    const std::scoped_lock lock(failure_mutex);
    if (failure.error == 0) failure = {file, action, error};
}

/// What is not there, or cannot be there, is an answer: drivers look for many a sidecar.
bool says_that_nothing_is_there(int error) {
    return error == ENOENT || error == ENOTDIR || error == ENAMETOOLONG;
}

// ---- an open file --------------------------------------------------------------------------------------

/// A file that is read by one thread at a time, as GDAL promises, through a window of its bytes: drivers of
/// text ask for few at a time.
class File {
public:
    File(std::string path, int fd) : path_(std::move(path)), fd_(fd), window_(window_bytes) {}
    File(const File&) = delete;
    File& operator=(const File&) = delete;
    ~File() { ::close(fd_); }

    [[nodiscard]] std::uint64_t tell() const { return position_; }
    [[nodiscard]] bool at_end() const { return end_seen_; }

    bool seek(std::uint64_t offset, int whence) {
        end_seen_ = false;
        if (whence == SEEK_CUR) {
            position_ += offset;
        } else if (whence == SEEK_END) {
            struct stat64 about {};
            if (::fstat64(fd_, &about) != 0) {
                remember(path_, "looking at it", errno);
                return false;
            }
            position_ = static_cast<std::uint64_t>(about.st_size) + offset;
        } else {
            position_ = offset;
        }
        return true;
    }

    std::size_t read(char* to, std::size_t bytes) {
        std::size_t done = 0;
        while (done < bytes) {
            const bool inside = position_ >= window_at_ && position_ < window_at_ + held_;
            if (!inside && bytes - done >= window_bytes) {
                const std::size_t got = fetch(to + done, bytes - done, position_);
                position_ += got;
                done += got;
                if (got == 0) break;
                continue;
            }
            if (!inside && !fill()) break;
            const auto from = static_cast<std::size_t>(position_ - window_at_);
            const std::size_t some = std::min(bytes - done, held_ - from);
            std::copy_n(window_.data() + from, some, to + done);
            position_ += some;
            done += some;
        }
        end_seen_ = end_seen_ || done < bytes;
        return done;
    }

private:
    static constexpr std::size_t window_bytes = 32 * 1024;

    bool fill() {
        window_at_ = position_;
        held_ = fetch(window_.data(), window_bytes, position_);
        return held_ > 0;
    }

    /// @returns how many bytes there were; 0 at the end and after a failure
    std::size_t fetch(char* to, std::size_t bytes, std::uint64_t at) {
        while (true) {
            const ssize_t got = planned_to_fail() ? -1 : ::pread64(fd_, to, bytes, static_cast<off64_t>(at));
            if (got >= 0) return static_cast<std::size_t>(got);
            if (errno == EINTR) continue;
            remember(path_, "reading", errno);
            return 0;
        }
    }

    std::string path_;
    int fd_;
    bool end_seen_ = false;
    std::uint64_t position_ = 0, window_at_ = 0;
    std::vector<char> window_;
    std::size_t held_ = 0;
};

// ---- GDAL's view ---------------------------------------------------------------------------------------

/// The disk as GDAL sees it.
struct Disk {
    using File = watched::File;
    static constexpr const char* prefix = "/vsiwatched/";

    static int stat(const char* name, VSIStatBufL* to) {
        if (!planned_to_fail() && ::stat64(name, to) == 0) return 0;
        if (const int error = errno; !says_that_nothing_is_there(error)) {
            remember(name, "looking at it", error);
        }
        return -1;
    }

    /// Nothing is written beside an input.
    static std::unique_ptr<File> open(const char* name, const char* mode) {
        const std::string_view how = mode;
        if (how.find_first_of("wa+") != std::string_view::npos) {
            errno = EROFS;
            return nullptr;
        }
        const int fd = planned_to_fail() ? -1 : ::open(name, O_RDONLY | O_CLOEXEC | O_NONBLOCK);
        struct stat64 about {};
        int error = fd < 0 || ::fstat64(fd, &about) != 0 ? errno : 0;
        if (error == 0 && S_ISREG(about.st_mode)) return std::make_unique<File>(name, fd);
        if (fd >= 0) ::close(fd);
        if (error == 0) error = EISDIR; // or a pipe or a device, which is not waited for
        if (error != EISDIR && !says_that_nothing_is_there(error)) remember(name, "opening", error);
        errno = error;
        return nullptr;
    }

    static char** read_dir(const char* name, int most) {
        const auto close = [](DIR* folder) { ::closedir(folder); };
        const std::unique_ptr<DIR, decltype(close)> folder(
            planned_to_fail() ? nullptr : ::opendir(*name != '\0' ? name : "."), close);
        if (!folder) {
            if (errno != EACCES && !says_that_nothing_is_there(errno)) remember(name, "listing", errno);
            return nullptr;
        }
        CPLStringList names;
        while (true) {
            errno = 0;
            const dirent* const entry = ::readdir(folder.get());
            if (!entry) break;
            names.AddString(entry->d_name);
            if (most > 0 && names.size() > most) break;
        }
        if (errno != 0) remember(name, "listing", errno);
        return names.StealList();
    }
};

constexpr std::string_view prefix = Disk::prefix;

} // namespace

std::string gdal_name(const std::string& path) {
    FileSystem<Disk>::install();
    return std::string(prefix) + path;
}

std::string file_of(const std::string& gdal_name) {
    return gdal_name.starts_with(prefix) ? gdal_name.substr(prefix.size()) : gdal_name;
}

std::string plainly(std::string message) {
    for (auto at = message.find(prefix); at != std::string::npos; at = message.find(prefix, at)) {
        message.erase(at, prefix.size());
    }
    return message;
}

void throw_if_failed() {
    const std::scoped_lock lock(failure_mutex);
    const Failure first = std::exchange(failure, {});
    if (first.error != 0) {
        throw IoError(first.file, std::string(first.action) +
                                      " failed: " + std::generic_category().message(first.error) +
                                      "; look after that disk, and run again");
    }
}

void plan_fault(std::int64_t at) {
    fault_calls = 0;
    fault_at = at;
}

std::int64_t calls_since_fault_planned() { return fault_calls; }

} // namespace swingroom::watched
