#include "base/spool.hpp"

#include "swingroom/base/error.hpp"

#include <algorithm>
#include <cerrno>
#include <cstdlib>
#include <fcntl.h>
#include <string>
#include <system_error>
#include <unistd.h>
#include <utility>

namespace swingroom {
namespace {

std::filesystem::path folder_of(const Spooling& where) {
    if (!where.folder.empty()) return where.folder;
    std::error_code none; // one that is told but is not there fails when it is written to
    const std::filesystem::path told = std::filesystem::temp_directory_path(none);
    return none ? "/tmp" : told;
}

} // namespace

Spool::Spool(Spooling where, OpenFile open) : where_(std::move(where)), open_(open) {}

Spool::~Spool() {
    if (file_ >= 0) ::close(file_);
}

/// A file that never has a name, where the file system knows such; else one whose name is taken at once.
int Spool::open_unnamed(const std::filesystem::path& folder) {
    const int unnamed = ::open(folder.c_str(), O_TMPFILE | O_RDWR | O_CLOEXEC, 0600);
    if (unnamed >= 0 || (errno != EOPNOTSUPP && errno != EISDIR && errno != EINVAL)) return unnamed;
    std::string name = (folder / ".swingroom-XXXXXX").string();
    const int named = ::mkostemp(name.data(), O_CLOEXEC);
    if (named >= 0) ::unlink(name.c_str());
    return named;
}

void Spool::fail(const char* action, int error) const {
    const bool full = error == ENOSPC || error == EDQUOT || error == EFBIG;
    throw IoError(folder_of(where_).string(),
                  std::string("what a run keeps meanwhile cannot be ") + action +
                      " there: " + std::generic_category().message(error) +
                      (!full                   ? ""
                       : where_.folder.empty() ? "; free space there, or set TMPDIR to another folder"
                                               : "; free space there"));
}

void Spool::write(std::uint64_t at, std::span<const std::byte> record) const {
    while (!record.empty()) {
        const ssize_t put = ::pwrite(file_, record.data(), record.size(), static_cast<off_t>(at));
        if (put < 0 && errno == EINTR) continue;
        if (put <= 0) fail("written", put < 0 ? errno : ENOSPC);
        at += static_cast<std::uint64_t>(put);
        record = record.subspan(static_cast<std::size_t>(put));
    }
}

void Spool::open_file() {
    file_ = open_(folder_of(where_));
    if (file_ < 0) fail("written", errno);
}

std::uint64_t Spool::put(std::span<const std::byte> record) {
    const std::lock_guard lock(mutex_);
    const std::uint64_t at = end_;
    if (file_ < 0 && kept_.size() + record.size() > where_.in_memory_bytes) open_file();
    if (file_ >= 0) {
        write(at - kept_.size(), record);
    } else {
        // Never twice at once while it grows; what is reserved and not written takes no memory.
        if (kept_.capacity() == 0) kept_.reserve(where_.in_memory_bytes);
        kept_.insert(kept_.end(), record.begin(), record.end());
    }
    end_ = at + record.size();
    return at;
}

void Spool::get(std::uint64_t at, std::span<std::byte> record) const {
    {
        const std::lock_guard lock(mutex_);
        if (at < kept_.size()) {
            std::copy_n(kept_.begin() + static_cast<std::ptrdiff_t>(at), record.size(), record.begin());
            return;
        }
        at -= kept_.size();
    }
    while (!record.empty()) { // a file that is there stays the same
        const ssize_t got = ::pread(file_, record.data(), record.size(), static_cast<off_t>(at));
        if (got < 0 && errno == EINTR) continue;
        if (got <= 0) fail("read back", got < 0 ? errno : EIO);
        at += static_cast<std::uint64_t>(got);
        record = record.subspan(static_cast<std::size_t>(got));
    }
}

std::uint64_t Spool::bytes_on_disk() const {
    const std::lock_guard lock(mutex_);
    return file_ < 0 ? 0 : end_ - kept_.size();
}

} // namespace swingroom
