#include "publish/raster/tiff_tags.hpp"

#include <array>
#include <cstddef>
#include <stdexcept>
#include <utility>

namespace swingroom {
namespace {

/// Bytes of a value by its type: TIFF 6.0, section 2, and the three of BigTIFF.
std::size_t bytes_of_type(std::uint16_t type) {
    constexpr std::array<std::uint8_t, 19> bytes = {0, 1, 1, 2, 4, 8, 1, 1, 2, 4, 8, 4, 8, 4, 0, 0, 8, 8, 8};
    const std::size_t found = type < bytes.size() ? bytes.at(type) : 0;
    if (found == 0) throw std::runtime_error("a TIFF tag of an unknown type");
    return found;
}

std::uint64_t number_at(std::string_view file, std::size_t at, std::size_t bytes) {
    if (at > file.size() || file.size() - at < bytes) throw std::runtime_error("a TIFF file that ends early");
    std::uint64_t number = 0;
    for (std::size_t i = bytes; i-- > 0;) {
        number = number << 8U | static_cast<unsigned char>(file[at + i]);
    }
    return number;
}

} // namespace

void append_little_endian(std::string& to, std::uint64_t value, int bytes) {
    for (int i = 0; i < bytes; ++i) {
        to += static_cast<char>(static_cast<unsigned char>(value >> (8U * static_cast<unsigned>(i))));
    }
}

TiffTag tag_of(std::uint16_t tag, std::uint16_t type, const std::vector<std::uint64_t>& values) {
    TiffTag made{tag, type, values.size(), {}};
    const std::size_t bytes = bytes_of_type(type);
    made.values.reserve(values.size() * bytes);
    for (const std::uint64_t value : values) {
        append_little_endian(made.values, value, static_cast<int>(bytes));
    }
    return made;
}

std::vector<TiffTag> tags_of(std::string_view file) {
    if (!file.starts_with(std::string_view("II\x2A\0", 4))) throw std::runtime_error("no classic TIFF file");
    const std::size_t directory = number_at(file, 4, 4), entries = number_at(file, directory, 2);
    std::vector<TiffTag> tags;
    for (std::size_t i = 0; i < entries; ++i) {
        const std::size_t at = directory + 2 + 12 * i;
        TiffTag tag;
        tag.tag = static_cast<std::uint16_t>(number_at(file, at, 2));
        tag.type = static_cast<std::uint16_t>(number_at(file, at + 2, 2));
        tag.count = number_at(file, at + 4, 4);
        const std::size_t bytes = tag.count * bytes_of_type(tag.type);
        const std::size_t values = bytes <= 4 ? at + 8 : number_at(file, at + 8, 4);
        if (values > file.size() || file.size() - values < bytes) {
            throw std::runtime_error("a TIFF file that ends early");
        }
        tag.values = file.substr(values, bytes);
        tags.push_back(std::move(tag));
    }
    return tags;
}

} // namespace swingroom
