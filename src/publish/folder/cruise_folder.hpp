#pragma once

#include "publish/folder/working_place.hpp"

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace swingroom {

/// The folder of a cruise: in it a folder for each run, files that stand over all of them, and in a hidden
/// folder what a later cruise into the same place is to know of each run. That hidden folder is what such a
/// folder is told by: nothing is put into any other, and nothing in it but these is ever replaced.
class CruiseFolder {
public:
    /// Makes it, or goes on with what an earlier cruise has made.
    /// @param inputs  what is read
    /// @throws InputError  it holds something else, is a symbolic link or an input, lies in what is no folder
    ///                     or cannot be written, or another cruise is being made there
    /// @throws IoError     the disk fails
    CruiseFolder(const std::filesystem::path& target, const std::vector<std::string>& inputs);
    CruiseFolder(const CruiseFolder&) = delete;
    CruiseFolder& operator=(const CruiseFolder&) = delete;
    ~CruiseFolder();

    /// Its full name.
    [[nodiscard]] const std::filesystem::path& path() const { return path_; }
    /// Removes what cruises that were killed have left of some runs, as far as it is nobody's for certain.
    /// @returns what was found and done, a line each   @param names  of the runs' folders
    [[nodiscard]] std::vector<std::string> look_after(const std::vector<std::string>& names) const;
    /// Folders that earlier cruises have made there and that are none of these, by name.
    /// @param names  of the runs' folders
    [[nodiscard]] std::vector<std::string> others(const std::vector<std::string>& names) const;

    /// What was kept of a run; nothing where nothing was, or it cannot be read.
    /// @param run  the name of its folder
    [[nodiscard]] std::optional<std::string> kept(const std::string& run) const;
    /// Keeps a text of a run, in place of the one before, in one step.   @throws IoError
    void keep(const std::string& run, const std::string& text) const;
    /// Puts a file that stands over all runs in its place, in one step.
    /// @throws InputError  what is there is no plain file   @throws IoError
    void replace(const std::string& file, const std::string& bytes) const;

private:
    [[nodiscard]] std::filesystem::path record_of(const std::string& run) const;
    void lock();

    std::filesystem::path path_;
    int lock_ = -1;
};

} // namespace swingroom
