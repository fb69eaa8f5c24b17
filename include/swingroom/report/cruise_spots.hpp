#pragma once

#include "swingroom/publish/provenance.hpp"
#include "swingroom/report/cruise_page.hpp"

#include <array>
#include <filesystem>

namespace swingroom {

/// The files of write_cruise_spots().
inline constexpr std::array<const char*, 2> cruise_spots_files = {"spots.gpx", "spots.gpkg"};

/// Writes the drop points of all answers of a cruise into a folder, stay by stay and boat by boat, as way
/// points for plotters and for a GIS: with the name that tells them apart among all of them, their stay and
/// boat, and their figures as cruise.json has them. Then re-reads and compares both files.
/// @param folder  existing   @throws IoError
void write_cruise_spots(const std::filesystem::path& folder, const CruiseFigures& cruise,
                        const Provenance& provenance);

} // namespace swingroom
