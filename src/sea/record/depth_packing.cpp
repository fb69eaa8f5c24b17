#include "sea/record/depth_packing.hpp"

#include "swingroom/base/error.hpp"

#include "base/byte_stream.hpp"
#include "sea/gdal/gdal_messages.hpp"

#include <cpl_compressor.h>
#include <cpl_string.h>

#include <algorithm>
#include <array>
#include <bit>
#include <cassert>
#include <utility>

namespace swingroom {
namespace {

/// How the depths of a tile are kept.
enum class Form : std::uint8_t { pairs, floats };

/// Pairs are numbered in two bytes.
constexpr std::size_t most_pairs = 65536;
constexpr std::size_t table_slots = 2 * most_pairs;

/// Floats as whole numbers in the same order.
std::uint32_t in_order(float value) {
    const auto bits = std::bit_cast<std::uint32_t>(value);
    return (bits >> 31U) != 0 ? ~bits : bits | 0x80000000U;
}
float from_order(std::uint32_t number) {
    return std::bit_cast<float>((number >> 31U) != 0 ? number & 0x7FFFFFFFU : ~number);
}

/// Small numbers for small differences of either sign.
std::uint16_t folded(std::uint16_t difference) {
    const std::uint32_t wide = difference;
    return static_cast<std::uint16_t>((wide << 1U) ^ ((wide >> 15U) != 0 ? 0xFFFFU : 0U));
}
std::uint16_t unfolded(std::uint16_t number) {
    const std::uint32_t wide = number;
    return static_cast<std::uint16_t>((wide >> 1U) ^ ((wide & 1U) != 0 ? 0xFFFFU : 0U));
}

/// Appends numbers byte by byte: all the lowest bytes, then the next.
template <class T>
void append_planes(const std::vector<T>& numbers, std::vector<std::uint8_t>& to) {
    const std::size_t begin = to.size();
    to.resize(begin + numbers.size() * sizeof(T));
    for (std::size_t byte = 0; byte < sizeof(T); ++byte) {
        std::uint8_t* const plane = to.data() + begin + byte * numbers.size();
        for (std::size_t i = 0; i < numbers.size(); ++i) {
            plane[i] = static_cast<std::uint8_t>(numbers[i] >> (8 * byte));
        }
    }
}
template <class T>
std::vector<T> read_planes(ByteReader& from, std::size_t count) {
    std::vector<T> numbers(count, 0);
    for (std::size_t byte = 0; byte < sizeof(T); ++byte) {
        const std::span<const std::uint8_t> plane = from.bytes(count);
        for (std::size_t i = 0; i < count; ++i) {
            numbers[i] = static_cast<T>(numbers[i] | static_cast<T>(static_cast<T>(plane[i]) << (8 * byte)));
        }
    }
    return numbers;
}

/// The cell that another one is told from: its neighbour to the left, in the first column that above it.
std::size_t before(std::size_t cell, std::size_t cols) { return cell % cols != 0 ? cell - 1 : cell - cols; }

/// The planes beside the depths that are kept, in their order.
std::vector<Plane<std::uint8_t> DepthPlanes::*> planes_of(const PlanesFilled& filled) {
    std::vector<Plane<std::uint8_t> DepthPlanes::*> planes;
    if (filled.source) planes.push_back(&DepthPlanes::source);
    if (filled.banded) planes.push_back(&DepthPlanes::banded);
    if (filled.differs) planes.push_back(&DepthPlanes::differs);
    if (filled.partial) planes.push_back(&DepthPlanes::partial);
    if (filled.joined) planes.push_back(&DepthPlanes::joined);
    return planes;
}

// The fastest level of the fastest that is there: the depths of a part are read once or twice.
constexpr std::array compressors = {"zstd", "zlib"};

/// @param room  for what is made, kept from tile to tile: new memory costs more than compressing
std::vector<std::uint8_t> compressed(const std::vector<std::uint8_t>& raw, std::vector<std::uint8_t>& room) {
    const GdalMessages messages;
    // What does not get smaller gets larger by less than this with either.
    room.resize(raw.size() + raw.size() / 64 + 1024);
    for (std::size_t i = 0; i < compressors.size(); ++i) {
        const CPLCompressor* const compressor = CPLGetCompressor(compressors[i]);
        if (compressor == nullptr) continue;
        CPLStringList options;
        options.SetNameValue("LEVEL", "1");
        void* into = room.data();
        std::size_t bytes = room.size();
        if (!compressor->pfnFunc(raw.data(), raw.size(), &into, &bytes, options.List(),
                                 compressor->user_data)) {
            continue;
        }
        ByteWriter start;
        start.number(static_cast<std::uint8_t>(i));
        start.number(static_cast<std::uint32_t>(raw.size()));
        std::vector<std::uint8_t> made;
        made.reserve(start.all().size() + bytes);
        made = start.all();
        made.insert(made.end(), room.begin(), room.begin() + static_cast<std::ptrdiff_t>(bytes));
        return made;
    }
    throw IoError("depths", "cannot be compressed (" + messages.failure() + ")");
}

std::vector<std::uint8_t> decompressed(std::span<const std::uint8_t> packed, std::size_t most_bytes,
                                       const std::string& name) {
    ByteReader from(packed, name);
    const auto which = from.number<std::uint8_t>();
    const auto bytes = from.number<std::uint32_t>();
    if (which >= compressors.size() || bytes > most_bytes) from.refuse("holds a tile that is none");
    const CPLCompressor* const decompressor = CPLGetDecompressor(compressors.at(which));
    if (decompressor == nullptr) {
        throw InputError(name,
                         std::string("is compressed by ") + compressors.at(which) +
                             ", which the format library here does not know",
                         "read it with the library that the part was made with");
    }
    const GdalMessages quiet;
    std::vector<std::uint8_t> raw(bytes);
    const std::span<const std::uint8_t> rest = from.bytes(from.left());
    void* into = raw.data();
    std::size_t made = raw.size();
    if (!decompressor->pfnFunc(rest.data(), rest.size(), &into, &made, nullptr, decompressor->user_data) ||
        made != raw.size()) {
        from.refuse("holds a tile that cannot be decompressed");
    }
    return raw;
}

} // namespace

PlanesFilled PlanesFilled::of(const DepthPlanes& with_parts) {
    return {with_parts.source.size() > 0, with_parts.banded.size() > 0, with_parts.differs.size() > 0,
            with_parts.partial.size() > 0, with_parts.joined.size() > 0};
}

/// Numbers the pairs of the cells as they are met, as long as there are not too many.
void DepthPacking::number_pairs(const DepthPlanes& depths) {
    table_.assign(table_slots, 0);
    pairs_.clear();
    pairs_.reserve(most_pairs);
    numbers_.resize(depths.shoal_m.size());
    // Not asked of the members for each cell: what is written might change them, for all the compiler knows.
    const float *const shoal_m = depths.shoal_m.data(), *const deep_m = depths.deep_m.data();
    std::uint32_t* const table = table_.data();
    const std::uint64_t* const pairs = pairs_.data();
    std::uint16_t* const numbers = numbers_.data();
    const std::size_t cells = numbers_.size();
    std::uint64_t last_pair = 0;
    std::uint16_t last_number = 0;
    for (std::size_t i = 0; i < cells; ++i) {
        const std::uint64_t pair = (std::uint64_t{in_order(shoal_m[i])} << 32U) | in_order(deep_m[i]);
        if (pair == last_pair && !pairs_.empty()) {
            numbers[i] = last_number;
            continue;
        }
        // Fibonacci hashing; the factor is 2^64 divided by the golden ratio.
        std::size_t at = (pair * 0x9E3779B97F4A7C15U) >> 47U;
        static_assert(table_slots == std::size_t{1} << (64U - 47U));
        while (table[at] != 0 && pairs[table[at] - 1] != pair) {
            at = (at + 1) % table_slots;
        }
        if (table[at] == 0) {
            if (pairs_.size() == most_pairs) {
                pairs_.clear();
                return;
            }
            pairs_.push_back(pair);
            table[at] = static_cast<std::uint32_t>(pairs_.size());
        }
        last_pair = pair;
        numbers[i] = last_number = static_cast<std::uint16_t>(table[at] - 1);
    }
}

/// @returns false if there are too many pairs
bool DepthPacking::pack_pairs() {
    if (pairs_.empty()) return false;
    struct Numbered {
        std::uint64_t pair;
        std::uint16_t number;
    };
    std::vector<Numbered> in_order_of_pairs(pairs_.size());
    for (std::size_t number = 0; number < pairs_.size(); ++number) {
        in_order_of_pairs[number] = {pairs_[number], static_cast<std::uint16_t>(number)};
    }
    std::sort(in_order_of_pairs.begin(), in_order_of_pairs.end(),
              [](const Numbered& a, const Numbered& b) { return a.pair < b.pair; });
    ranks_.resize(pairs_.size());
    std::vector<std::uint32_t> shoal, apart;
    shoal.reserve(pairs_.size());
    apart.reserve(pairs_.size());
    std::uint32_t last = 0;
    for (std::size_t rank = 0; rank < in_order_of_pairs.size(); ++rank) {
        const auto [pair, number] = in_order_of_pairs[rank];
        ranks_[number] = static_cast<std::uint16_t>(rank);
        const auto of_shoal = static_cast<std::uint32_t>(pair >> 32U);
        shoal.push_back(of_shoal - last);
        apart.push_back(static_cast<std::uint32_t>(pair) - of_shoal);
        last = of_shoal;
    }
    ByteWriter start;
    start.number(static_cast<std::uint8_t>(Form::pairs));
    start.number(static_cast<std::uint32_t>(pairs_.size()));
    raw_.assign(start.all().begin(), start.all().end());
    append_planes(shoal, raw_);
    append_planes(apart, raw_);
    const std::size_t cells = numbers_.size(), begin = raw_.size();
    raw_.resize(begin + 2 * cells);
    std::uint8_t* const low = raw_.data() + begin;
    std::uint8_t* const high = low + cells;
    const std::uint16_t *const numbers = numbers_.data(), *const ranks = ranks_.data();
    const std::size_t cols = cols_;
    std::uint16_t above = 0;
    for (std::size_t row = 0; row < cells; row += cols) {
        std::uint16_t left = above;
        for (std::size_t i = row; i < row + cols; ++i) {
            const std::uint16_t rank = ranks[numbers[i]];
            const std::uint16_t kept = folded(static_cast<std::uint16_t>(rank - left));
            low[i] = static_cast<std::uint8_t>(kept);
            high[i] = static_cast<std::uint8_t>(kept >> 8U);
            left = rank;
            if (i == row) above = rank;
        }
    }
    return true;
}

void DepthPacking::pack_floats(const DepthPlanes& depths) {
    const std::size_t cells = depths.shoal_m.size();
    std::vector<std::uint32_t> shoal(cells), apart(cells);
    for (std::size_t i = 0; i < cells; ++i) {
        shoal[i] = in_order(depths.shoal_m.data()[i]);
        apart[i] = in_order(depths.deep_m.data()[i]) - shoal[i];
    }
    std::vector<std::uint32_t> shoal_kept(cells), apart_kept(cells);
    for (std::size_t i = 0; i < cells; ++i) {
        const std::size_t from = i == 0 ? 0 : before(i, cols_);
        shoal_kept[i] = shoal[i] - (i == 0 ? 0 : shoal[from]);
        apart_kept[i] = apart[i] - (i == 0 ? 0 : apart[from]);
    }
    raw_.assign(1, static_cast<std::uint8_t>(Form::floats));
    append_planes(shoal_kept, raw_);
    append_planes(apart_kept, raw_);
}

std::vector<std::uint8_t> DepthPacking::pack(const DepthPlanes& depths, const PlanesFilled& filled) {
    assert(depths.shoal_m.size() <= most_cells);
    cols_ = static_cast<std::size_t>(depths.shoal_m.window().cols);
    number_pairs(depths);
    if (!pack_pairs()) pack_floats(depths);
    for (const auto plane : planes_of(filled)) {
        const Plane<std::uint8_t>& kept = depths.*plane;
        assert(kept.window() == depths.shoal_m.window());
        raw_.insert(raw_.end(), kept.data(), kept.data() + kept.size());
    }
    return compressed(raw_, room_);
}

void unpack(std::span<const std::uint8_t> packed, Window window, const PlanesFilled& filled,
            DepthPlanes& depths, const std::string& name) {
    const auto cols = static_cast<std::size_t>(window.cols);
    const std::size_t cells = window.cells();
    constexpr std::size_t most_bytes_a_cell = 13, most_of_pairs = 8 * most_pairs + 5;
    const std::vector<std::uint8_t> raw =
        decompressed(packed, cells * most_bytes_a_cell + most_of_pairs, name);
    ByteReader from(raw, name);
    depths.shoal_m.reshape(window);
    depths.deep_m.reshape(window);
    auto form = Form::pairs;
    pass_enum(from, form, Form::floats);
    if (form == Form::pairs) {
        const auto count = from.number<std::uint32_t>();
        if (count > most_pairs) from.refuse("holds a tile of too many depths");
        struct Sides {
            float shoal_m, deep_m;
        };
        const std::vector<std::uint32_t> steps = read_planes<std::uint32_t>(from, count),
                                         apart = read_planes<std::uint32_t>(from, count);
        std::vector<Sides> sides(count);
        std::uint32_t shoal = 0;
        for (std::size_t i = 0; i < count; ++i) {
            shoal += steps[i];
            sides[i] = {from_order(shoal), from_order(shoal + apart[i])};
        }
        const std::span<const std::uint8_t> low = from.bytes(cells), high = from.bytes(cells);
        std::uint16_t above = 0;
        for (std::size_t row = 0; row < cells; row += cols) {
            std::uint16_t rank = above;
            for (std::size_t i = row; i < row + cols; ++i) {
                const auto kept = static_cast<std::uint16_t>(low[i] | (std::uint32_t{high[i]} << 8U));
                rank = static_cast<std::uint16_t>(rank + unfolded(kept));
                if (rank >= count) from.refuse("holds a tile with a depth that is not listed");
                depths.shoal_m.data()[i] = sides[rank].shoal_m;
                depths.deep_m.data()[i] = sides[rank].deep_m;
                if (i == row) above = rank;
            }
        }
    } else {
        std::vector<std::uint32_t> shoal = read_planes<std::uint32_t>(from, cells),
                                   apart = read_planes<std::uint32_t>(from, cells);
        for (std::size_t i = 0; i < cells; ++i) {
            if (i > 0) {
                shoal[i] += shoal[before(i, cols)];
                apart[i] += apart[before(i, cols)];
            }
            depths.shoal_m.data()[i] = from_order(shoal[i]);
            depths.deep_m.data()[i] = from_order(shoal[i] + apart[i]);
        }
    }
    for (Plane<std::uint8_t>* const plane :
         {&depths.source, &depths.banded, &depths.differs, &depths.partial, &depths.joined}) {
        plane->reset({});
    }
    for (const auto plane : planes_of(filled)) {
        const std::span<const std::uint8_t> kept = from.bytes(cells);
        (depths.*plane).reshape(window);
        std::copy(kept.begin(), kept.end(), (depths.*plane).data());
    }
    from.require_end();
}

} // namespace swingroom
