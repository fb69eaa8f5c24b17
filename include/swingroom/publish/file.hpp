#pragma once

#include "swingroom/base/message.hpp"

#include <filesystem>
#include <memory>
#include <string>
#include <vector>

namespace swingroom {

class WorkingPlace;

/// One file that a command makes: written aside and renamed in one step. The target is whole or as it was.
class PendingFile {
public:
    /// Decides everything that can be decided before the work starts.
    /// @param called  the setting that names the target, for messages
    /// @param inputs  what the command reads
    /// @throws InputError  the target exists and `overwrite` is false, or it is no plain file, or a symbolic
    ///                     link, or one of the inputs by whatever name; or what it is in does not exist or
    ///                     cannot be written
    /// @throws IoError     the disk fails
    PendingFile(std::filesystem::path target, bool overwrite, Setting called,
                const std::vector<std::string>& inputs);
    PendingFile(const PendingFile&) = delete;
    PendingFile& operator=(const PendingFile&) = delete;
    ~PendingFile();

    /// What was found of other runs into the same place, a line each: for people.
    [[nodiscard]] const std::vector<std::string>& notes() const;
    /// Writes the text, reads it back, flushes it to disk and gives it its name. On any failure the target is
    /// as it was.  @throws IoError   @throws InputError  the target has appeared meanwhile
    void commit(const std::string& text);

private:
    [[nodiscard]] bool check_target() const; ///< whether there is something to replace

    std::filesystem::path target_;
    Setting called_;
    std::vector<std::string> inputs_;
    std::unique_ptr<WorkingPlace> place_;
    bool overwrite_ = false;
};

} // namespace swingroom
