#pragma once

#include "swingroom/base/error.hpp"

#include <array>
#include <cerrno>
#include <filesystem>
#include <string>
#include <system_error>
#include <unistd.h>

namespace swingroom {

/// Vector formats that are read from local files alone: none that follows links, runs code or writes beside
/// its input. Names of GDAL's drivers, ended as GDAL wants a list.
inline constexpr std::array local_vector_drivers = {"GPKG",
                                                    "GeoJSON",
                                                    "GeoJSONSeq",
                                                    "TopoJSON",
                                                    "ESRI Shapefile",
                                                    "FlatGeobuf",
                                                    "S57",
                                                    "KML",
                                                    "GPX",
                                                    "MapInfo File",
                                                    "OpenFileGDB",
                                                    "OSM",
                                                    static_cast<const char*>(nullptr)};

/// Raster formats in which people have depths, and that are read from local files alone: none that names
/// other files but those of its own name, runs code or writes beside its input. What VRT, HDF5 and its kin
/// name besides is looked at before they are opened (raster_references.hpp). S-102 is HDF5 to us, whether or
/// not this GDAL has a driver for it, so that the answer is the same. Ended as GDAL wants a list.
inline constexpr std::array local_raster_drivers = {"GTiff",
                                                    "BAG",
                                                    "HDF5",
                                                    "netCDF",
                                                    "VRT",
                                                    "AAIGrid",
                                                    "GRASSASCIIGrid",
                                                    "XYZ",
                                                    "GSAG",
                                                    "GSBG",
                                                    "GS7BG",
                                                    "SRTMHGT",
                                                    "DTED",
                                                    "USGSDEM",
                                                    "ENVI",
                                                    "EHdr",
                                                    "SAGA",
                                                    "HFA",
                                                    static_cast<const char*>(nullptr)};

/// What a path that the user gave stands for. What is not there is the user's to mend; what cannot be looked
/// at is the disk's failure.
/// @throws InputError when nothing is there   @throws IoError when that cannot be found out, or not be read
inline std::filesystem::file_status status_of_given(const std::string& path) {
    std::error_code error;
    const std::filesystem::file_status status = std::filesystem::status(path, error);
    if (status.type() == std::filesystem::file_type::not_found) {
        throw InputError(path, "no such file", "give the path of an existing file");
    }
    if (!std::filesystem::exists(status)) throw IoError(path, "cannot be examined: " + error.message());
    if (::access(path.c_str(), R_OK) != 0) {
        throw IoError(path,
                      "cannot be read: " + std::generic_category().message(errno) + "; make it readable");
    }
    return status;
}

/// The same, for inputs that are a file or a folder.   @throws InputError  a pipe or a device
inline void require_file_or_folder(const std::string& path) {
    const std::filesystem::file_status status = status_of_given(path);
    if (!std::filesystem::is_regular_file(status) && !std::filesystem::is_directory(status)) {
        throw InputError(path, "is neither file nor folder", "give the path of an existing file");
    }
}

/// The same, for inputs that are one file.   @throws InputError for a folder or a device as well
inline void require_file(const std::string& path) {
    if (!std::filesystem::is_regular_file(status_of_given(path))) {
        throw InputError(path, "is not a file", "give the path of an existing file");
    }
}

} // namespace swingroom
