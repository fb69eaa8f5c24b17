#pragma once

#include "swingroom/base/grid.hpp"

#include "base/spool.hpp"
#include "publish/raster/cell_digest.hpp"
#include "publish/raster/tile_codec.hpp"

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <map>
#include <mutex>
#include <optional>
#include <span>
#include <utility>
#include <variant>
#include <vector>

namespace swingroom {

/// The cells of a tile or of a quarter of one: where all are the same, one of them.
template <class T>
struct TileCells {
    int cols = 0, rows = 0;
    std::vector<T> cells; ///< row by row; a single one stands for all

    [[nodiscard]] bool is_of_one_value() const { return cells.size() == 1; }
    /// @pre the cells are not all the same
    [[nodiscard]] CellView<T> view() const { return {cells.data(), cols, cols, rows}; }
};

/// Quarters of the overviews' tiles, halved from the tiles of the level below, that wait for the rest of
/// their tile. In memory as long as they are few: as they are in most of what is given, compressed in
/// the rest; then in a spool. How many wait grows with the width of the raster. Calls may come from several
/// threads.
template <class T>
class WaitingCells {
public:
    /// @param levels        extents of all levels   @param spool  outlives this
    /// @param in_memory_bytes  of what waits there
    WaitingCells(std::vector<Window> levels, const TileCodec& codec, Spool& spool,
                 std::size_t in_memory_bytes)
        : levels_(std::move(levels)), codec_(codec), spool_(spool), in_memory_bytes_(in_memory_bytes) {}

    /// Takes the cells that a tile of the level below becomes.
    /// @param col, row  of that tile, counted in tiles
    /// @param whole     gets the whole tile of `level`, when these were its last; its room is used again
    /// @returns whether they were
    [[nodiscard]] bool put(std::size_t level, int col, int row, TileCells<T> cells, TileCells<T>& whole) {
        const std::size_t place = 2 * static_cast<std::size_t>(row % 2) + static_cast<std::size_t>(col % 2);
        const Window tile =
            common({col / 2 * tile_side, row / 2 * tile_side, tile_side, tile_side}, levels_[level]);
        constexpr int side = tile_side / 2;
        const int wanted = (tile.cols > side ? 2 : 1) * (tile.rows > side ? 2 : 1);
        const Place at{level, row / 2, col / 2};
        // The last waits for nobody.
        if (std::optional<Quarters> others = taken_if_there(at, wanted - 1)) {
            Parts parts = taken(*others);
            parts.at(place) = std::move(cells);
            join(parts, tile.cols, tile.rows, whole);
            return true;
        }
        // Rows of tiles come two by two: those of the first overview wait for their neighbours alone.
        Quarter quarter = kept(std::move(cells), level > 1 && row % 2 == 0);
        {
            const std::scoped_lock lock(mutex_);
            waiting_[at].at(place) = std::move(quarter);
        }
        // Others may have come meanwhile, and found this one missing.
        std::optional<Quarters> all = taken_if_there(at, wanted);
        if (!all) return false;
        join(taken(*all), tile.cols, tile.rows, whole);
        return true;
    }

private:
    /// Compressed, in memory.
    struct Packed {
        int cols = 0, rows = 0;
        std::vector<std::byte> bytes;
    };
    /// Compressed, in the spool.
    struct Spooled {
        int cols = 0, rows = 0;
        std::uint64_t at = 0;
        std::size_t bytes = 0;
    };
    /// So much of what waits for another row of tiles stays as it is. It grows with the width of the raster,
    /// but is a sixteenth of all cells at the most, so that it costs little to compress the rest.
    static constexpr std::size_t enough_for_long_bytes = std::size_t{4} << 20U;

    using Quarter = std::variant<TileCells<T>, Packed, Spooled>;
    using Quarters = std::array<std::optional<Quarter>, 4>;
    using Parts = std::array<TileCells<T>, 4>; ///< of what is not in the raster without cells
    struct Place {
        std::size_t level = 0;
        int row = 0, col = 0;
        friend auto operator<=>(const Place&, const Place&) = default;
    };

    /// The quarters of a tile, if so many of them wait.
    std::optional<Quarters> taken_if_there(const Place& tile, int count) {
        const std::scoped_lock lock(mutex_);
        const auto at = waiting_.find(tile);
        if (at == waiting_.end()) {
            return count == 0 ? std::optional<Quarters>(Quarters()) : std::nullopt;
        }
        const auto there = std::count_if(at->second.begin(), at->second.end(),
                                         [](const auto& one) { return one.has_value(); });
        if (there < count) return std::nullopt;
        Quarters quarters = std::move(at->second);
        waiting_.erase(at);
        return quarters;
    }

    /// Whether there is room in memory for so many bytes more of one kind, up to its most; then they count.
    bool has_room_for(std::size_t bytes, std::size_t& of_kind, std::size_t most) {
        const std::scoped_lock lock(mutex_);
        if (of_kind + bytes > most) return false;
        of_kind += bytes;
        return true;
    }
    void make_room(std::size_t bytes, std::size_t& of_kind) {
        const std::scoped_lock lock(mutex_);
        of_kind -= bytes;
    }
    static std::size_t bytes_of(const TileCells<T>& cells) { return cells.cells.size() * sizeof(T); }

    /// @param for_long  it waits for another row of tiles, not for its neighbours alone, which are soon there
    Quarter kept(TileCells<T> cells, bool for_long) {
        const std::size_t most_plain = in_memory_bytes_ / 4 * 3,
                          most_for_long = std::min(most_plain / 2, enough_for_long_bytes);
        if (cells.is_of_one_value() ||
            has_room_for(bytes_of(cells), plain_bytes_, for_long ? most_for_long : most_plain)) {
            return cells;
        }
        std::vector<std::byte> bytes = codec_.encode(cells.view(), cells.cols, cells.rows);
        if (has_room_for(bytes.size(), packed_bytes_, in_memory_bytes_ - most_plain)) {
            return Packed{cells.cols, cells.rows, std::move(bytes)};
        }
        return Spooled{cells.cols, cells.rows, spool_.put(bytes), bytes.size()};
    }

    TileCells<T> unpacked(int cols, int rows, std::span<const std::byte> bytes) const {
        TileCells<T> cells{cols, rows, {}};
        cells.cells.resize(static_cast<std::size_t>(cols) * static_cast<std::size_t>(rows));
        codec_.decode(bytes, std::span<T>(cells.cells), cols);
        return cells;
    }

    TileCells<T> taken(Quarter quarter) {
        if (auto* const cells = std::get_if<TileCells<T>>(&quarter)) {
            if (!cells->is_of_one_value()) make_room(bytes_of(*cells), plain_bytes_);
            return std::move(*cells);
        }
        if (const auto* const packed = std::get_if<Packed>(&quarter)) {
            make_room(packed->bytes.size(), packed_bytes_);
            return unpacked(packed->cols, packed->rows, packed->bytes);
        }
        const Spooled& spooled = std::get<Spooled>(quarter);
        std::vector<std::byte> bytes(spooled.bytes);
        spool_.get(spooled.at, bytes);
        return unpacked(spooled.cols, spooled.rows, bytes);
    }

    Parts taken(Quarters& quarters) {
        Parts parts;
        for (std::size_t i = 0; i < parts.size(); ++i) {
            if (quarters.at(i)) parts.at(i) = taken(std::move(*quarters.at(i)));
        }
        return parts;
    }

    static void join(const Parts& parts, int cols, int rows, TileCells<T>& tile) {
        tile.cols = cols;
        tile.rows = rows;
        if (std::all_of(parts.begin(), parts.end(), [&](const TileCells<T>& part) {
                return part.cells.empty() || has_value_of(part, parts.front());
            })) {
            tile.cells = parts.front().cells;
            return;
        }
        tile.cells.resize(static_cast<std::size_t>(cols) * static_cast<std::size_t>(rows));
        for (std::size_t i = 0; i < parts.size(); ++i) {
            const TileCells<T>& part = parts.at(i);
            T* to = tile.cells.data() + (i / 2) * (tile_side / 2) * static_cast<std::size_t>(cols) +
                    (i % 2) * (tile_side / 2);
            for (int r = 0; r < part.rows; ++r, to += cols) {
                if (part.is_of_one_value()) {
                    std::fill_n(to, part.cols, part.cells.front());
                } else {
                    std::copy_n(part.view().row(r), part.cols, to);
                }
            }
        }
    }

    static bool has_value_of(const TileCells<T>& a, const TileCells<T>& b) {
        return a.is_of_one_value() && b.is_of_one_value() &&
               CellDigest::bits(a.cells.front()) == CellDigest::bits(b.cells.front());
    }

    std::vector<Window> levels_;
    const TileCodec& codec_;
    Spool& spool_;
    std::size_t in_memory_bytes_;
    std::mutex mutex_; ///< guards what follows
    std::size_t plain_bytes_ = 0, packed_bytes_ = 0;
    std::map<Place, Quarters> waiting_;
};

} // namespace swingroom
