#pragma once

#include "swingroom/base/spooling.hpp"

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <mutex>
#include <span>
#include <vector>

namespace swingroom {

/// Records that are written once and read again, in any order: the first of them, as far as they fit, in
/// memory, all others in a file. Calls may come from several threads.
class Spool {
public:
    /// Opens a file without a name for reading and writing.  @returns its descriptor, below 0: errno says why
    using OpenFile = int (*)(const std::filesystem::path& folder);

    explicit Spool(Spooling where, OpenFile open = open_unnamed);
    ~Spool();
    Spool(const Spool&) = delete;
    Spool& operator=(const Spool&) = delete;

    /// @returns where the record begins   @throws IoError  the disk is full, or the file cannot be made
    std::uint64_t put(std::span<const std::byte> record);
    /// Reads a record, or a part of one.   @pre put() has returned where it begins   @throws IoError
    void get(std::uint64_t at, std::span<std::byte> record) const;
    /// How much has gone to the file.
    [[nodiscard]] std::uint64_t bytes_on_disk() const;

    static int open_unnamed(const std::filesystem::path& folder);

private:
    void open_file();
    void write(std::uint64_t at, std::span<const std::byte> record) const;
    [[noreturn]] void fail(const char* action, int error) const;

    Spooling where_;
    OpenFile open_;
    mutable std::mutex mutex_; ///< guards what follows
    std::uint64_t end_ = 0;
    std::vector<std::byte> kept_; ///< the first records; all of them until there is a file
    int file_ = -1;               ///< what comes behind these
};

} // namespace swingroom
