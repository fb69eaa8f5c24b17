#pragma once

#include <gdal_priv.h>

#include <string>

namespace swingroom::bathymetry {

/// Reads a grid of points as text whose steps differ by rounding, in any order, which GDAL refuses, into
/// memory. Points left out are missing data.
/// @param file  as the user wrote it   @param name  as GDAL may see it
/// @throws InputError  the points are no grid within 1 % of a step, or too many
/// @throws IoError     unreadable
GDALDatasetUniquePtr open_rounded_xyz(const std::string& file, const std::string& name);

/// How far the cells of a grid of points may lie beside where its dataset has them, in cells, whoever has
/// read it: by its points, and by what their last digit may hide; 0 where all steps are the same.
/// @throws InputError  a point is farther away than 1 % of a step, or there are too many
/// @throws IoError     unreadable
double xyz_slack_cells(GDALDataset& dataset, const std::string& file, const std::string& name);

} // namespace swingroom::bathymetry
