#include "publish/raster/tile_codec.hpp"

#include "sea/gdal/gdal_start.hpp"

#include <gdal_priv.h>

#include <algorithm>
#include <array>
#include <bit>
#include <cstring>
#include <stdexcept>
#include <string>
#include <string_view>
#include <type_traits>

namespace swingroom {
namespace {

template <class T>
using WordOf = std::conditional_t<sizeof(T) == 1, std::uint8_t,
                                  std::conditional_t<sizeof(T) == 2, std::uint16_t, std::uint32_t>>;

/// The file is little-endian on every machine, so that its bytes are the same.
template <class Word>
void swap_where_needed(std::span<Word> words) {
    if constexpr (std::endian::native == std::endian::big && sizeof(Word) > 1) {
        for (Word& word : words) {
            std::array<std::byte, sizeof(Word)> bytes =
                std::bit_cast<std::array<std::byte, sizeof(Word)>>(word);
            std::reverse(bytes.begin(), bytes.end());
            word = std::bit_cast<Word>(bytes);
        }
    }
}

const char* gdal_name_of(Compression compression) {
    return compression == Compression::zstd ? "zstd" : "zlib";
}

/// Room that a thread keeps from tile to tile: what is a megabyte is otherwise given back to the system each
/// time, and cleared by it anew.
template <class Word>
std::vector<Word>& kept_room(std::size_t size) {
    thread_local std::vector<Word> room;
    if (room.size() < size) room.resize(size);
    return room;
}

} // namespace

bool is_at_hand(Compression compression) {
    start_gdal();
    const char* const name = gdal_name_of(compression);
    if (CPLGetCompressor(name) == nullptr || CPLGetDecompressor(name) == nullptr) return false;
    GDALDriver* const driver = GetGDALDriverManager()->GetDriverByName("GTiff");
    const char* const options =
        driver == nullptr ? nullptr : driver->GetMetadataItem(GDAL_DMD_CREATIONOPTIONLIST);
    const std::string_view listed = options == nullptr ? std::string_view() : options;
    return listed.find(compression == Compression::zstd ? "<Value>ZSTD</Value>" : "<Value>DEFLATE</Value>") !=
           std::string_view::npos;
}

template <class T>
bool CellView<T>::is_of_one_value() const {
    const auto bytes = [&](int r) { return reinterpret_cast<const char*>(row(r)); };
    const std::size_t row_bytes = static_cast<std::size_t>(cols) * sizeof(T);
    // A row that is equal to itself moved by a cell holds one value.
    if (std::memcmp(bytes(0), bytes(0) + sizeof(T), row_bytes - sizeof(T)) != 0) return false;
    for (int r = 1; r < rows; ++r) {
        if (std::memcmp(bytes(0), bytes(r), row_bytes) != 0) return false;
    }
    return true;
}

TileCodec::TileCodec(TileCoding coding) : coding_(coding), compressor_(nullptr), decompressor_(nullptr) {
    start_gdal();
    compressor_ = CPLGetCompressor(gdal_name_of(coding.compression));
    decompressor_ = CPLGetDecompressor(gdal_name_of(coding.compression));
    if (compressor_ == nullptr || decompressor_ == nullptr) {
        throw std::runtime_error(std::string("this GDAL has no compressor ") +
                                 gdal_name_of(coding.compression));
    }
    options_.SetNameValue("LEVEL", std::to_string(coding.level).c_str());
}

std::vector<std::byte> TileCodec::compressed(std::span<const std::byte> raw) const {
    // What does not compress grows by less: by five bytes in some 10 kB (deflate), by one in 256 (zstd).
    std::vector<std::byte>& room = kept_room<std::byte>(raw.size() + raw.size() / 64 + 1024);
    void* to = room.data();
    std::size_t bytes = room.size();
    if (!compressor_->pfnFunc(raw.data(), raw.size(), &to, &bytes, options_.List(), compressor_->user_data)) {
        throw std::runtime_error("GDAL could not compress a tile");
    }
    return {room.begin(), room.begin() + static_cast<std::ptrdiff_t>(bytes)};
}

template <class T>
std::vector<std::byte> TileCodec::encode(const CellView<T>& view, int cols, int rows) const {
    using Word = WordOf<T>;
    const auto wide = static_cast<std::size_t>(cols), high = static_cast<std::size_t>(rows),
               seen = static_cast<std::size_t>(view.cols);
    const bool is_whole = view.cols == cols && view.rows == rows && view.stride == cols;
    if (is_whole && !coding_.differences && std::endian::native == std::endian::little) {
        return compressed(std::as_bytes(std::span(view.cells, wide * high)));
    }
    const std::span<Word> words(kept_room<Word>(wide * high).data(), wide * high);
    for (int r = 0; r < rows; ++r) {
        Word* const to = words.data() + static_cast<std::size_t>(r) * wide;
        if (r >= view.rows) {
            std::copy_n(to - wide, wide, to);
            continue;
        }
        const T* const from = view.row(r);
        const Word last = std::bit_cast<Word>(from[seen - 1]);
        if (coding_.differences) {
            to[0] = std::bit_cast<Word>(from[0]);
            for (std::size_t c = 1; c < seen; ++c) {
                to[c] = static_cast<Word>(std::bit_cast<Word>(from[c]) - std::bit_cast<Word>(from[c - 1]));
            }
        } else {
            std::memcpy(to, from, seen * sizeof(Word));
        }
        std::fill(to + seen, to + wide, coding_.differences ? Word{0} : last);
    }
    swap_where_needed(words);
    return compressed(std::as_bytes(words));
}

template <class T>
void TileCodec::decode(std::span<const std::byte> bytes, std::span<T> cells, int cols) const {
    using Word = WordOf<T>;
    void* to = cells.data();
    std::size_t size = cells.size_bytes();
    if (!decompressor_->pfnFunc(bytes.data(), bytes.size(), &to, &size, nullptr, decompressor_->user_data) ||
        size != cells.size_bytes()) {
        throw std::runtime_error("GDAL could not decompress a tile");
    }
    const auto wide = static_cast<std::size_t>(cols);
    for (std::size_t first = 0; first < cells.size(); first += wide) {
        Word before = 0;
        for (std::size_t c = first; c < first + wide; ++c) {
            Word word = std::bit_cast<Word>(cells[c]);
            swap_where_needed(std::span(&word, 1));
            if (coding_.differences) word = static_cast<Word>(word + before);
            before = word;
            cells[c] = std::bit_cast<T>(word);
        }
    }
}

template struct CellView<std::uint8_t>;
template struct CellView<std::uint16_t>;
template struct CellView<std::uint32_t>;
template struct CellView<float>;
template std::vector<std::byte> TileCodec::encode(const CellView<std::uint8_t>&, int, int) const;
template std::vector<std::byte> TileCodec::encode(const CellView<std::uint16_t>&, int, int) const;
template std::vector<std::byte> TileCodec::encode(const CellView<std::uint32_t>&, int, int) const;
template std::vector<std::byte> TileCodec::encode(const CellView<float>&, int, int) const;
template void TileCodec::decode(std::span<const std::byte>, std::span<std::uint8_t>, int) const;
template void TileCodec::decode(std::span<const std::byte>, std::span<std::uint16_t>, int) const;
template void TileCodec::decode(std::span<const std::byte>, std::span<std::uint32_t>, int) const;
template void TileCodec::decode(std::span<const std::byte>, std::span<float>, int) const;

} // namespace swingroom
