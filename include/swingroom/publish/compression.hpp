#pragma once

#include <array>
#include <cstdint>
#include <string_view>

namespace swingroom {

/// By what the tiles of a raster are compressed; the cells are the same.
enum class Compression : std::uint8_t {
    deflate, ///< that of zip and PNG, which every reader of GeoTIFF knows
    zstd     ///< faster, and about as small; not every reader has it
};

/// The names by which they are asked for, in the order of the enumeration.
inline constexpr std::array<std::string_view, 2> compression_names = {"deflate", "zstd"};

/// Whether the GDAL at hand can compress and decompress so, of itself and in a GeoTIFF.
[[nodiscard]] bool is_at_hand(Compression compression);

} // namespace swingroom
