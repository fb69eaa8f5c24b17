#pragma once

#include <set>
#include <string>
#include <vector>

/// What a raster file names besides itself, found out before GDAL opens it: whatever GDAL finds named it
/// opens, with any driver that it has.
namespace swingroom::bathymetry {

/// All that is opened with a raster file.
struct References {
    /// Files that a virtual raster is put together of, nested ones and theirs included; each once.
    std::vector<std::string> parts;
    /// Sidecars of it and of its parts that bear on what is read: masks, overviews of parts, and `.aux.xml`.
    std::vector<std::string> sidecars;
    bool scales_parts = false; ///< a virtual raster has a scale, an offset or a table for values of a part
    /// Parts whose numbers are taken as they are by some band, canonical names: another band that scales
    /// them, as one of alpha does, says nothing of that.
    std::set<std::string> unscaled_parts;
    /// Whether a band takes the part's numbers as they are.   @param part  a file by any of its names
    [[nodiscard]] bool takes_unscaled(const std::string& part) const;
};

/// Looks through a file that exists, its sidecars, and the same of all that it names.
/// @param name  as GDAL sees it, @param file  as the user gave it
/// @throws InputError  when something named is no local raster in a format that is read here, or when a
/// virtual raster does more than put files together
References references_of(const std::string& name, const std::string& file);

/// HDF5, and with it BAG, NetCDF and S-102, can keep its values in other files, and link to them. Nothing to
/// do for other files.
/// @throws InputError  when there is such a thing in it   @throws IoError  when that cannot be found out
void refuse_links_of_hdf5(const std::string& name, const std::string& file);

} // namespace swingroom::bathymetry
