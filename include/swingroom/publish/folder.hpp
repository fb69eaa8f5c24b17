#pragma once

#include "swingroom/publish/provenance.hpp"

#include <cstdint>
#include <filesystem>
#include <map>
#include <memory>
#include <string>
#include <vector>

namespace swingroom {

class WorkingPlace;

/// A file of a folder as its manifest tells of it.
struct WrittenFile {
    /// The file's name in the folder, and its digest in lower-case hex.
    std::string name, sha256;
    /// Its size.
    std::uintmax_t bytes = 0;
};

/// A folder within a run's folder that can be handed on by itself, since it has a manifest of its own.
struct InnerFolder {
    /// Its name there; no dot begins it, and no slash is in it.
    std::string name;
    /// What its manifest tells: of what it holds alone.
    Provenance provenance;
};

/// One run's folder: filled aside, under a name of its own beside the target, and renamed in one step. The
/// target is whole or as it was. Removes what it wrote when it is destroyed uncommitted.
class PendingFolder {
public:
    /// Decides everything that can be decided before the work starts.
    /// @param inputs  what the run reads, as far as it is known yet; folders are not looked at before
    ///                keep_inputs()
    /// @throws InputError  the target exists and `overwrite` is false, or it is not a folder made by this
    ///                     program (no manifest, or files besides the manifest's), or it is a symbolic link,
    ///                     or its parent does not exist or cannot be written; or see keep_inputs()
    /// @throws IoError     the disk fails
    PendingFolder(std::filesystem::path target, bool overwrite, const std::vector<std::string>& inputs = {});
    PendingFolder(const PendingFolder&) = delete;
    PendingFolder& operator=(const PendingFolder&) = delete;
    ~PendingFolder();

    /// The working folder; every file in it goes with the commit.
    [[nodiscard]] const std::filesystem::path& working() const;
    /// The name that the folder gets by the commit, its links and steps up resolved.
    [[nodiscard]] const std::filesystem::path& target() const;
    /// What was found of other runs into the same place, a line each: for people.
    [[nodiscard]] const std::vector<std::string>& notes() const;
    /// To be called as soon as more inputs are known; commit() asks again.
    /// @throws InputError  the target holds one of them, is one, or lies in one
    void keep_inputs(const std::vector<std::string>& inputs) const;
    /// Makes a folder in the working folder, which commit() has to be told of.
    /// @param name  as InnerFolder has it   @returns its path   @throws IoError
    [[nodiscard]] std::filesystem::path make_inner(const std::string& name) const;
    /// Writes manifest.json (digests of every file in the folder and of the inputs) here and in each inner
    /// folder, whose manifest's digest this one has; flushes files and folders to disk, and renames. On any
    /// failure the target is as it was.
    /// @param inner  all folders that make_inner() has made
    /// @throws IoError  also when an input has changed since it was digested
    /// @throws InputError  the target has appeared meanwhile, or holds an input
    void commit(const Provenance& provenance, int threads = 1, const std::vector<InnerFolder>& inner = {});
    /// After the commit: what is in the folder beside the manifest, by name.
    [[nodiscard]] const std::vector<WrittenFile>& files() const { return files_; }
    /// The same of an inner folder.   @pre it was committed
    [[nodiscard]] const std::vector<WrittenFile>& files_of(const std::string& inner) const {
        return inner_files_.at(inner);
    }

private:
    std::filesystem::path target_;
    std::unique_ptr<WorkingPlace> place_;
    std::vector<WrittenFile> files_;
    std::map<std::string, std::vector<WrittenFile>> inner_files_;
    bool overwrite_ = false;
};

/// Compares a folder with its manifest: every file there, none besides, digests as written, the manifest's
/// own text as well; and each of its inner folders likewise.
/// @param notes  gets what is no fault but should be known; may be null
/// @returns what is wrong, one line each, sorted; empty when whole
/// @throws InputError  there is no such folder, or it has no manifest   @throws IoError
std::vector<std::string> verify_folder(const std::filesystem::path& folder,
                                       std::vector<std::string>* notes = nullptr);

/// The files that a folder's run has read, as its manifest tells of them.
/// @throws IoError  it has no manifest that can be read
std::vector<InputFile> inputs_of_folder(const std::filesystem::path& folder);
/// SHA-256 of a folder's manifest, which tells it from every other one.   @throws IoError
std::string manifest_digest(const std::filesystem::path& folder);

} // namespace swingroom
