#pragma once

#include "swingroom/publish/provenance.hpp"

#include <cstdint>
#include <filesystem>
#include <functional>
#include <string>
#include <vector>

namespace swingroom {

/// A file of a folder as its manifest tells of it.
struct WrittenFile {
    std::string name, sha256;
    std::uintmax_t bytes = 0;
};

/// One run's folder: filled aside, under a name of its own beside the target, and renamed in one step. The
/// target is whole or as it was. Removes what it wrote when it is destroyed uncommitted.
class PendingFolder {
public:
    /// Decides everything that can be decided before the work starts.
    /// @throws InputError  the target exists and `overwrite` is false, or it is not a folder made by this
    ///                     program (no manifest, or files besides the manifest's), or it is a symbolic link,
    ///                     or its parent does not exist or cannot be written
    /// @throws IoError     the disk fails
    PendingFolder(std::filesystem::path target, bool overwrite);
    PendingFolder(const PendingFolder&) = delete;
    PendingFolder& operator=(const PendingFolder&) = delete;
    ~PendingFolder();

    /// The working folder; every file in it goes with the commit.
    [[nodiscard]] const std::filesystem::path& working() const;
    [[nodiscard]] const std::filesystem::path& target() const;
    /// Writes manifest.json (digests of every file in the folder and of the inputs), flushes files and folder
    /// to disk, and renames. On any failure the target is as it was.
    /// @param last_call  called when all of that is done but the renaming; what it throws is as a failure
    /// @throws IoError  also when an input has changed since it was digested
    /// @throws InputError  the target has appeared meanwhile
    void commit(
        const Provenance& provenance, int threads = 1, const std::function<void()>& last_call = [] {});
    /// After the commit: what is in the folder beside the manifest, by name.
    [[nodiscard]] const std::vector<WrittenFile>& files() const { return files_; }

private:
    std::filesystem::path target_, working_;
    std::vector<WrittenFile> files_;
    bool overwrite_ = false, committed_ = false;
};

/// Compares a folder with its manifest: every file there, none besides, digests as written.
/// @returns what is wrong, one line each, sorted; empty when whole
/// @throws InputError  there is no such folder, or it has no manifest   @throws IoError
std::vector<std::string> verify_folder(const std::filesystem::path& folder);

} // namespace swingroom
