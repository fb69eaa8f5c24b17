#pragma once

#include <optional>
#include <string>

namespace swingroom {

/// Makes GDAL ready, the first time that it is called: the only way into it, to be called before anything of
/// it is used, and before a file system of our own is installed in it. From then on
/// - no variable of the environment and no settings file of GDAL is heeded but `GDAL_DATA` and where
///   temporary files go: none can load code, or change what a file says;
/// - only the drivers are registered that this program reads or writes with, and all of them stay with local
///   files: no file can reach another driver by naming it;
/// - GDAL's file systems of networks, standard input and the like open nothing;
/// - the libraries print nothing, see `silence_libraries`.
/// @throws IoError  when PROJ, without which nothing has a place, has no database
void start_gdal();

/// What GDAL and PROJ have to say is told by our own messages or not at all, on whatever thread they say it.
/// Safe to call from several threads, and more than once.
void silence_libraries();

/// A format that a file is in by what its beginning says.
struct KnownFormat {
    std::string name; ///< of GDAL's driver
    /// What the driver can read; a format that can hold both is both.
    bool holds_rasters = false, holds_vectors = false;
};
/// Asks all drivers that GDAL was built with, registered or not, and lets none of them open the file.
std::optional<KnownFormat> format_of(const std::string& file);

} // namespace swingroom
