#pragma once

#include "swingroom/base/fact.hpp"
#include "swingroom/base/grid.hpp"

#include "sea/gdal/gdal_messages.hpp"
#include "sea/gdal/raster_references.hpp"

#include <gdal_priv.h>

#include <string>
#include <vector>

/// GDAL at arm's length: opening a raster that may be anything, and what the file is.
namespace swingroom::bathymetry {

/// HDF5, which lies under BAG and NetCDF, prints its own errors on stderr, by thread, unless told not to.
void quieten_hdf5();

/// Opens a file that exists, with drivers that stay on this machine.
/// @param notes  gets what GDAL warns of
/// @throws InputError  missing, or a vector file
/// @throws IoError     unreadable, of no known format
GDALDatasetUniquePtr open_dataset(const std::string& file, const std::vector<const char*>& options,
                                  std::vector<Fact>& notes);

/// The name as GDAL may see it: it exists as a file, and nothing in it can be taken for a connection string.
std::string checked_name(const std::string& name);

/// The short name of GDAL's driver, as "GTiff".
std::string driver_of(GDALDataset& dataset);
/// An item of metadata; empty if there is none.
std::string metadata(GDALMajorObject& object, const char* key, const char* domain = "");

/// @throws InputError for files that hold several grids or none
void refuse_containers(GDALDataset& dataset, const std::string& file);
/// The file itself, then the sidecars and parts that GDAL names.
/// @throws InputError  for one that is not there, or that lies elsewhere than beside the file and is no part
std::vector<std::string> file_list(GDALDataset& dataset, const std::string& file);
/// The same with all that `references_of` found, and what stands beside it.
std::vector<std::string> all_files_of(GDALDataset& dataset, const std::string& file,
                                      const References& references);

/// Bands by their role, 1-based; 0 for none.
struct Bands {
    int depth = 1, uncertainty = 0; ///< 1-based; 0 for none
};
/// @throws InputError for pictures, and for blocks too large to be decoded one at a time
Bands bands_of(GDALDataset& dataset, const std::string& file);

/// A window of the raster as the band holds it, row by row.   @throws IoError when reading fails
void fetch(GDALRasterBand& band, Window inside, void* to, GDALDataType type, const std::string& file);

} // namespace swingroom::bathymetry
