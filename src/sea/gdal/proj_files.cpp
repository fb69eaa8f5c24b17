#include "sea/gdal/proj_files.hpp"

#include <cstddef>
#include <cstdio>
#include <filesystem>
#include <sstream>
#include <string>
#include <sys/stat.h>
#include <system_error>
#include <vector>

namespace swingroom {
namespace {

namespace fs = std::filesystem;

fs::path resolved(const fs::path& path) {
    std::error_code error;
    const fs::path place = fs::weakly_canonical(path, error);
    return error ? path : place;
}

std::vector<fs::path> own_folders() {
    std::vector<fs::path> folders{resolved(proj_context_get_user_writable_directory(nullptr, 0))};
    if (const char* const database = proj_context_get_database_path(nullptr)) {
        folders.push_back(resolved(fs::path(database).parent_path()));
    }
    const PJ_INFO info = proj_info();
    for (std::size_t i = 0; i < info.path_count; ++i) {
        folders.push_back(resolved(info.paths[i]));
    }
    return folders;
}

/// Links within a folder may lead out of it: whoever may write there has set them.
bool is_own(const char* name) {
    static const std::vector<fs::path> folders = own_folders();
    const fs::path path(name);
    if (!path.is_absolute()) return false; // PROJ looks in the folder of work last
    const fs::path folder = resolved(path.parent_path());
    for (const fs::path& own : folders) {
        if (folder == own) return true;
    }
    return false;
}

std::FILE* as_file(PROJ_FILE_HANDLE* handle) { return reinterpret_cast<std::FILE*>(handle); }

PROJ_FILE_HANDLE* open_own(PJ_CONTEXT*, const char* name, PROJ_OPEN_ACCESS access, void*) {
    if (access != PROJ_OPEN_ACCESS_READ_ONLY || !is_own(name)) return nullptr;
    return reinterpret_cast<PROJ_FILE_HANDLE*>(std::fopen(name, "rb"));
}
std::size_t read_bytes(PJ_CONTEXT*, PROJ_FILE_HANDLE* file, void* to, std::size_t bytes, void*) {
    return std::fread(to, 1, bytes, as_file(file));
}
std::size_t write_none(PJ_CONTEXT*, PROJ_FILE_HANDLE*, const void*, std::size_t, void*) { return 0; }
int seek_to(PJ_CONTEXT*, PROJ_FILE_HANDLE* file, long long offset, int whence, void*) {
    return fseeko(as_file(file), static_cast<off_t>(offset), whence) == 0 ? 1 : 0;
}
unsigned long long tell_place(PJ_CONTEXT*, PROJ_FILE_HANDLE* file, void*) {
    return static_cast<unsigned long long>(ftello(as_file(file)));
}
void close_file(PJ_CONTEXT*, PROJ_FILE_HANDLE* file, void*) { std::fclose(as_file(file)); }
int own_exists(PJ_CONTEXT*, const char* name, void*) {
    std::error_code error;
    return is_own(name) && fs::exists(name, error) ? 1 : 0;
}
/// Of its cache, where its own settings let it fetch grids.
int make_folder(PJ_CONTEXT*, const char* name, void*) {
    constexpr mode_t for_all = 0777;
    return ::mkdir(name, for_all) == 0 ? 1 : 0;
}
int remove_none(PJ_CONTEXT*, const char*, void*) { return 0; }
int rename_none(PJ_CONTEXT*, const char*, const char*, void*) { return 0; }

} // namespace

void keep_to_own_folders(PJ_CONTEXT* context) {
    PROJ_FILE_API files{};
    files.version = 1;
    files.open_cbk = open_own;
    files.read_cbk = read_bytes;
    files.write_cbk = write_none;
    files.seek_cbk = seek_to;
    files.tell_cbk = tell_place;
    files.close_cbk = close_file;
    files.exists_cbk = own_exists;
    files.mkdir_cbk = make_folder;
    files.unlink_cbk = remove_none;
    files.rename_cbk = rename_none;
    proj_context_set_fileapi(context, &files, nullptr);
}

} // namespace swingroom
