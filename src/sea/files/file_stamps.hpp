#pragma once

#include <chrono>
#include <cstdint>
#include <map>
#include <string>
#include <vector>

namespace swingroom {

/// Files, and those beside them that are called the same up to the first dot, whatever the case of letters,
/// as sidecars of rasters and updates of charts are: who opens a file again may read one that is new.
/// @param files  paths   @returns sorted, each once
std::vector<std::string> with_neighbours(const std::vector<std::string>& files);

/// Whether files are looked at alone, or with_neighbours().
enum class Beside : bool { ignored, counted };

/// What tells whether files are still as they were.
class FileStamps {
public:
    /// Of files as they are now.   @param files  paths, those of folders among them or not
    FileStamps(const std::vector<std::string>& files, Beside beside);

    /// Whether they are as they were, and no file has come or gone that counts.
    [[nodiscard]] bool still_hold() const { return *this == FileStamps(files_, beside_); }
    /// The first of the files themselves that is another one now, or was written since; empty: none is. What
    /// else may change of a file, as how it is linked or who may read it, does not count.
    [[nodiscard]] std::string first_rewritten() const;
    /// Whether a later change is sure to be seen by what still_hold() compares, and none was made since a
    /// moment: a file that was changed just before may change again without its time telling so, since file
    /// systems count time in steps, the coarsest of two seconds.
    [[nodiscard]] bool settled_before(std::chrono::system_clock::time_point moment) const;
    /// Whether all the files of others are among these.
    [[nodiscard]] bool name_all_of(const FileStamps& others) const;

    friend bool operator==(const FileStamps&, const FileStamps&) = default;

private:
    /// Of one file; zeros where it is not there.
    struct Stamp {
        std::uint64_t device = 0, number = 0; ///< which file it is
        std::int64_t bytes = 0, changed_ns = 0, written_ns = 0;
        friend bool operator==(const Stamp&, const Stamp&) = default;
    };
    static Stamp stamp_of(const std::string& file);

    std::vector<std::string> files_; ///< as they were given
    Beside beside_;
    std::map<std::string, Stamp> stamps_;
};

/// Something that was opened of files, with what tells whether they are still as they were then.
template <class Opened>
class Stamped {
public:
    /// @param named     the files that are named   @param beside  whether others beside them count
    /// @param open      opens them
    /// @param files_of  all that it has read of what it has opened, those that are named among them
    template <class Open, class FilesOf>
    Stamped(const std::vector<std::string>& named, Beside beside, Open open, FilesOf files_of)
        : began_(std::chrono::system_clock::now()), before_(named, beside), opened_(open()),
          stamps_(files_of(opened_), beside) {}

    [[nodiscard]] Opened& opened() { return opened_; }
    /// As FileStamps::first_rewritten().
    [[nodiscard]] std::string first_rewritten() const { return stamps_.first_rewritten(); }
    /// Whether it would be opened to the same again. No, too, where a change could not be seen for certain.
    [[nodiscard]] bool still_holds() const {
        return stamps_.settled_before(began_) && stamps_.name_all_of(before_) && stamps_.still_hold();
    }

private:
    std::chrono::system_clock::time_point began_;
    FileStamps before_;
    Opened opened_;
    FileStamps stamps_;
};

} // namespace swingroom
