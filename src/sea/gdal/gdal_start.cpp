#include "sea/gdal/gdal_start.hpp"

#include "sea/gdal/input_path.hpp"
#include "sea/ground/operations.hpp"

#include <cpl_conv.h>
#include <cpl_error.h>
#include <cpl_string.h>
#include <cpl_vsi.h>
#include <cpl_vsi_virtual.h>
#include <gdal_priv.h>
#include <proj.h>

#include <algorithm>
#include <array>
#include <cstdlib>
#include <memory>
#include <mutex>
#include <string_view>
#include <utility>
#include <vector>

namespace swingroom {
namespace {

/// What outputs are written with, and read back. `Memory` is what GDAL gathers the answer of a query in.
constexpr std::array written_drivers = {"GTiff",  "COG",        "PNG",    "MEM",     "Memory", "GPKG",
                                        "SQLite", "FlatGeobuf", "LIBKML", "GeoJSON", "GPX",    "MBTiles"};

/// Variables of the environment that GDAL may go by: where its own tables are, and where temporary files go.
constexpr std::array allowed_variables = {"GDAL_DATA", "CPL_TMPDIR", "TMPDIR"};

/// GDAL's own file systems that drivers of local files need. The others are networks, standard input and
/// output, and files that are put together of others.
constexpr std::array local_file_systems = {"/vsimem/", "/vsizip/", "/vsigzip/", "/vsisubfile/"};

template <class List>
bool is_among(const List& list, std::string_view name) {
    return std::any_of(list.begin(), list.end(), [&](const char* one) { return one && name == one; });
}

void CPL_STDCALL say_nothing(CPLErr, CPLErrorNum, const char*) {}
void log_nothing(void*, int, const char*) {}

/// GDAL looks into the environment for each of its hundreds of options, some of which load code or turn
/// errors and positions into others; and into a settings file in the home folder. A settings file of our own
/// is its only way to be told not to.
void ignore_environment() {
    for (const char* const name : allowed_variables) {
        if (const char* const value = std::getenv(name)) CPLSetConfigOption(name, value);
    }
    CPLSetConfigOption("GDAL_PYTHON_DRIVER_PATH", "");
    CPLSetConfigOption("GDAL_VRT_ENABLE_PYTHON", "NO");
    CPLSetConfigOption("GDAL_VRT_ENABLE_RAWRASTERBAND", "NO");
    unsetenv("CPL_DEBUG");            // GDAL 3.6 tells of each variable that it ignores, of this one for ever
    setenv("NCRCENV_IGNORE", "1", 0); // settings of NetCDF's library, in the folder of work among others
    static std::string text = "[directives]\nignore-env-vars=yes\n";
    const char* const name = "/vsimem/swingroom/gdalrc";
    CPLSetConfigOption("GDAL_CONFIG_FILE",
                       name); // in the place of those of the machine and of the home folder
    VSILFILE* const file =
        VSIFileFromMemBuffer(name, reinterpret_cast<GByte*>(text.data()), text.size(), FALSE);
    if (!file) return;
    VSIFCloseL(file);
    CPLLoadConfigOptionsFromFile(name, TRUE);
    VSIUnlink(name);
}

/// Those that are not registered: to tell what format a file is in.
std::vector<GDALDriver*>& drivers_aside() {
    static std::vector<GDALDriver*> drivers;
    return drivers;
}

/// From 3.8 on GDAL's driver of HDF5 hands S-102 to a driver of its own even where it alone is allowed: with
/// that one put aside, S-102 is read by bathymetry_s102 with every GDAL, and the answer is the same. A
/// program that calls GDALAllRegister has put them all back, so that this is done again.
void keep_drivers_in_use() {
    GDALDriverManager& manager = *GetGDALDriverManager();
    std::vector<GDALDriver*> others;
    for (int i = 0; i < manager.GetDriverCount(); ++i) {
        GDALDriver* const driver = manager.GetDriver(i);
        const std::string_view name = driver->GetDescription();
        if (!is_among(local_raster_drivers, name) && !is_among(local_vector_drivers, name) &&
            !is_among(written_drivers, name)) {
            others.push_back(driver);
        }
    }
    for (GDALDriver* const driver : others) {
        manager.DeregisterDriver(driver);
    }
    drivers_aside().insert(drivers_aside().end(), others.begin(), others.end());
}

void* open_nothing(void*, const char*, const char*) { return nullptr; }
int find_nothing(void*, const char*, VSIStatBufL*, int) { return -1; }

/// GDAL 3.6 cannot take a file system away, but lets another stand in its place.
void close_other_file_systems() {
    static std::vector<VSIFilesystemHandler*> replaced; // those in use are never freed
    const std::unique_ptr<VSIFilesystemPluginCallbacksStruct,
                          decltype(&VSIFreeFilesystemPluginCallbacksStruct)>
        callbacks(VSIAllocFilesystemPluginCallbacksStruct(), &VSIFreeFilesystemPluginCallbacksStruct);
    callbacks->open = open_nothing;
    callbacks->stat = find_nothing;
    const CPLStringList prefixes(VSIGetFileSystemsPrefixes());
    for (int i = 0; i < prefixes.size(); ++i) {
        const char* const prefix = prefixes[i];
        if (is_among(local_file_systems, prefix)) continue;
        replaced.push_back(VSIFileManager::GetHandler(prefix));
        VSIInstallPluginHandler(prefix, callbacks.get());
    }
}

/// Asks by the beginning alone: a driver that would have to open the file to know is not asked.
bool is_in_format_of(GDALDriver& driver, GDALOpenInfo& beginning) {
    return driver.pfnIdentify && driver.pfnIdentify(&beginning) > 0;
}

} // namespace

void silence_libraries() {
    static std::once_flag once;
    std::call_once(once, [] {
        CPLSetErrorHandler(say_nothing);
        proj_log_func(nullptr, nullptr, log_nothing);
        proj_log_level(nullptr, PJ_LOG_NONE); // contexts are made as copies of this one
    });
}

void start_gdal() {
    static std::once_flag once;
    std::call_once(once, [] {
        silence_libraries();
        ignore_environment();
        GDALAllRegister();
        close_other_file_systems();
    });
    {
        static std::mutex one_at_a_time;
        const std::scoped_lock lock(one_at_a_time);
        keep_drivers_in_use();
    }
    require_proj_database();
}

std::optional<KnownFormat> format_of(const std::string& file) {
    start_gdal();
    GDALOpenInfo beginning(file.c_str(), GDAL_OF_RASTER | GDAL_OF_VECTOR | GDAL_OF_READONLY);
    std::vector<GDALDriver*> drivers;
    GDALDriverManager& manager = *GetGDALDriverManager();
    for (int i = 0; i < manager.GetDriverCount(); ++i) {
        drivers.push_back(manager.GetDriver(i));
    }
    drivers.insert(drivers.end(), drivers_aside().begin(), drivers_aside().end());
    for (GDALDriver* const driver : drivers) {
        if (is_in_format_of(*driver, beginning)) {
            return KnownFormat{driver->GetDescription(), driver->GetMetadataItem(GDAL_DCAP_RASTER) != nullptr,
                               driver->GetMetadataItem(GDAL_DCAP_VECTOR) != nullptr};
        }
    }
    return std::nullopt;
}

} // namespace swingroom
