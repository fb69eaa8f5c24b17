#include "publish/folder/placed_file.hpp"

#include "swingroom/base/stop.hpp"

#include "publish/folder/guarded_files.hpp"
#include "publish/folder/planned_faults.hpp"

#include <algorithm>
#include <cerrno>
#include <fcntl.h>
#include <stdexcept>
#include <unistd.h>
#include <utility>
#include <vector>

namespace swingroom::guarded {

PlacedFile::PlacedFile(std::filesystem::path path) : path_(std::move(path)), fd_(-1) {
    int error = planned_error();
    if (error == 0) {
        fd_ = ::open(path_.c_str(), O_RDWR | O_CREAT | O_TRUNC | O_CLOEXEC, 0666);
        if (fd_ < 0) error = errno;
    }
    if (error != 0) fail_with(path_, "opening to write", error);
}

PlacedFile::~PlacedFile() {
    if (fd_ >= 0) ::close(fd_);
}

void PlacedFile::write(std::uint64_t at, std::span<const std::byte> bytes) {
    while (!bytes.empty()) {
        int error = planned_error();
        ssize_t put = -1;
        if (error == 0) {
            put = ::pwrite(fd_, bytes.data(), bytes.size(), static_cast<off_t>(at));
            error = put < 0 ? errno : put == 0 ? ENOSPC : 0;
        }
        if (error == EINTR) continue;
        if (error != 0) fail_with(path_, "writing", error);
        at += static_cast<std::uint64_t>(put);
        bytes = bytes.subspan(static_cast<std::size_t>(put));
    }
}

void PlacedFile::read(std::uint64_t at, std::span<std::byte> bytes) {
    while (!bytes.empty()) {
        int error = planned_error(Calls::reads);
        ssize_t got = -1;
        if (error == 0) {
            got = ::pread(fd_, bytes.data(), bytes.size(), static_cast<off_t>(at));
            error = got < 0 ? errno : got == 0 ? EIO : 0;
        }
        if (error == EINTR) continue;
        if (error != 0) fail_with(path_, "reading", error);
        at += static_cast<std::uint64_t>(got);
        bytes = bytes.subspan(static_cast<std::size_t>(got));
    }
}

void PlacedFile::make_room(std::uint64_t bytes, std::uint64_t size, Room how) {
    if (bytes % room_step != 0) throw std::logic_error("room that is no multiple of a block");
    if (size == 0 || bytes == 0) return;
    if (how == Room::inserted && insert(bytes)) return;
    move(bytes, size);
}

/// @returns whether the file system could: many cannot, or only in blocks that are larger than most
bool PlacedFile::insert(std::uint64_t bytes) {
    while (true) {
        int error = planned_error();
        if (error == 0) {
            const int done = ::fallocate(fd_, FALLOC_FL_INSERT_RANGE, 0, static_cast<off_t>(bytes));
            error = done == 0 ? 0 : errno;
        }
        if (error == EINTR) continue;
        if (error == EIO || error == ENOSPC || error == EDQUOT || error == EFBIG) {
            fail_with(path_, "making room", error);
        }
        return error == 0;
    }
}

void PlacedFile::move(std::uint64_t by, std::uint64_t size) {
    constexpr std::uint64_t most = std::uint64_t{4} << 20;
    std::vector<std::byte> piece(static_cast<std::size_t>(std::min(most, size)));
    for (std::uint64_t end = size; end > 0;) {
        stop_if_asked();
        const std::uint64_t bytes = std::min<std::uint64_t>(end, piece.size());
        const std::span<std::byte> part = std::span(piece).first(static_cast<std::size_t>(bytes));
        end -= bytes;
        read(end, part);
        write(end + by, part);
    }
}

void PlacedFile::close() {
    int error = planned_error();
    // After EINTR the descriptor is gone on Linux, and its state unknown: an error like any other.
    if (::close(std::exchange(fd_, -1)) != 0 && error == 0) error = errno;
    if (error != 0) fail_with(path_, "closing", error);
}

} // namespace swingroom::guarded
