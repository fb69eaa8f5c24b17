#pragma once

#include "swingroom/base/grid.hpp"

#include <array>
#include <cstdint>
#include <span>
#include <string>

namespace swingroom {

/// Red, green, blue, alpha.
using Rgba = std::array<std::uint8_t, 4>;

/// The plane as a PNG with a palette, as a data URI. The same bytes for the same plane.
/// @param palette  a colour for each value that occurs, 256 at the most   @throws IoError
std::string png_data_uri(const Plane<std::uint8_t>& classes, std::span<const Rgba> palette);

} // namespace swingroom
