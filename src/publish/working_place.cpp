#include "publish/working_place.hpp"

#include "swingroom/base/error.hpp"

#include "publish/guarded_files.hpp"

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstddef>
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

constexpr const char* lock_name = ".lock";

/// All options name folders to make but --picture.
bool makes_a_folder(const std::string& option) { return option == "--out"; }

/// What all working folders beside a target begin with.
std::string working_prefix(const fs::path& target) { return "." + target.filename().string() + ".part-"; }

std::string six_letters() {
    constexpr std::string_view letters = "abcdefghijklmnopqrstuvwxyz0123456789";
    std::random_device device;
    std::uniform_int_distribution<std::size_t> pick{0, letters.size() - 1};
    std::string text;
    for (int i = 0; i < 6; ++i) {
        text += letters[pick(device)];
    }
    return text;
}

/// Of a folder the one that it is in is told, of a file its own name.
[[noreturn]] void refuse_parent(const fs::path& target, int error, const std::string& option) {
    const std::string parent = target.parent_path().string();
    constexpr std::array mistakes = {ENOENT, ENOTDIR, EACCES, EPERM, EROFS, ENAMETOOLONG, ELOOP};
    if (!makes_a_folder(option) && std::find(mistakes.begin(), mistakes.end(), error) != mistakes.end()) {
        throw InputError{option, target.string() + " cannot be made: " + guarded::reason_of(error),
                         "make its folder first, or give another " + option};
    }
    switch (error) {
    case ENOENT:
        throw InputError{option, "the folder " + parent + " does not exist", "make it first"};
    case ENOTDIR:
        throw InputError{option, parent + " is not a folder", "give another name"};
    case ENAMETOOLONG:
        throw InputError{option, "the name " + target.filename().string() + " is too long",
                         "give a shorter one"};
    case EACCES:
    case EPERM:
    case EROFS:
        throw InputError{option, "the folder " + parent + " cannot be written: " + guarded::reason_of(error),
                         "give a folder that can"};
    default:
        throw IoError{target.string(),
                      "making a folder beside it failed: " + guarded::reason_and_cure(error, option)};
    }
}

/// File systems whose locks may be those of one machine alone, which the kernel does not tell: what another
/// machine holds would look like nobody's.
bool may_hide_locks(int fd) {
    constexpr auto fuse = 0x65735546, plan9 = 0x01021997;
    struct statfs about {};
    return ::fstatfs(fd, &about) != 0 || about.f_type == fuse || about.f_type == plan9;
}

/// An open file, closed at the end of its life.
class Descriptor {
public:
    explicit Descriptor(int fd) : fd_{fd} {}
    Descriptor(const Descriptor&) = delete;
    Descriptor& operator=(const Descriptor&) = delete;
    ~Descriptor() {
        if (fd_ >= 0) {
            ::close(fd_);
        }
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

/// Whatever is in a folder, the lock last, so that a kill amid it leaves what the next run may remove.
void remove_lock_last(const fs::path& folder) {
    std::error_code ignored;
    for (fs::directory_iterator it{folder, ignored}, end; !ignored && it != end; it.increment(ignored)) {
        if (it->path().filename() != lock_name) {
            std::error_code also_ignored;
            fs::remove_all(it->path(), also_ignored);
        }
    }
    guarded::remove_quietly(folder);
}

/// Looks at a folder that another run into the same place has made or left.
/// @returns what to say of it; nothing where it is gone meanwhile
std::optional<std::string> looked_after(const fs::path& left) {
    const std::string who_knows = left.string() + ": was left by a run that was killed, or one is still "
                                                  "going on there; remove it if none is";
    const fs::path lock = left / lock_name;
    const Descriptor file{::open(lock.c_str(), O_RDWR | O_CLOEXEC | O_NOFOLLOW | O_NONBLOCK)};
    std::error_code ignored;
    if (file.get() < 0 || may_hide_locks(file.get())) {
        return fs::exists(fs::symlink_status(left, ignored)) ? std::optional{who_knows} : std::nullopt;
    }
    if (::flock(file.get(), LOCK_EX | LOCK_NB) != 0) {
        return errno == EWOULDBLOCK ? left.string() + ": another run into the same place is going on there"
                                    : who_knows;
    }
    if (!is_that_file(lock, file.get())) { // its run has ended meanwhile
        return std::nullopt;
    }
    remove_lock_last(left);
    return left.string() + (fs::exists(fs::symlink_status(left, ignored))
                                ? ": was left by a run that was killed, and cannot be removed; remove it"
                                : ": was left by a run that was killed, and has been removed");
}

/// Looks at all of them, in the order of their names.
std::vector<std::string> look_after_leftovers(const fs::path& target) {
    std::vector<fs::path> left;
    std::error_code ignored; // a folder may be written without being listed
    for (fs::directory_iterator it{target.parent_path(), ignored}, end; !ignored && it != end;
         it.increment(ignored)) {
        if (it->path().filename().string().starts_with(working_prefix(target))) {
            left.push_back(it->path());
        }
    }
    std::sort(left.begin(), left.end());
    std::vector<std::string> notes;
    for (const fs::path& one : left) {
        if (auto note = looked_after(one)) {
            notes.push_back(std::move(*note));
        }
    }
    return notes;
}

} // namespace

fs::path checked_target(fs::path target, const std::string& option) {
    const std::string what = makes_a_folder(option) ? "folder" : "file",
                      cure = "give the " + what + " to make";
    if (target.empty()) {
        throw InputError{option, "no name", cure};
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
    if (!ignored) {
        target = a_step ? walked : walked / target.filename();
    }
    const std::string name = target.filename().string();
    if (name.empty() || name == "." || name == "..") {
        throw InputError{option, target.string() + " names no new " + what, cure};
    }
    if (std::any_of(name.begin(), name.end(), [](char c) { return static_cast<unsigned char>(c) < 0x20; })) {
        throw InputError{option, target.string() + " holds a control character", "give another name"};
    }
    return target;
}

fs::path name_beside(const fs::path& target) {
    return target.parent_path() / (working_prefix(target) + six_letters());
}

WorkingPlace::WorkingPlace(const fs::path& target, const std::string& option)
    : notes_{look_after_leftovers(target)} {
    make(target, option);
    guarded::speak_of(target, path_, option);
    try {
        lock();
    } catch (...) {
        guarded::remove_quietly(path_);
        guarded::speak_plainly_again(path_);
        throw;
    }
}

WorkingPlace::~WorkingPlace() {
    if (!handed_over_) {
        remove_lock_last(path_);
    }
    if (lock_ >= 0) {
        ::close(lock_);
    }
    guarded::speak_plainly_again(path_);
}

void WorkingPlace::make(const fs::path& target, const std::string& option) {
    for (int attempt = 0; attempt < 100; ++attempt) {
        path_ = name_beside(target);
        const int error = guarded::make_folder(path_);
        if (error == 0) {
            return;
        }
        if (error != EEXIST) { // else left by a run that died
            refuse_parent(target, error, option);
        }
    }
    throw IoError{target.parent_path().string(),
                  "holds too many unfinished folders; remove those named " + working_prefix(target) + "*"};
}

void WorkingPlace::lock() {
    const guarded::LockedFile file = guarded::make_locked_file(path_ / lock_name);
    if (file.error != 0) {
        guarded::fail_with(path_ / lock_name, "making", file.error);
    }
    lock_ = file.fd;
}

bool WorkingPlace::is_lock(const std::string& name) { return name == lock_name; }

void WorkingPlace::remove_lock() {
    if (lock_ < 0) {
        return;
    }
    if (const int error = guarded::remove_file(path_ / lock_name); error != 0) {
        guarded::fail_with(path_ / lock_name, "removing", error);
    }
}

void WorkingPlace::discard_replaced() {
    // Should a kill come in between, the next run may go on with it.
    const Descriptor lock{::open((path_ / lock_name).c_str(), O_RDWR | O_CREAT | O_EXCL | O_CLOEXEC, 0666)};
    if (lock.get() >= 0) {
        ::flock(lock.get(), LOCK_EX | LOCK_NB); // whoever gets it first only does the same
    }
    remove_lock_last(path_);
}

} // namespace swingroom
