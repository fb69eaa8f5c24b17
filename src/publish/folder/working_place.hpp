#pragma once

#include "swingroom/base/message.hpp"

#include <filesystem>
#include <string>
#include <vector>

namespace swingroom {

/// A target's full name, links and steps up in what it lies in resolved as the kernel does it.
/// @param called  the setting that names it
/// @throws InputError  it names nothing that could be made
std::filesystem::path checked_target(std::filesystem::path target, Setting called);

/// A name beside the target that nothing has: `.NAME.part-` and six letters.
std::filesystem::path name_beside(const std::filesystem::path& target);

/// Looks at all working folders beside a target, and removes those that are known to be nobody's; a
/// WorkingPlace does so by itself before it is made.
/// @returns what was found and what was done about it, a line each
std::vector<std::string> look_after_leftovers(const std::filesystem::path& target);

/// The hidden folder beside what a run makes, in which it is made: on the same file system, so that a rename
/// can give it its name in one step. While its maker lives it is locked, by a file `.lock` in it; a kill
/// leaves the folder but not the lock, so that the next run into that place knows that it is nobody's and
/// removes it. Not so where nothing can be known for certain: the file system has no locks or may not show
/// those of other machines, or there is no `.lock` (an older version's folder, or what a rename in two steps
/// has put aside). Then it is only told of.
class WorkingPlace {
public:
    /// @pre checked_target
    /// @throws InputError  the folder that the target is in does not exist or cannot be written
    /// @throws IoError     the disk fails
    WorkingPlace(const std::filesystem::path& target, Setting called);
    WorkingPlace(const WorkingPlace&) = delete;
    WorkingPlace& operator=(const WorkingPlace&) = delete;
    /// Removes the folder and all in it, unless it was handed over.
    ~WorkingPlace();

    /// The folder's hidden name beside the target.
    [[nodiscard]] const std::filesystem::path& path() const { return path_; }
    /// What was found of other runs into the same place and what was done about it, a line each.
    [[nodiscard]] const std::vector<std::string>& notes() const { return notes_; }
    /// Whether a file in the folder is the lock and not what was made there.
    [[nodiscard]] static bool is_lock(const std::string& name);
    /// Takes the lock's file out, before the folder gets its name. Those who look at it keep finding it
    /// locked.  @throws IoError
    void remove_lock();
    /// From here on the folder has become what was to be made; what has this name now, if anything, is what
    /// was there before.
    void hand_over() { handed_over_ = true; }
    /// Removes what was there before.
    void discard_replaced();

private:
    void make(const std::filesystem::path& target, Setting called);
    void lock();

    std::filesystem::path path_;
    std::vector<std::string> notes_;
    int lock_ = -1;
    bool handed_over_ = false;
};

} // namespace swingroom
