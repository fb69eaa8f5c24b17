#pragma once

#include <gdal_priv.h>

#include <array>
#include <optional>
#include <string>

/// S-102 through GDAL's multidimensional reader of HDF5, since older GDALs have no driver for it
/// (before 3.8), and the answer must be the same with all. What comes out is what that driver makes of a
/// file: two bands, "depth" and "uncertainty", north up.
namespace swingroom::bathymetry {

/// Whether GDAL opened an S-102 file as HDF5, without any band.
bool is_bare_s102(GDALDataset& dataset);

/// What the group of a coverage says of its grid (IHO S-102 edition 3.0.0, clause 10.2; S-100 part 10c).
struct S102Place {
    std::optional<double> origin_x{}, origin_y{};   ///< of the node in the south-west, degrees or metres
    std::optional<double> spacing_x{}, spacing_y{}; ///< between nodes
    std::optional<double> points_x{}, points_y{};   ///< numbers of nodes
    std::string scan_direction{}, start_sequence{}; ///< as the file writes them; empty: nothing stated
};

/// GDAL's six numbers, north up: cells around nodes.
/// @param cols, rows  of the grid as it is stored
/// @throws InputError  something missing, impossible, or another size than the grid's
std::array<double, 6> s102_geotransform(const S102Place& place, int cols, int rows, const std::string& file);

/// Name of a vertical datum by its code (S-100 edition 5, code list S100_VerticalAndSoundingDatum; the same
/// numbers as IHO S-57 attribute VERDAT), in one word as there; empty for a code that is not in it.
std::string s102_datum_name(int code);

/// @param name  of the file, as GDAL may see it
/// @throws InputError  not one regular grid of depths and uncertainties; IoError  unreadable
GDALDatasetUniquePtr open_s102(const std::string& file, const std::string& name);

} // namespace swingroom::bathymetry
