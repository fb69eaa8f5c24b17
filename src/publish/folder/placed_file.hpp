#pragma once

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <span>

namespace swingroom::guarded {

/// A file written at any place, whose bytes can be moved back to make room before them. Every failure is
/// told at once, by the name of the file. Used by one thread at a time.
class PlacedFile {
public:
    /// How room is made before what a file holds.
    enum class Room {
        inserted, ///< by the file system, which copies nothing, where it can; else as below
        copied    ///< by moving the bytes, piece by piece from the last on
    };
    /// Room is made in multiples of this: what file systems commonly keep files in.
    static constexpr std::uint64_t room_step = 4096;

    /// Creates the file or empties it.  @throws IoError
    explicit PlacedFile(std::filesystem::path path);
    ~PlacedFile(); ///< closes, and can tell no failure
    PlacedFile(const PlacedFile&) = delete;
    PlacedFile& operator=(const PlacedFile&) = delete;

    /// @param at  place of the first byte; what lies between it and the end so far is zeros   @throws IoError
    void write(std::uint64_t at, std::span<const std::byte> bytes);
    /// Moves all that there is, which is `size` bytes, by so many; what the room holds is left open.
    /// @pre a multiple of room_step   @throws IoError
    void make_room(std::uint64_t bytes, std::uint64_t size, Room how);
    /// @throws IoError  what the system had kept back may be lost even here
    void close();

private:
    [[nodiscard]] bool insert(std::uint64_t bytes);
    void move(std::uint64_t by, std::uint64_t size);
    void read(std::uint64_t at, std::span<std::byte> bytes);

    std::filesystem::path path_;
    int fd_;
};

} // namespace swingroom::guarded
