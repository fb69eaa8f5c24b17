#include "swingroom/publish/file.hpp"

#include "swingroom/base/error.hpp"

#include "publish/folder/guarded_files.hpp"
#include "publish/folder/replaced_inputs.hpp"
#include "publish/folder/text_file.hpp"
#include "publish/folder/working_place.hpp"

#include <cerrno>
#include <cstdio>
#include <fcntl.h>
#include <sys/stat.h>
#include <utility>

namespace swingroom {
namespace {

namespace fs = std::filesystem;

/// Gives a file its name. Afterwards `working` is what was there before, if something was.
/// @returns errno, 0 when done; `undoable` tells whether take_back() can undo it
int give_name(const fs::path& working, const fs::path& target, bool replaces, bool& undoable) {
    const auto how = replaces ? guarded::Rename::exchange : guarded::Rename::refuse;
    const int error = guarded::rename_in_one_step(working, target, how);
    undoable = error != EINVAL && error != ENOSYS && error != ENOTSUP;
    return undoable ? error : guarded::rename_plainly(working, target);
}

/// So that a failure leaves the target as it was.
void take_back(const fs::path& working, const fs::path& target, bool replaced) {
    ::renameat2(AT_FDCWD, target.c_str(), AT_FDCWD, working.c_str(), replaced ? RENAME_EXCHANGE : 0U);
}

} // namespace

PendingFile::PendingFile(fs::path target, bool overwrite, Setting called,
                         const std::vector<std::string>& inputs)
    : called_(called), inputs_(inputs), overwrite_(overwrite) {
    target_ = checked_target(std::move(target), called_);
    static_cast<void>(check_target());
    place_ = std::make_unique<WorkingPlace>(target_, called_);
}

PendingFile::~PendingFile() = default;

const std::vector<std::string>& PendingFile::notes() const { return place_->notes(); }

bool PendingFile::check_target() const {
    refuse_to_replace(target_, inputs_, called_);
    struct stat about {};
    if (::lstat(target_.c_str(), &about) != 0) {
        return false; // what hinders making it is told when its working place is made
    }
    const std::string name = target_.string();
    if (S_ISLNK(about.st_mode)) {
        throw InputError(called_, name + " is a symbolic link", "give the file's own name");
    }
    if (!S_ISREG(about.st_mode)) {
        throw InputError(called_, name + " is there and is not a plain file", "give another name");
    }
    if (!overwrite_) {
        throw InputError(called_, name + " exists already",
                         "give another name, or " + Setting::overwrite + " to replace it");
    }
    return true;
}

void PendingFile::commit(const std::string& text) {
    const fs::path working = place_->path() / target_.filename();
    write_text_file(working, text);
    guarded::sync_to_disk(working);
    const bool replaces = check_target();
    const guarded::RenameLock naming;
    bool undoable = false;
    if (const int error = give_name(working, target_, replaces, undoable); error == EEXIST) {
        throw InputError(called_, target_.string() + " has appeared meanwhile",
                         "give another name, or " + Setting::overwrite + " to replace it");
    } else if (error != 0) {
        throw IoError(target_.string(),
                      "giving it its name failed: " + guarded::reason_and_cure(error, called_));
    }
    if (const int error = guarded::flush_folder(target_.parent_path()); error != 0) {
        if (undoable) take_back(working, target_, replaces);
        throw IoError(target_.string(), "flushing the folder that it is in failed: " +
                                            guarded::reason_and_cure(error, called_));
    }
}

} // namespace swingroom
