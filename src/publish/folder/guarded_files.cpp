#include "publish/folder/guarded_files.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/base/stop.hpp"

#include "publish/folder/planned_faults.hpp"
#include "sea/gdal/file_system.hpp"

#include <cpl_string.h>
#include <cpl_vsi.h>

#include <atomic>
#include <cerrno>
#include <cstdio>
#include <cstring>
#include <fcntl.h>
#include <map>
#include <memory>
#include <mutex>
#include <sys/file.h>
#include <sys/stat.h>
#include <system_error>
#include <unistd.h>
#include <utility>
#include <vector>

namespace swingroom::guarded {
namespace {

// ---- the first failure of each file --------------------------------------------------------------------

struct Failure {
    const char* action;
    int error;
};

std::mutex failures_mutex;
std::map<std::string, Failure> failures;

void remember(const std::string& path, const char* action, int error) {
    const std::scoped_lock lock(failures_mutex);
    failures.try_emplace(path, Failure{action, error});
}

// ---- what failures are called ---------------------------------------------------------------------------

/// What is made, and the setting that names it.
struct Target {
    std::filesystem::path path;
    Setting called = Setting::out;
    [[nodiscard]] bool empty() const { return path.empty(); }
    [[nodiscard]] std::string name() const { return path.string(); }
};

std::mutex targets_mutex;
/// Targets by working folder; never destroyed, since a program may be ended while it goes down.
std::map<std::filesystem::path, Target>& targets() {
    static auto& all = *new std::map<std::filesystem::path, Target>;
    return all;
}

Target target_of(const std::filesystem::path& working) {
    const std::scoped_lock lock(targets_mutex);
    const auto found = targets().find(working);
    return found == targets().end() ? Target{} : found->second;
}

/// "a folder elsewhere"
Message elsewhere(Setting called) { return with_article(called) + " elsewhere"; }
Message look_after_disk(Setting called) { return "; look after that disk, or give " + elsewhere(called); }

std::mutex rename_mutex;

[[noreturn]] void fail(const std::string& path, const char* action, int error) {
    const std::filesystem::path file(path);
    if (const auto target = target_of(file); !target.empty()) {
        throw IoError(target.name(),
                      std::string(action) + " failed: " + reason_and_cure(error, target.called));
    }
    if (const auto target = target_of(file.parent_path()); !target.empty()) {
        // Of a single file the name is told already.
        const std::filesystem::path name = file.filename();
        throw IoError(target.name(), std::string(action) +
                                         (name == target.path.filename() ? "" : " " + name.string()) +
                                         " failed: " + reason_and_cure(error, target.called));
    }
    throw IoError(path, std::string(action) + " failed: " + reason_of(error));
}

// ---- an open file --------------------------------------------------------------------------------------

/// One open file: bytes written one after the other are gathered, so that many small writes of a text driver
/// are few calls of the kernel. A file is used by one thread at a time, as GDAL promises.
///
/// After a failed write it says that all went well and drops what comes: the drivers of GDAL 3.6 do not
/// survive every failure (on a disk that stays full its TIFF library was seen to follow a null pointer). The
/// failure is remembered, and whoever made the file asks for it.
class File {
public:
    File(std::string path, int fd, bool writable, bool append)
        : path_(std::move(path)), fd_(fd), writable_(writable), append_(append) {}
    File(const File&) = delete;
    File& operator=(const File&) = delete;
    ~File() {
        if (fd_ >= 0) close();
    }

    [[nodiscard]] std::uint64_t tell() const { return position_; }
    [[nodiscard]] bool at_end() const { return end_seen_; }
    [[nodiscard]] bool broken() const { return broken_; }

    bool seek(std::uint64_t offset, int whence) {
        end_seen_ = false;
        if (whence == SEEK_SET) {
            position_ = offset;
        } else if (whence == SEEK_CUR) {
            position_ += offset;
        } else {
            flush();
            // As for reading: told later, and what the next attempt gives is what the driver goes on with.
            if (const int error = planned_error(Calls::reads); error != 0) {
                remember(path_, "looking for its end", error);
            }
            const off_t size = ::lseek(fd_, 0, SEEK_END);
            if (size < 0) {
                remember(path_, "looking for its end", errno);
                return false;
            }
            position_ = static_cast<std::uint64_t>(size) + offset;
        }
        return true;
    }

    std::size_t read(void* to, std::size_t bytes) {
        flush();
        std::size_t done = 0;
        int attempts = 3;
        while (done < bytes) {
            int error = planned_error(Calls::reads);
            const ssize_t got = error != 0 ? -1
                                           : ::pread(fd_, static_cast<char*>(to) + done, bytes - done,
                                                     static_cast<off_t>(position_ + done));
            if (got < 0 && error == 0) error = errno;
            if (error == EINTR) continue;
            if (got < 0) {
                remember(path_, "reading", error);
                // Drivers do not survive every failure in a file that they write. What the disk gives at the
                // next attempt keeps them alive until somebody asks, and is told that it failed.
                if (writable_ && --attempts > 0) continue;
            }
            if (got <= 0) {
                end_seen_ = true;
                break;
            }
            done += static_cast<std::size_t>(got);
        }
        position_ += done;
        return done;
    }

    std::size_t write(const void* from, std::size_t bytes) {
        if (!writable_) {
            remember(path_, "writing", EBADF);
            return 0;
        }
        if (append_ && !seek(0, SEEK_END)) return 0;
        const bool continues = gathered_.empty() || gathered_at_ + gathered_.size() == position_;
        if (!continues || gathered_.size() + bytes > gather_limit) flush();
        if (bytes >= gather_limit) {
            put(static_cast<const char*>(from), bytes, position_);
        } else {
            if (gathered_.empty()) gathered_at_ = position_;
            const auto* first = static_cast<const char*>(from);
            gathered_.insert(gathered_.end(), first, first + bytes);
        }
        position_ += bytes;
        return bytes;
    }

    void flush() {
        if (gathered_.empty()) return;
        put(gathered_.data(), gathered_.size(), gathered_at_);
        gathered_.clear();
    }

    void truncate(std::uint64_t bytes) {
        flush();
        if (broken_) return;
        int error = planned_error();
        if (error == 0 && ::ftruncate(fd_, static_cast<off_t>(bytes)) != 0) error = errno;
        if (error != 0) fail_with("cutting to length", error);
    }

    void close() {
        flush();
        int error = writable_ ? planned_error() : 0;
        // After EINTR the descriptor is gone on Linux, and its state unknown: an error like any other.
        if (::close(std::exchange(fd_, -1)) != 0 && error == 0) error = errno;
        if (error != 0) fail_with("closing", error);
    }

private:
    static constexpr std::size_t gather_limit = 128 * 1024;

    void fail_with(const char* action, int error) {
        broken_ = true;
        remember(path_, action, error);
    }

    void put(const char* from, std::size_t bytes, std::uint64_t at) {
        std::size_t done = 0;
        while (done < bytes && !broken_) {
            int error = planned_error();
            ssize_t put_now = -1;
            if (error == 0) {
                put_now = ::pwrite(fd_, from + done, bytes - done, static_cast<off_t>(at + done));
                error = put_now < 0 ? errno : put_now == 0 ? ENOSPC : 0;
            }
            if (error == EINTR) continue;
            if (error != 0) return fail_with("writing", error);
            done += static_cast<std::size_t>(put_now);
        }
    }

    std::string path_;
    int fd_;
    bool writable_, append_;
    bool end_seen_ = false, broken_ = false;
    std::uint64_t position_ = 0, gathered_at_ = 0;
    std::vector<char> gathered_;
};

/// Opens as fopen's mode letters say; null with errno set when it cannot.
std::unique_ptr<File> open_file(const std::string& path, std::string_view mode) {
    const bool creates = mode.starts_with('w'), appends = mode.starts_with('a');
    const bool both = mode.find('+') != std::string_view::npos;
    const bool writable = creates || appends || both;
    int flags = O_CLOEXEC | (writable ? O_RDWR : O_RDONLY);
    if (creates) flags |= O_CREAT | O_TRUNC;
    if (appends) flags |= O_CREAT;
    int error = planned_error(writable ? Calls::changes : Calls::reads);
    int fd = -1;
    if (error == 0) {
        fd = ::open(path.c_str(), flags, 0666);
        if (fd < 0) error = errno;
    }
    if (fd < 0) {
        // A file that is not there to be read is an answer, not a failure: drivers look for sidecars.
        const bool is_there = error != ENOENT && error != ENOTDIR;
        if (is_there && !writable) remember(path, "opening to read", error);
        if (writable && !(both && !creates && !appends && error == ENOENT)) {
            remember(path, "opening to write", error);
        }
        errno = error;
        return nullptr;
    }
    return std::make_unique<File>(path, fd, writable, appends);
}

// ---- GDAL's view ---------------------------------------------------------------------------------------

File* as_file(void* handle) { return static_cast<File*>(handle); }

/// The disk as GDAL sees it.
struct Disk {
    using File = guarded::File;
    static constexpr const char* prefix = "/vsiguarded/";

    static std::unique_ptr<File> open(const char* name, const char* mode) { return open_file(name, mode); }
    static int stat(const char* name, VSIStatBufL* to) { return ::stat64(name, to); }
    static char** read_dir(const char* name, int most) { return VSIReadDirEx(name, most); }
    static int rename(const char* from, const char* to) {
        const int error = rename_plainly(from, to);
        if (error != 0) remember(to, "renaming", error);
        return error == 0 ? 0 : -1;
    }
    static int unlink(const char* name) { return ::unlink(name); }
    static int mkdir(const char* name, long mode) { return ::mkdir(name, static_cast<mode_t>(mode)); }
    static int rmdir(const char* name) { return ::rmdir(name); }
};

std::string absolute_name(const std::filesystem::path& path) {
    return std::filesystem::absolute(path).lexically_normal().string();
}

} // namespace

std::string gdal_name(const std::filesystem::path& path) {
    FileSystem<Disk>::install();
    return Disk::prefix + absolute_name(path);
}

void throw_if_failed(const std::filesystem::path& path) {
    const std::string name = absolute_name(path);
    const std::scoped_lock lock(failures_mutex);
    const auto found = failures.find(name);
    if (found == failures.end()) return;
    const Failure failure = found->second;
    failures.erase(found);
    fail(name, failure.action, failure.error);
}

Writer::Writer(const std::filesystem::path& path) : path_(absolute_name(path)), file_(nullptr) {
    file_ = open_file(path_.string(), "w").release();
    throw_if_failed(path_);
}

Writer::~Writer() { delete as_file(file_); }

void Writer::write(std::string_view bytes) {
    stop_if_asked();
    if (as_file(file_)->write(bytes.data(), bytes.size()) != bytes.size()) throw_if_failed(path_);
}

void Writer::close() {
    const std::unique_ptr<File> owned(as_file(std::exchange(file_, nullptr)));
    if (owned) owned->close();
    throw_if_failed(path_);
}

void read_file(const std::filesystem::path& path, const std::function<void(std::string_view)>& take) {
    const std::string name = path.string();
    struct Descriptor {
        int fd;
        ~Descriptor() {
            if (fd >= 0) ::close(fd);
        }
    };
    int error = planned_error(Calls::reads);
    const Descriptor file(error != 0 ? -1 : ::open(name.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK));
    if (file.fd < 0) fail(name, "opening", error != 0 ? error : errno);
    struct stat about {};
    error = planned_error(Calls::reads);
    if (error != 0 || ::fstat(file.fd, &about) != 0) fail(name, "looking at it", error != 0 ? error : errno);
    if (!S_ISREG(about.st_mode)) throw IoError(name, "is not a plain file");
    std::vector<char> piece(1U << 20);
    while (true) {
        stop_if_asked();
        error = planned_error(Calls::reads);
        const ssize_t got = error != 0 ? -1 : ::read(file.fd, piece.data(), piece.size());
        if (got < 0 && error == 0) error = errno;
        if (error == EINTR) continue;
        if (error != 0) fail(name, "reading", error);
        if (got == 0) return;
        take({piece.data(), static_cast<std::size_t>(got)});
    }
}

namespace {

/// What could not be done with a file, and why; errno 0 when all went well.
Failure flushed(const std::string& name) {
    if (const int error = planned_error(); error != 0) return {"flushing to disk", error};
    const int fd = ::open(name.c_str(), O_RDONLY | O_CLOEXEC);
    if (fd < 0) return {"opening", errno};
    int error = ::fsync(fd) != 0 ? errno : 0;
    if (::close(fd) != 0 && error == 0) error = errno;
    // Some network and user-space file systems cannot flush a folder and say so; they lose nothing by it.
    if ((error == EINVAL || error == ENOTSUP) && std::filesystem::is_directory(name)) error = 0;
    return {"flushing to disk", error};
}

} // namespace

void sync_to_disk(const std::filesystem::path& path) {
    stop_if_asked();
    const std::string name = path.string();
    if (const Failure failure = flushed(name); failure.error != 0) fail(name, failure.action, failure.error);
}

int flush_folder(const std::filesystem::path& path) { return flushed(path.string()).error; }

int remove_file(const std::filesystem::path& path) {
    const int error = planned_error();
    if (error != 0) return error;
    return ::unlink(path.c_str()) == 0 ? 0 : errno;
}

LockedFile make_locked_file(const std::filesystem::path& path) {
    const std::filesystem::path unnamed = std::filesystem::path(path) += ".new";
    LockedFile file;
    file.error = planned_error();
    if (file.error == 0) {
        file.fd = ::open(unnamed.c_str(), O_RDWR | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
        file.error = file.fd < 0 ? errno : 0;
    }
    if (file.error != 0) return file;
    const bool locked = ::flock(file.fd, LOCK_EX | LOCK_NB) == 0;
    if (locked) file.error = rename_plainly(unnamed, path);
    if (!locked || file.error != 0) {
        ::close(std::exchange(file.fd, -1));
        ::unlink(unnamed.c_str());
    }
    return file;
}

int make_folder(const std::filesystem::path& path) {
    const int error = planned_error();
    if (error != 0) return error;
    return ::mkdir(path.c_str(), 0777) == 0 ? 0 : errno;
}

int rename_in_one_step(const std::filesystem::path& from, const std::filesystem::path& to, Rename how) {
    const int error = planned_error();
    if (error != 0) return error;
    const unsigned flags = how == Rename::exchange ? RENAME_EXCHANGE : RENAME_NOREPLACE;
    return ::renameat2(AT_FDCWD, from.c_str(), AT_FDCWD, to.c_str(), flags) == 0 ? 0 : errno;
}

int rename_plainly(const std::filesystem::path& from, const std::filesystem::path& to) {
    const int error = planned_error();
    if (error != 0) return error;
    return ::rename(from.c_str(), to.c_str()) == 0 ? 0 : errno;
}

void remove_quietly(const std::filesystem::path& folder) noexcept {
    std::error_code ignored;
    if (std::filesystem::is_directory(std::filesystem::symlink_status(folder, ignored))) {
        for (std::filesystem::directory_iterator it(folder, ignored), end; !ignored && it != end;
             it.increment(ignored)) {
            std::error_code also_ignored;
            if (it->path().filename() != lock_name) std::filesystem::remove_all(it->path(), also_ignored);
        }
    }
    std::filesystem::remove_all(folder, ignored); // of a link the link alone
}

std::string reason_of(int error) { return std::generic_category().message(error); }

Message reason_and_cure(int error, Setting called) {
    if (error == ENOSPC || error == EDQUOT) {
        return reason_of(error) + "; free space there, or give " + elsewhere(called);
    }
    return reason_of(error) + look_after_disk(called);
}

void fail(const std::filesystem::path& file, const Message& wrong) {
    if (const auto target = target_of(file.parent_path()); !target.empty()) {
        throw IoError(target.name(), file.filename().string() + " " + wrong + look_after_disk(target.called));
    }
    throw IoError(file.string(), wrong);
}

void fail_with(const std::filesystem::path& file, const char* action, int error) {
    fail(file.string(), action, error);
}

void name_in_messages(const std::filesystem::path& target, const std::filesystem::path& working,
                      Setting called) {
    const std::scoped_lock lock(targets_mutex);
    targets().insert_or_assign(working, Target{target, called});
}

void forget_name_in_messages(const std::filesystem::path& working) noexcept {
    const std::scoped_lock lock(targets_mutex);
    targets().erase(working);
}

RenameLock::RenameLock() { rename_mutex.lock(); }
RenameLock::~RenameLock() { rename_mutex.unlock(); }

void remove_unfinished() noexcept {
    rename_mutex.lock(); // for good
    const std::scoped_lock lock(targets_mutex);
    for (const auto& [working, target] : targets()) {
        // Under another name no thread finds it to put new files there meanwhile.
        const std::filesystem::path ended(working.native() + "-ended");
        remove_quietly(::rename(working.c_str(), ended.c_str()) == 0 ? ended : working);
    }
}

} // namespace swingroom::guarded
