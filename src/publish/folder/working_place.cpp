#include "publish/folder/working_place.hpp"

#include "swingroom/base/error.hpp"

#include "publish/folder/guarded_files.hpp"

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstddef>
#include <cstdint>
#include <fcntl.h>
#include <optional>
#include <random>
#include <string_view>
#include <sys/file.h>
#include <sys/stat.h>
#include <sys/vfs.h>
#include <system_error>
#include <unistd.h>
#include <utility>

namespace swingroom {
namespace {

namespace fs = std::filesystem;

/// All that is made is a folder but the picture.
bool makes_a_folder(Setting called) { return called != Setting::picture; }

/// What all working folders beside a target begin with.
std::string working_prefix(const fs::path& target) { return "." + target.filename().string() + ".part-"; }

std::string random_suffix() {
    constexpr std::string_view letters = "abcdefghijklmnopqrstuvwxyz0123456789";
    std::random_device device;
    std::uniform_int_distribution<std::size_t> pick(0, letters.size() - 1);
    std::string text;
    for (int i = 0; i < 6; ++i) {
        text += letters[pick(device)];
    }
    return text;
}

/// Of a folder the one that it is in is told, of a file its own name.
[[noreturn]] void refuse_parent(const fs::path& target, int error, Setting called) {
    const std::string parent = target.parent_path().string();
    constexpr std::array mistakes = {ENOENT, ENOTDIR, EACCES, EPERM, EROFS, ENAMETOOLONG, ELOOP};
    if (!makes_a_folder(called) && std::find(mistakes.begin(), mistakes.end(), error) != mistakes.end()) {
        throw InputError(called, target.string() + " cannot be made: " + guarded::reason_of(error),
                         "make its folder first, or give another " + called);
    }
    switch (error) {
    case ENOENT:
        throw InputError(called, "the folder " + parent + " does not exist", "make it first");
    case ENOTDIR:
        throw InputError(called, parent + " is not a folder", "give another name");
    case ENAMETOOLONG:
        throw InputError(called, "the name " + target.filename().string() + " is too long",
                         "give a shorter one");
    case EACCES:
    case EPERM:
    case EROFS:
        throw InputError(called, "the folder " + parent + " cannot be written: " + guarded::reason_of(error),
                         "give a folder that can");
    default:
        throw IoError(target.string(),
                      "making a folder beside it failed: " + guarded::reason_and_cure(error, called));
    }
}

/// File systems whose locks may be those of one machine alone, which the kernel does not tell: what another
/// machine holds would look like nobody's. Their numbers are those of statfs(2).
bool may_hide_locks(int fd) {
    constexpr std::array<std::uint32_t, 5> one_machine = {0x65735546 /* FUSE */, 0x01021997 /* 9P */,
                                                          0xFF534D42 /* CIFS */, 0xFE534D42 /* SMB2 */,
                                                          0x786F4256 /* vboxsf */};
    struct statfs about {};
    return ::fstatfs(fd, &about) != 0 ||
           std::find(one_machine.begin(), one_machine.end(), static_cast<std::uint32_t>(about.f_type)) !=
               one_machine.end();
}

/// An open file, closed at the end of its life.
class Descriptor {
public:
    explicit Descriptor(int fd) : fd_(fd) {}
    Descriptor(const Descriptor&) = delete;
    Descriptor& operator=(const Descriptor&) = delete;
    ~Descriptor() {
        if (fd_ >= 0) ::close(fd_);
    }
    [[nodiscard]] int get() const { return fd_; }

private:
    int fd_;
};

bool is_that_file(const fs::path& path, int fd) {
    struct stat named {
    }, open{};
    return ::lstat(path.c_str(), &named) == 0 && ::fstat(fd, &open) == 0 && named.st_dev == open.st_dev &&
           named.st_ino == open.st_ino;
}

/// Looks at a folder that another run into the same place has made or left.
/// @returns what to say of it; nothing where it is gone meanwhile
std::optional<std::string> looked_after(const fs::path& left) {
    const std::string who_knows = left.string() + ": was left by a run that was killed, or one is still "
                                                  "going on there; remove it if none is";
    const fs::path lock = left / guarded::lock_name;
    // A link, or a file, of such a name is none of ours, and where it leads to is nobody's to empty.
    const Descriptor folder(::open(left.c_str(), O_RDONLY | O_DIRECTORY | O_NOFOLLOW | O_CLOEXEC));
    if (folder.get() < 0) {
        return errno == ENOTDIR || errno == ELOOP || errno == ENOENT ? std::nullopt
                                                                     : std::optional(who_knows);
    }
    const Descriptor file(
        ::openat(folder.get(), guarded::lock_name, O_RDWR | O_CLOEXEC | O_NOFOLLOW | O_NONBLOCK));
    std::error_code ignored;
    struct stat about {};
    const bool is_plain = file.get() >= 0 && ::fstat(file.get(), &about) == 0 && S_ISREG(about.st_mode);
    if (!is_plain || may_hide_locks(file.get())) {
        return fs::exists(fs::symlink_status(left, ignored)) ? std::optional(who_knows) : std::nullopt;
    }
    if (::flock(file.get(), LOCK_EX | LOCK_NB) != 0) {
        return errno == EWOULDBLOCK ? left.string() + ": another run into the same place is going on there"
                                    : who_knows;
    }
    if (!is_that_file(lock, file.get())) { // its run has ended meanwhile
        return std::nullopt;
    }
    guarded::remove_quietly(left);
    return left.string() + (fs::exists(fs::symlink_status(left, ignored))
                                ? ": was left by a run that was killed, and cannot be removed; remove it"
                                : ": was left by a run that was killed, and has been removed");
}

} // namespace

fs::path checked_target(fs::path target, Setting called) {
    const std::string what = makes_a_folder(called) ? "folder" : "file",
                      cure = "give the " + what + " to make";
    if (target.empty()) throw InputError(called, "no name", cure);
    if (!makes_a_folder(called) && !target.has_filename()) {
        throw InputError(called, target.string() + " is the name of a folder", cure);
    }
    target = fs::absolute(target);
    while (!target.has_filename() && target.has_relative_path()) {
        target = target.parent_path(); // of "haven/"
    }
    // The kernel walks through links before it takes a step up, so "link/.." is no matter of spelling. What
    // cannot be walked stays as it is, and making the folder says why.
    std::error_code ignored;
    const bool a_step = target.filename() == "." || target.filename() == "..";
    const fs::path walked = fs::canonical(a_step ? target : target.parent_path(), ignored);
    if (!ignored) target = a_step ? walked : walked / target.filename();
    const std::string name = target.filename().string();
    if (name.empty() || name == "." || name == "..") {
        throw InputError(called, target.string() + " names no new " + what, cure);
    }
    if (std::any_of(name.begin(), name.end(), [](char c) { return static_cast<unsigned char>(c) < 0x20; })) {
        throw InputError(called, target.string() + " holds a control character", "give another name");
    }
    return target;
}

/// In the order of their names.
std::vector<std::string> look_after_leftovers(const fs::path& target) {
    std::vector<fs::path> left;
    std::error_code ignored; // a folder may be written without being listed
    for (fs::directory_iterator it(target.parent_path(), ignored), end; !ignored && it != end;
         it.increment(ignored)) {
        if (it->path().filename().string().starts_with(working_prefix(target))) left.push_back(it->path());
    }
    std::sort(left.begin(), left.end());
    std::vector<std::string> notes;
    for (const fs::path& one : left) {
        if (auto note = looked_after(one)) notes.push_back(std::move(*note));
    }
    return notes;
}

fs::path name_beside(const fs::path& target) {
    return target.parent_path() / (working_prefix(target) + random_suffix());
}

WorkingPlace::WorkingPlace(const fs::path& target, Setting called) : notes_(look_after_leftovers(target)) {
    make(target, called);
    guarded::name_in_messages(target, path_, called);
    try {
        lock();
    } catch (...) {
        guarded::remove_quietly(path_);
        guarded::forget_name_in_messages(path_);
        throw;
    }
}

WorkingPlace::~WorkingPlace() {
    if (!handed_over_) guarded::remove_quietly(path_);
    if (lock_ >= 0) ::close(lock_);
    guarded::forget_name_in_messages(path_);
}

void WorkingPlace::make(const fs::path& target, Setting called) {
    for (int attempt = 0; attempt < 100; ++attempt) {
        path_ = name_beside(target);
        const int error = guarded::make_folder(path_);
        if (error == 0) return;
        if (error != EEXIST) { // else left by a run that died
            refuse_parent(target, error, called);
        }
    }
    throw IoError(target.parent_path().string(),
                  "holds too many unfinished folders; remove those named " + working_prefix(target) + "*");
}

void WorkingPlace::lock() {
    const guarded::LockedFile file = guarded::make_locked_file(path_ / guarded::lock_name);
    if (file.error != 0) guarded::fail_with(path_ / guarded::lock_name, "making", file.error);
    lock_ = file.fd;
}

bool WorkingPlace::is_lock(const std::string& name) { return name == guarded::lock_name; }

void WorkingPlace::remove_lock() {
    if (lock_ < 0) return;
    if (const int error = guarded::remove_file(path_ / guarded::lock_name); error != 0) {
        guarded::fail_with(path_ / guarded::lock_name, "removing", error);
    }
}

void WorkingPlace::discard_replaced() {
    // Should a kill come in between, the next run may go on with it.
    const Descriptor lock(
        ::open((path_ / guarded::lock_name).c_str(), O_RDWR | O_CREAT | O_EXCL | O_CLOEXEC, 0666));
    if (lock.get() >= 0) ::flock(lock.get(), LOCK_EX | LOCK_NB); // whoever gets it first only does the same
    guarded::remove_quietly(path_);
}

} // namespace swingroom
