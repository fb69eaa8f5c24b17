#pragma once

#include "sea/gdal/gdal_start.hpp"

#include <cpl_vsi.h>

#include <cstddef>
#include <memory>
#include <mutex>

namespace swingroom {

/// A file system of ours, through which GDAL reaches the files whose names begin with its prefix. GDAL wants
/// a table of C functions: they are here, and call System, a type with these static members,
///
///     prefix                    "/vsiours/"; GDAL keeps the pointer
///     File                      an open file: tell, at_end, seek and read, which counts bytes; its
///                               destructor closes it
///     open(name, mode)          -> unique_ptr<File>; null with errno set when it cannot
///     stat(name, to)            -> 0, or -1 with errno set
///     read_dir(name, most)      -> a string list of GDAL's, or null
///
/// and where something is written through it, with File's write, flush and truncate, these too:
///
///     rename(from, to), unlink(name), mkdir(name, mode), rmdir(name)    -> 0 or -1
template <class System>
class FileSystem {
public:
    /// Tells GDAL of it on the first call, with start_gdal() before it; safe from any thread.
    static void install() {
        static std::once_flag once;
        std::call_once(once, [] {
            start_gdal(); // which puts others in the place of file systems that it finds
            const std::unique_ptr<Calls, decltype(&VSIFreeFilesystemPluginCallbacksStruct)> calls(
                VSIAllocFilesystemPluginCallbacksStruct(), &VSIFreeFilesystemPluginCallbacksStruct);
            set_reading(*calls);
            if constexpr (requires { &File::write; }) set_writing(*calls);
            VSIInstallPluginHandler(System::prefix, calls.get());
        });
    }

private:
    using File = typename System::File;
    using Calls = VSIFilesystemPluginCallbacksStruct;

    static File& file(void* handle) { return *static_cast<File*>(handle); }
    /// fread and fwrite count whole items; a part of one does not count.
    static std::size_t whole_items(std::size_t bytes, std::size_t item) {
        return item == 0 ? 0 : bytes / item;
    }

    static void set_reading(Calls& calls) {
        calls.stat = [](void*, const char* name, VSIStatBufL* to, int) { return System::stat(name, to); };
        calls.read_dir = [](void*, const char* name, int most) { return System::read_dir(name, most); };
        calls.open = [](void*, const char* name, const char* mode) -> void* {
            return System::open(name, mode).release();
        };
        calls.tell = [](void* of) -> vsi_l_offset { return file(of).tell(); };
        calls.seek = [](void* of, vsi_l_offset offset, int whence) {
            return file(of).seek(offset, whence) ? 0 : -1;
        };
        calls.read = [](void* of, void* to, std::size_t item, std::size_t count) {
            return whole_items(file(of).read(static_cast<char*>(to), item * count), item);
        };
        calls.eof = [](void* of) { return file(of).at_end() ? 1 : 0; };
        calls.close = [](void* of) {
            const std::unique_ptr<File> closed_here(static_cast<File*>(of));
            return 0;
        };
    }

    static void set_writing(Calls& calls) {
        calls.write = [](void* of, const void* from, std::size_t item, std::size_t count) {
            return whole_items(file(of).write(from, item * count), item);
        };
        calls.flush = [](void* of) {
            file(of).flush();
            return 0;
        };
        calls.truncate = [](void* of, vsi_l_offset bytes) {
            file(of).truncate(bytes);
            return 0;
        };
        calls.rename = [](void*, const char* from, const char* to) { return System::rename(from, to); };
        calls.unlink = [](void*, const char* name) { return System::unlink(name); };
        calls.mkdir = [](void*, const char* name, long mode) { return System::mkdir(name, mode); };
        calls.rmdir = [](void*, const char* name) { return System::rmdir(name); };
    }
};

} // namespace swingroom
