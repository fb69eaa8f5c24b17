#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace swingroom {

/// Tags of TIFF 6.0, and of GDAL, that the layout of a file speaks of.
namespace tiff {
inline constexpr std::uint16_t new_subfile_type = 254, image_width = 256, image_length = 257,
                               bits_per_sample = 258, compression = 259, photometric = 262,
                               strip_offsets = 273, samples_per_pixel = 277, rows_per_strip = 278,
                               strip_byte_counts = 279, planar_configuration = 284, predictor = 317,
                               colour_map = 320, tile_width = 322, tile_length = 323, tile_offsets = 324,
                               tile_byte_counts = 325, sample_format = 339, gdal_nodata = 42113;
/// Types of a tag's values; the last is of BigTIFF.
inline constexpr std::uint16_t type_short = 3, type_long = 4, type_long8 = 16;
} // namespace tiff

/// A tag with its values as they stand in a little-endian file.
struct TiffTag {
    std::uint16_t tag = 0, type = 0;
    std::uint64_t count = 0;
    std::string values;
};

/// Appends the low bytes of a number, the lowest first.
void append_little_endian(std::string& to, std::uint64_t value, int bytes);

/// A tag of whole numbers.   @param type  type_short, type_long or type_long8
TiffTag tag_of(std::uint16_t tag, std::uint16_t type, const std::vector<std::uint64_t>& values);

/// The tags of the first image of a little-endian classic TIFF.
/// @throws std::runtime_error  it is none
std::vector<TiffTag> tags_of(std::string_view file);

} // namespace swingroom
