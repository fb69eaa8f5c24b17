#pragma once

#include "swingroom/base/message.hpp"

#include <cstdint>
#include <filesystem>
#include <functional>
#include <string>
#include <string_view>

/// Files whose lost writes are noticed. GDAL 3.6 closes a dataset without saying whether its last bytes
/// reached the file, and its text drivers ignore short writes; so everything this program writes goes through
/// these calls, which keep the first failure of each file until somebody asks.
namespace swingroom::guarded {

/// The name under which GDAL reaches a file through this file system, from any path.
/// Installs the file system and registers GDAL's drivers on the first call; safe from any thread.
std::string gdal_name(const std::filesystem::path& path);

/// Throws the first failure that a file has had since it was last asked about, and forgets it.
/// @throws IoError
void throw_if_failed(const std::filesystem::path& path);

/// Writes a file from its start to its end. Uncommitted bytes are flushed in close(); the destructor closes
/// but cannot report.
class Writer {
public:
    /// Creates the file or empties it.  @throws IoError
    explicit Writer(const std::filesystem::path& path);
    Writer(const Writer&) = delete;
    Writer& operator=(const Writer&) = delete;
    ~Writer();
    /// @throws IoError
    void write(std::string_view bytes);
    /// @throws IoError
    void close();

private:
    std::filesystem::path path_;
    void* file_;
};

/// Hands a file's bytes to `take`, piece by piece.  @throws IoError
void read_file(const std::filesystem::path& path, const std::function<void(std::string_view)>& take);

/// Flushes a file or folder to disk.  @throws IoError
void sync_to_disk(const std::filesystem::path& path);
/// The same for a folder into which something has been put.  @returns errno, 0 when done
int flush_folder(const std::filesystem::path& path);

/// Removes a file.  @returns errno, 0 when done
int remove_file(const std::filesystem::path& path);

/// A file that this process has made and holds the lock of (flock) until it is closed.
struct LockedFile {
    int fd = -1;   ///< below 0: there is no lock
    int error = 0; ///< errno where the disk failed; 0 too where it only knows no locks
};
/// Makes it. It gets its name when it is locked already, so that nobody ever sees it unlocked while its maker
/// lives.
LockedFile make_locked_file(const std::filesystem::path& path);

/// Makes a new folder with the rights that the umask leaves.  @returns errno, 0 when made
int make_folder(const std::filesystem::path& path);

/// How a rename treats a target that exists.
enum class Rename { refuse, exchange };
/// Renames in one step of the kernel.
/// @returns errno, 0 when done; EINVAL or ENOSYS where the file system has no such rename
int rename_in_one_step(const std::filesystem::path& from, const std::filesystem::path& to, Rename how);
/// The plain rename, which replaces what is there.  @returns errno, 0 when done
int rename_plainly(const std::filesystem::path& from, const std::filesystem::path& to);

/// The file in a working folder that is locked while its run lives.
inline constexpr const char* lock_name = ".lock";
/// Removes a folder and all in it, the lock last, so that a kill amid it leaves what the next run may remove.
/// What cannot be removed stays; where a link leads to is left alone.
void remove_quietly(const std::filesystem::path& folder) noexcept;

/// The sentence that belongs to an errno.
std::string reason_of(int error);
/// ... and what to do about it, where it befell what a run makes.
/// @param called  the setting that names what is made
Message reason_and_cure(int error, Setting called = Setting::out);

/// From here on a failure of a file in `working` is told as one of `target`, which is what the user has asked
/// for by the setting `called`, with a cure: the working folder is hidden and gone by then.
void name_in_messages(const std::filesystem::path& target, const std::filesystem::path& working,
                      Setting called);
/// Ends what name_in_messages() began: failures are told by the file's own name again.
void forget_name_in_messages(const std::filesystem::path& working) noexcept;
/// Around the steps by which a working folder gets its name or gives it back: remove_unfinished() waits for
/// their end.
class RenameLock {
public:
    /// Waits while another thread holds it.
    RenameLock();
    RenameLock(const RenameLock&) = delete;
    RenameLock& operator=(const RenameLock&) = delete;
    ~RenameLock();
};
/// Removes every working folder, whatever other threads still put into it, and lets none be named any more:
/// for a program that is ended in the middle of its work.
void remove_unfinished() noexcept;
/// @throws IoError  what is wrong with a file, told in that way
[[noreturn]] void fail(const std::filesystem::path& file, const Message& wrong);
/// @throws IoError  what could not be done with it, and why, told in that way
[[noreturn]] void fail_with(const std::filesystem::path& file, const char* action, int error);

/// Calls that change the disk (open to write, write, truncate, close, fsync, mkdir, rename, unlink), and
/// those that read what was written (open to read, read, seek to the end, fstat).
enum class Calls { changes, reads };
/// For tests: lets one of the coming calls of a kind fail, as a full or a broken disk would.
struct Fault {
    std::int64_t at = 0;  ///< the number of the call that fails, counted from 1; 0: none fails
    int error = 0;        ///< the errno that it fails with
    bool lasting = false; ///< every call after it fails, too
    /// Which calls are counted.
    Calls calls = Calls::changes;
};
/// In place of the fault planned before, if any; the count of calls begins anew.
void plan_fault(Fault fault);
/// For tests: how many calls of that kind there were since plan_fault.
std::int64_t calls_since_fault_planned();

} // namespace swingroom::guarded
