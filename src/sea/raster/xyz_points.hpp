#pragma once

#include <string>
#include <vector>

namespace swingroom::bathymetry {

/// Points of a file of text, in its order.
struct XyzPoints {
    std::vector<double> x, y, z;
    /// The value of the last digit that the coordinates are written with: 0.01 for 350005.25.
    double last_digit = 1;
};

/// Reads lines of x, y and value, which blanks, tabs, commas or semicolons keep apart; a first line may name
/// the columns. A value "nan" is missing.
/// @param file  as the user wrote it   @param name  as GDAL may see it
/// @throws InputError  a line that is none, decimal commas, or too many points
/// @throws IoError     unreadable
XyzPoints read_xyz_points(const std::string& file, const std::string& name);

} // namespace swingroom::bathymetry
