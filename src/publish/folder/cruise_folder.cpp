#include "publish/folder/cruise_folder.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/publish/file.hpp"

#include "publish/folder/guarded_files.hpp"
#include "publish/folder/replaced_inputs.hpp"

#include <algorithm>
#include <cerrno>
#include <fcntl.h>
#include <string_view>
#include <sys/file.h>
#include <system_error>
#include <unistd.h>

namespace swingroom {
namespace {

namespace fs = std::filesystem;

constexpr Setting called = Setting::out;
/// What is kept of runs, by which the folder is known to be one of ours.
constexpr const char* records_name = ".cruise";
constexpr const char* lock_file = "lock";
constexpr std::string_view record_ending = ".json";

bool is_plain_folder(const fs::path& path) {
    std::error_code ignored;
    return fs::is_directory(fs::symlink_status(path, ignored));
}

/// Whether there is such a folder to go on with.   @throws InputError  what is there is none
bool is_there(const fs::path& target) {
    std::error_code error;
    const fs::file_status status = fs::symlink_status(target, error);
    if (status.type() == fs::file_type::not_found) return false;
    if (fs::is_symlink(status)) {
        throw InputError(called, target.string() + " is a symbolic link", "give the folder's own name");
    }
    if (!fs::is_directory(status)) {
        throw InputError(called, target.string() + " is there and is not a folder", "give another name");
    }
    if (!is_plain_folder(target / records_name)) {
        throw InputError(called, target.string() + " exists already and was not made by a cruise",
                         "give another name");
    }
    return true;
}

/// With what it is known by, or not at all.
void make(const fs::path& target) {
    WorkingPlace place(target, called);
    if (const int error = guarded::make_folder(place.path() / records_name); error != 0) {
        guarded::fail_with(place.path() / records_name, "making", error);
    }
    place.remove_lock();
    const guarded::RenameLock naming;
    // Where the file system has no such rename, an empty folder is all that this one could take the place of.
    int error = guarded::rename_in_one_step(place.path(), target, guarded::Rename::refuse);
    if (error == EINVAL || error == ENOSYS || error == ENOTSUP) {
        error = guarded::rename_plainly(place.path(), target);
    }
    if (error == EEXIST || error == ENOTEMPTY) {
        throw InputError(called, target.string() + " has appeared meanwhile", "give another name");
    }
    if (error != 0) {
        throw IoError(target.string(),
                      "giving the folder its name failed: " + guarded::reason_and_cure(error));
    }
    place.hand_over();
}

} // namespace

CruiseFolder::CruiseFolder(const fs::path& target, const std::vector<std::string>& inputs)
    : path_(checked_target(target, called)) {
    const bool there = is_there(path_);
    refuse_to_replace(path_, inputs, called);
    if (!there) make(path_);
    lock();
}

CruiseFolder::~CruiseFolder() {
    if (lock_ >= 0) ::close(lock_);
}

/// File systems without locks are nobody's fault: what two cruises make there at once is whole all the same,
/// run by run.
void CruiseFolder::lock() {
    const fs::path file = path_ / records_name / lock_file;
    lock_ = ::open(file.c_str(), O_RDWR | O_CREAT | O_CLOEXEC | O_NOFOLLOW, 0666);
    if (lock_ < 0) {
        throw InputError(called, path_.string() + " cannot be written: " + guarded::reason_of(errno),
                         "give a folder that can");
    }
    if (::flock(lock_, LOCK_EX | LOCK_NB) == 0 || errno != EWOULDBLOCK) return;
    ::close(lock_);
    throw InputError(called, "another cruise is being made in " + path_.string(),
                     "wait for its end, or give another name");
}

fs::path CruiseFolder::record_of(const std::string& run) const {
    return path_ / records_name / (run + std::string(record_ending));
}

std::vector<std::string> CruiseFolder::look_after(const std::vector<std::string>& names) const {
    std::vector<std::string> notes;
    for (const std::string& name : names) {
        for (const fs::path& target : {path_ / name, record_of(name)}) {
            const std::vector<std::string> found = look_after_leftovers(target);
            notes.insert(notes.end(), found.begin(), found.end());
        }
    }
    return notes;
}

std::vector<std::string> CruiseFolder::others(const std::vector<std::string>& names) const {
    std::vector<std::string> found;
    std::error_code ignored;
    for (fs::directory_iterator it(path_ / records_name, ignored), end; !ignored && it != end;
         it.increment(ignored)) {
        if (it->path().extension() != record_ending) continue;
        const std::string run = it->path().stem().string();
        const bool wanted = std::find(names.begin(), names.end(), run) != names.end();
        if (!wanted && is_plain_folder(path_ / run)) found.push_back(run);
    }
    std::sort(found.begin(), found.end());
    return found;
}

std::optional<std::string> CruiseFolder::kept(const std::string& run) const {
    std::error_code ignored;
    if (!fs::is_regular_file(fs::symlink_status(record_of(run), ignored))) return std::nullopt;
    std::string text;
    try {
        guarded::read_file(record_of(run), [&](std::string_view bytes) { text += bytes; });
    } catch (const IoError&) { // then the run is made anew
        return std::nullopt;
    }
    return text;
}

void CruiseFolder::keep(const std::string& run, const std::string& text) const {
    PendingFile(record_of(run), true, called, {}).commit(text);
}

void CruiseFolder::replace(const std::string& file, const std::string& bytes) const {
    PendingFile(path_ / file, true, called, {}).commit(bytes);
}

} // namespace swingroom
