#include "publish/part/kept_block.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/room/map_class.hpp"

#include "base/byte_stream.hpp"
#include "publish/part/run_columns.hpp"

#include <algorithm>
#include <limits>
#include <stdexcept>
#include <utility>

namespace swingroom {
namespace {

void pass_bytes(ByteWriter& to, const std::vector<std::byte>& bytes) {
    to.number(static_cast<std::uint64_t>(bytes.size()));
    to.bytes({reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size()});
}
void pass_bytes(ByteReader& from, std::vector<std::byte>& bytes) {
    const std::span<const std::byte> there = std::as_bytes(from.bytes(from.count()));
    bytes.assign(there.begin(), there.end());
}

} // namespace

// Of elements of arrays and vectors, whose pass() finds them here.

template <class Bytes>
void pass(Bytes& bytes, Passed<Bytes, Covered>& covered) {
    pass_all(bytes, covered.cells, covered.area_m2);
}

template <class Bytes>
void pass(Bytes& bytes, Passed<Bytes, NearMiss>& miss) {
    pass_all(bytes, miss.nearness, miss.col, miss.row);
}

template <class Bytes>
void pass(Bytes& bytes, Passed<Bytes, KeptTile>& tile) {
    pass_bytes(bytes, tile.compressed);
    pass_bytes(bytes, tile.half);
    pass(bytes, tile.half_is_of_one_value);
}

template <class Bytes>
void pass(Bytes& bytes, Passed<Bytes, KeptTiles>& layer) {
    pass_all(bytes, layer.digest, layer.tiles);
}

namespace {

/// How all but tiles is kept: with the least work.
const TileCodec& packing() {
    static const TileCodec codec({Compression::deflate, 1, false});
    return codec;
}

/// Compressed, and how long it was.
void pass_packed(ByteWriter& to, const std::vector<std::uint8_t>& raw) {
    if (raw.size() > static_cast<std::size_t>(std::numeric_limits<int>::max())) {
        throw std::length_error("a block is too long to be kept");
    }
    const auto cells = static_cast<int>(raw.size());
    const std::vector<std::byte> bytes =
        packing().encode(CellView<std::uint8_t>{raw.data(), cells, cells, 1}, cells, 1);
    to.number(static_cast<std::uint32_t>(raw.size()));
    to.number(static_cast<std::uint32_t>(bytes.size()));
    to.bytes({reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size()});
}
void pass_packed(ByteReader& from, std::vector<std::uint8_t>& raw) {
    raw.resize(from.number<std::uint32_t>());
    const auto bytes = from.number<std::uint32_t>();
    if (raw.empty()) from.refuse("holds nothing of a block");
    packing().decode(std::as_bytes(from.bytes(bytes)), std::span(raw), static_cast<int>(raw.size()));
}

void pass_misses(ByteWriter& to, const NearMisses& misses, const BlockPlace&) {
    pass(to, misses.by_nearness());
}
void pass_misses(ByteReader& from, NearMisses& misses, const BlockPlace& place) {
    std::vector<NearMiss> all;
    pass(from, all);
    for (const NearMiss& miss : all) {
        if (!place.core.contains(miss.col, miss.row)) from.refuse("holds a cell that is not in its block");
        misses.take(miss, place.window);
    }
}

template <class Bytes>
void pass_tally(Bytes& bytes, Passed<Bytes, Tally>& tally, const BlockPlace& place) {
    pass_all(bytes, tally.by_verdict, tally.no_by_reason);
    for (auto& misses : tally.near_misses) {
        pass_misses(bytes, misses, place);
    }
}

void pass_anchorages(ByteWriter& to, const std::vector<AnchoragePart>& parts, const BlockPlace& place) {
    to.number(static_cast<std::uint64_t>(parts.size()));
    for (const AnchoragePart& part : parts) {
        to.number(static_cast<std::uint64_t>(part.anchorage));
        pass_tally(to, part.tally, place);
    }
}
void pass_anchorages(ByteReader& from, std::vector<AnchoragePart>& parts, const BlockPlace& place) {
    for (std::size_t left = from.count(); left > 0; --left) {
        const auto anchorage = from.number<std::uint64_t>();
        if (anchorage >= place.anchorages) from.refuse("holds an anchorage that is not known");
        parts.push_back({static_cast<std::size_t>(anchorage), {}});
        pass_tally(from, parts.back().tally, place);
    }
}

void pass_map(ByteWriter& to, const std::optional<MapPixels>& map) {
    pass(to, map.has_value());
    if (!map) return;
    const Window pixels = map->classes.window();
    pass_all(to, pixels.col, pixels.row, pixels.cols, pixels.rows);
    to.bytes({map->classes.data(), map->classes.size()});
    for (std::size_t i = 0; i < map->depth_low_m.size(); ++i) {
        to.number(map->depth_low_m.data()[i]);
    }
}
void pass_map(ByteReader& from, std::optional<MapPixels>& map) {
    bool there = false;
    pass(from, there);
    if (!there) return;
    Window pixels;
    pass_all(from, pixels.col, pixels.row, pixels.cols, pixels.rows);
    constexpr std::size_t bytes_of_pixel = 5;
    if (pixels.cols < 0 || pixels.rows < 0 || pixels.cells() * bytes_of_pixel > from.left()) {
        from.refuse("holds a map that is none");
    }
    map.emplace();
    map->classes.reshape(pixels);
    map->depth_low_m.reshape(pixels);
    const std::span<const std::uint8_t> classes = from.bytes(pixels.cells());
    if (std::any_of(classes.begin(), classes.end(), [](std::uint8_t of) { return of >= map_class_count; })) {
        from.refuse("holds a map of classes that are not known");
    }
    std::copy(classes.begin(), classes.end(), map->classes.data());
    for (std::size_t i = 0; i < pixels.cells(); ++i) {
        pass(from, map->depth_low_m.data()[i]);
    }
}

/// All but the tiles, which are compressed already.
template <class Bytes>
void pass_told(Bytes& bytes, Passed<Bytes, KeptBlock>& block, const BlockPlace& place) {
    pass(bytes, block.afloat);
    pass_tally(bytes, block.tally, place);
    pass_anchorages(bytes, block.anchorages, place);
    pass_map(bytes, block.map);
}

/// Calls `read`, and tells of what a library cannot read by the name of the file.
template <class Read>
auto told_by_name(const BlockPlace& place, const Read& read) {
    try {
        return read();
    } catch (const IoError&) {
        throw;
    } catch (const std::runtime_error& failure) {
        throw IoError(place.name, std::string(failure.what()) + ": it is damaged");
    }
}

} // namespace

std::vector<std::uint8_t> packed(const BlockRuns& runs) {
    ByteWriter to;
    pass_packed(to, to_columns(runs));
    return to.all();
}

BlockRuns unpacked_runs(std::span<const std::uint8_t> bytes, const BlockPlace& place) {
    return told_by_name(place, [&] {
        ByteReader from(bytes, place.name);
        std::vector<std::uint8_t> columns;
        pass_packed(from, columns);
        from.require_end();
        return from_columns(columns, place.core, place.name);
    });
}

std::vector<std::uint8_t> packed(const KeptBlock& block) {
    ByteWriter told, to;
    pass_told(told, block, {});
    pass_packed(to, told.all());
    for (const KeptTiles& layer : block.layers) {
        pass(to, layer);
    }
    return to.all();
}

KeptBlock unpacked_block(std::span<const std::uint8_t> bytes, const BlockPlace& place) {
    return told_by_name(place, [&] {
        ByteReader from(bytes, place.name);
        std::vector<std::uint8_t> told;
        pass_packed(from, told);
        ByteReader of_told(told, place.name);
        KeptBlock block;
        pass_told(of_told, block, place);
        of_told.require_end();
        block.layers.resize(place.layers);
        for (KeptTiles& layer : block.layers) {
            pass(from, layer);
        }
        from.require_end();
        return block;
    });
}

} // namespace swingroom
