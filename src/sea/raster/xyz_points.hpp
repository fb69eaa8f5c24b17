#pragma once

#include <string>
#include <vector>

namespace swingroom::bathymetry {

/// Points of a file of text, in its order.
struct XyzPoints {
    std::vector<double> x, y, z;
    /// The value of the last digit that the coordinates are written with: 0.01 for 350005.25.
    double last_digit = 1;
    /// The column that GDAL takes for another one than its name says; empty if there is none.
    std::string other_column;
};

/// Reads lines of x, y and value, which blanks, tabs, commas or semicolons keep apart; a first line may name
/// the columns, exactly: "depth", not "depth_uncertainty". A value "nan" is missing.
/// @param file  as the user wrote it   @param name  as GDAL may see it
/// @throws InputError  a line that is none, decimal commas, names that leave open which column is what, or
/// too
///                     many points
/// @throws IoError     unreadable
XyzPoints read_xyz_points(const std::string& file, const std::string& name);

} // namespace swingroom::bathymetry
