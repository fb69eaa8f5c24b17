#pragma once

#include <cstddef>
#include <cstdint>
#include <initializer_list>
#include <map>
#include <stdexcept>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

/// A reader of Cloud Optimized GeoTIFFs that forgives nothing: it takes the file apart byte by byte and
/// throws where anything is otherwise than, or beside, what these say:
///   TIFF Revision 6.0 (Adobe, 1992), sections 2 (structure), 14 (differencing), 15 (tiles);
///   the BigTIFF design (libtiff, "The BigTIFF File Format");
///   GDAL, "Cloud Optimized GeoTIFF generator", sections "File format details" and "Header ghost area".
namespace swingroom::strict_cog {

struct Fault : std::runtime_error {
    using std::runtime_error::runtime_error;
};

inline void require(bool holds, const std::string& otherwise) {
    if (!holds) throw Fault(otherwise);
}

struct Entry {
    std::uint16_t type = 0;
    std::uint64_t count = 0;
    std::string values; ///< as they stand in the file
};

struct Image {
    std::uint64_t directory = 0;
    std::map<std::uint16_t, Entry> entries;
    std::uint64_t cols = 0, rows = 0;
    std::vector<std::string> tiles; ///< compressed, row by row
};

struct File {
    bool big = false;
    std::vector<Image> images;
    std::uint64_t zeros_before_raster = 0;
};

class Reader {
public:
    explicit Reader(std::string_view bytes) : bytes_(bytes), covered_(bytes.size(), false) {}

    File read() {
        read_header();
        for (std::uint64_t at = first_; at != 0;) {
            at = read_directory(at);
        }
        require(!file_.images.empty(), "no image");
        read_tiles();
        require_overviews();
        for (std::size_t i = 0; i < covered_.size(); ++i) {
            require(covered_[i], "byte " + std::to_string(i) + " belongs to nothing");
        }
        return std::move(file_);
    }

    static std::uint64_t number(std::string_view bytes) {
        std::uint64_t value = 0;
        for (std::size_t i = bytes.size(); i-- > 0;) {
            value = value << 8U | static_cast<unsigned char>(bytes[i]);
        }
        return value;
    }

private:
    /// Each byte belongs to one thing.
    std::string_view take(std::uint64_t at, std::uint64_t size) {
        require(at <= bytes_.size() && size <= bytes_.size() - at, "something beyond the end of the file");
        for (std::uint64_t i = at; i < at + size; ++i) {
            require(!covered_[i], "byte " + std::to_string(i) + " belongs to two things");
            covered_[i] = true;
        }
        return bytes_.substr(at, size);
    }
    /// Zeros between two things.
    void take_zeros(std::uint64_t at, std::uint64_t end) {
        for (const char byte : take(at, end - at)) {
            require(byte == 0, "padding that is not zero");
        }
    }

    void read_header() {
        const std::string_view mark = take(0, 4);
        file_.big = mark == std::string_view("II\x2B\0", 4);
        require(file_.big || mark == std::string_view("II\x2A\0", 4), "neither TIFF nor BigTIFF");
        std::uint64_t at = 4;
        if (file_.big) {
            require(take(at, 4) == std::string_view("\x08\0\0\0", 4), "BigTIFF: offsets of 8 bytes, then 0");
            at += 4;
        }
        first_ = number(take(at, width()));
        at += width();
        const std::string_view size_text = take(at, 43);
        require(size_text == "GDAL_STRUCTURAL_METADATA_SIZE=000140 bytes\n", "no ghost area of 140 bytes");
        at += 43;
        require(take(at, 140) == "LAYOUT=IFDS_BEFORE_DATA\n"
                                 "BLOCK_ORDER=ROW_MAJOR\n"
                                 "BLOCK_LEADER=SIZE_AS_UINT4\n"
                                 "BLOCK_TRAILER=LAST_4_BYTES_REPEATED\n"
                                 "KNOWN_INCOMPATIBLE_EDITION=NO\n ",
                "another ghost area than the driver's");
        at += 140;
        require(first_ == at + at % 2, "the first directory follows, on a word boundary");
        take_zeros(at, first_);
    }

    std::uint64_t read_directory(std::uint64_t at) {
        require(at % 2 == 0, "a directory on an odd byte");
        require(file_.images.empty() || at > file_.images.back().directory, "directories out of order");
        Image image;
        image.directory = at;
        const std::uint64_t count_width = file_.big ? 8 : 2, entry_width = file_.big ? 20 : 12;
        const std::uint64_t count = number(take(at, count_width));
        at += count_width;
        std::uint16_t last = 0;
        std::uint64_t values_end = at + count * entry_width + width();
        for (std::uint64_t i = 0; i < count; ++i, at += entry_width) {
            const std::string_view entry = take(at, entry_width);
            const auto tag = static_cast<std::uint16_t>(number(entry.substr(0, 2)));
            require(tag > last, "tags are in ascending order, each once");
            last = tag;
            Entry read;
            read.type = static_cast<std::uint16_t>(number(entry.substr(2, 2)));
            read.count = number(entry.substr(4, width()));
            const std::uint64_t bytes = read.count * width_of(read.type);
            const std::string_view field = entry.substr(4 + width());
            if (bytes <= width()) {
                read.values = field.substr(0, bytes);
                require(number(field.substr(bytes)) == 0, "something behind a value");
            } else {
                const std::uint64_t values = number(field);
                require(values % 2 == 0, "values on an odd byte");
                require(values >= values_end && values - values_end <= 1, "values follow their directory");
                take_zeros(values_end, values);
                read.values = take(values, bytes);
                values_end = values + bytes;
            }
            image.entries.emplace(tag, std::move(read));
        }
        const std::uint64_t next = number(take(at, width()));
        const std::uint64_t behind = values_end + values_end % 2;
        if (values_end < behind) take_zeros(values_end, behind);
        require(next == 0 || next == behind, "the next directory follows");
        directories_end_ = behind;
        image.cols = only(image, 256);
        image.rows = only(image, 257);
        require(only(image, 322) == 512 && only(image, 323) == 512, "tiles of 512 x 512");
        require(only(image, 277) == 1, "one sample");
        require(!image.entries.contains(273) && !image.entries.contains(279), "strips");
        file_.images.push_back(std::move(image));
        return next;
    }

    /// The smallest overview's tiles first, the raster's last; each level's row by row, each in its frame.
    void read_tiles() {
        std::uint64_t at = directories_end_;
        for (std::size_t level = file_.images.size(); level-- > 0;) {
            Image& image = file_.images[level];
            const std::vector<std::uint64_t> offsets = all(image, 324), sizes = all(image, 325);
            const std::uint64_t across = (image.cols + 511) / 512, down = (image.rows + 511) / 512;
            require(offsets.size() == across * down && sizes.size() == offsets.size(),
                    "as many tiles as the image has");
            if (level == 0) {
                const std::uint64_t begin = (at + 4095) / 4096 * 4096;
                file_.zeros_before_raster = begin - at;
                take_zeros(at, begin);
                at = begin;
            }
            for (std::size_t i = 0; i < offsets.size(); ++i) {
                require(offsets[i] == at + 4, "a tile that does not follow the one before it");
                require(number(take(at, 4)) == sizes[i], "a leader that is not the tile's size");
                const std::string_view tile = take(at + 4, sizes[i]);
                require(tile.size() >= 4, "a tile of less than four bytes");
                require(take(at + 4 + sizes[i], 4) == tile.substr(tile.size() - 4),
                        "a trailer that does not repeat the tile's end");
                image.tiles.emplace_back(tile);
                at += sizes[i] + 8;
            }
        }
        require(at == bytes_.size(), "something behind the last tile");
    }

    void require_overviews() const {
        for (std::size_t level = 0; level < file_.images.size(); ++level) {
            const Image& image = file_.images[level];
            require(image.entries.contains(254) == (level > 0), "only overviews are reduced images");
            if (level == 0) continue;
            require(only(image, 254) == 1, "a reduced image is of subfile type 1");
            const Image& finer = file_.images[level - 1];
            require(image.cols == (finer.cols + 1) / 2 && image.rows == (finer.rows + 1) / 2,
                    "overviews halve");
            for (const std::uint16_t tag :
                 std::initializer_list<std::uint16_t>{258, 259, 262, 317, 320, 339, 42113}) {
                const auto here = image.entries.find(tag), there = finer.entries.find(tag);
                require((here == image.entries.end()) == (there == finer.entries.end()) &&
                            (here == image.entries.end() || here->second.values == there->second.values),
                        "overviews hold what the raster holds: tag " + std::to_string(tag));
            }
        }
        const Image& smallest = file_.images.back();
        require(smallest.cols <= 512 && smallest.rows <= 512, "the smallest overview is a tile");
        require(file_.images.size() == 1 || file_.images[file_.images.size() - 2].cols > 512 ||
                    file_.images[file_.images.size() - 2].rows > 512,
                "an overview that nobody needs");
    }

    [[nodiscard]] std::uint64_t width() const { return file_.big ? 8 : 4; }
    static std::uint64_t width_of(std::uint16_t type) {
        static const std::map<std::uint16_t, std::uint64_t> widths = {{1, 1}, {2, 1},  {3, 2},  {4, 4},
                                                                      {5, 8}, {11, 4}, {12, 8}, {16, 8}};
        const auto found = widths.find(type);
        require(found != widths.end(), "a tag of type " + std::to_string(type));
        return found->second;
    }
    static std::vector<std::uint64_t> all(const Image& image, std::uint16_t tag) {
        const auto found = image.entries.find(tag);
        require(found != image.entries.end(), "no tag " + std::to_string(tag));
        const Entry& entry = found->second;
        require(entry.type == 3 || entry.type == 4 || entry.type == 16, "not of whole numbers");
        const std::uint64_t bytes = width_of(entry.type);
        std::vector<std::uint64_t> values;
        for (std::uint64_t i = 0; i < entry.count; ++i) {
            values.push_back(number(std::string_view(entry.values).substr(i * bytes, bytes)));
        }
        return values;
    }
    static std::uint64_t only(const Image& image, std::uint16_t tag) {
        const std::vector<std::uint64_t> values = all(image, tag);
        require(values.size() == 1, "more than one value");
        return values.front();
    }

    std::string_view bytes_;
    std::vector<bool> covered_;
    File file_;
    std::uint64_t first_ = 0, directories_end_ = 0;
};

/// @throws Fault
inline File read(std::string_view bytes) { return Reader(bytes).read(); }

} // namespace swingroom::strict_cog
