#include "publish/raster/cog_head.hpp"

#include <algorithm>
#include <array>
#include <stdexcept>
#include <string_view>
#include <utility>

namespace swingroom {
namespace {

// What GDAL's driver of Cloud Optimized GeoTIFFs writes between the header and the first directory (GDAL,
// "Cloud Optimized GeoTIFF: header ghost area"). The space at its end leaves room to write YES over NO.
constexpr std::string_view layout_note = "LAYOUT=IFDS_BEFORE_DATA\n"
                                         "BLOCK_ORDER=ROW_MAJOR\n"
                                         "BLOCK_LEADER=SIZE_AS_UINT4\n"
                                         "BLOCK_TRAILER=LAST_4_BYTES_REPEATED\n"
                                         "KNOWN_INCOMPATIBLE_EDITION=NO\n ";

std::string note_with_size() {
    std::string size = std::to_string(layout_note.size());
    size.insert(0, 6 - size.size(), '0');
    return "GDAL_STRUCTURAL_METADATA_SIZE=" + size + " bytes\n" + std::string(layout_note);
}

constexpr std::array structure_of_file = {
    tiff::new_subfile_type, tiff::image_width,    tiff::image_length,      tiff::compression,
    tiff::strip_offsets,    tiff::rows_per_strip, tiff::strip_byte_counts, tiff::predictor,
    tiff::tile_width,       tiff::tile_length,    tiff::tile_offsets,      tiff::tile_byte_counts};

/// What an overview says besides: what its cells are. What they mean stands in the first directory.
constexpr std::array said_of_overviews = {
    tiff::bits_per_sample, tiff::photometric,   tiff::samples_per_pixel, tiff::planar_configuration,
    tiff::colour_map,      tiff::sample_format, tiff::gdal_nodata};

template <class Tags>
bool has(const Tags& tags, std::uint16_t tag) {
    return std::find(tags.begin(), tags.end(), tag) != tags.end();
}

std::uint64_t code_of(Compression compression) {
    return compression == Compression::zstd ? 50000 : 8; // as libtiff has them
}

/// Places of things in a file that is classic or big: BigTIFF's entries are wider.
struct Widths {
    bool big;
    [[nodiscard]] int offset() const { return big ? 8 : 4; }
    [[nodiscard]] int entries() const { return big ? 8 : 2; }
    [[nodiscard]] std::uint16_t offset_type() const { return big ? tiff::type_long8 : tiff::type_long; }
    [[nodiscard]] std::size_t entry() const { return big ? 20 : 12; }
};

std::vector<TiffTag> directory_of(const CogHead& head, const CogLevel& level, bool is_overview) {
    std::vector<TiffTag> tags;
    for (const TiffTag& tag : head.model) {
        if (!has(structure_of_file, tag.tag) && (!is_overview || has(said_of_overviews, tag.tag))) {
            tags.push_back(tag);
        }
    }
    const auto put = [&](std::uint16_t tag, std::uint16_t type, std::uint64_t value) {
        tags.push_back(tag_of(tag, type, {value}));
    };
    if (is_overview) put(tiff::new_subfile_type, tiff::type_long, 1); // a reduced image of another
    put(tiff::image_width, tiff::type_long, static_cast<std::uint64_t>(level.extent.cols));
    put(tiff::image_length, tiff::type_long, static_cast<std::uint64_t>(level.extent.rows));
    put(tiff::compression, tiff::type_short, code_of(head.coding.compression));
    if (head.coding.differences) put(tiff::predictor, tiff::type_short, 2);
    put(tiff::tile_width, tiff::type_short, tile_side);
    put(tiff::tile_length, tiff::type_short, tile_side);
    std::vector<std::uint64_t> offsets, sizes;
    std::uint64_t at = level.first_byte;
    for (const std::uint32_t bytes : level.tile_bytes) {
        offsets.push_back(at + frame_before);
        sizes.push_back(bytes);
        at += bytes + frame_bytes;
    }
    tags.push_back(tag_of(tiff::tile_offsets, Widths{head.big}.offset_type(), offsets));
    tags.push_back(tag_of(tiff::tile_byte_counts, tiff::type_long, sizes));
    std::sort(tags.begin(), tags.end(), [](const TiffTag& a, const TiffTag& b) { return a.tag < b.tag; });
    return tags;
}

/// A directory with the values that do not fit into its entries behind it.
void append_directory(std::string& file, const std::vector<TiffTag>& tags, Widths width, bool is_last) {
    append_little_endian(file, tags.size(), width.entries());
    std::uint64_t values_at =
        file.size() + tags.size() * width.entry() + static_cast<std::uint64_t>(width.offset());
    std::string values;
    const auto inside = static_cast<std::size_t>(width.offset());
    for (const TiffTag& tag : tags) {
        append_little_endian(file, tag.tag, 2);
        append_little_endian(file, tag.type, 2);
        append_little_endian(file, tag.count, width.offset());
        if (tag.values.size() <= inside) {
            file += tag.values + std::string(inside - tag.values.size(), '\0');
        } else {
            append_little_endian(file, values_at + values.size(), width.offset());
            values += tag.values;
            if (values.size() % 2 != 0) values += '\0'; // values begin on a word
        }
    }
    append_little_endian(file, is_last ? 0 : values_at + values.size(), width.offset());
    file += values;
}

} // namespace

std::vector<Window> level_extents(Window full) {
    std::vector<Window> levels{full};
    while (levels.back().cols > tile_side || levels.back().rows > tile_side) {
        const Window last = levels.back();
        levels.push_back({0, 0, (last.cols + 1) / 2, (last.rows + 1) / 2});
    }
    return levels;
}

int tiles_across(Window extent) { return (extent.cols - 1) / tile_side + 1; }
int tiles_down(Window extent) { return (extent.rows - 1) / tile_side + 1; }

std::string CogHead::bytes(std::span<const CogLevel> levels) const {
    const Widths width{big};
    const std::string note = note_with_size();
    std::string file = big ? std::string("II\x2B\0\x08\0\0\0", 8) : std::string("II\x2A\0", 4);
    const std::uint64_t header = file.size() + static_cast<std::uint64_t>(width.offset());
    const std::uint64_t first = (header + note.size() + 1) / 2 * 2;
    append_little_endian(file, first, width.offset());
    file += note;
    file.resize(static_cast<std::size_t>(first), '\0');
    for (std::size_t level = 0; level < levels.size(); ++level) {
        append_directory(file, directory_of(*this, levels[level], level > 0), width,
                         level + 1 == levels.size());
    }
    return file;
}

bool may_pass_4_gb(Window full, int bytes_of_cell) {
    constexpr double limit = 4294967295.0, growth = 1.005, texts_bytes = 16e6;
    const double tile_bytes = growth * tile_side * tile_side * bytes_of_cell + frame_bytes + 8;
    double bytes = texts_bytes;
    for (const Window extent : level_extents(full)) {
        bytes += double{tile_bytes} * tiles_across(extent) * tiles_down(extent);
    }
    return bytes > limit;
}

} // namespace swingroom
