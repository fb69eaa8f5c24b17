#pragma once

#include "swingroom/base/grid.hpp"

#include <cstdint>
#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

/// The rings of zones while rows are traced, in about a byte a corner: a coast's outline is as long as the
/// coast, and all of it waits for the zone's last row.
namespace swingroom {

/// A way along cell edges, by turns level and upright, as the columns and rows of its steps; it may grow at
/// both ends. A step of fewer than 64 cells, as most are, takes a byte.
class Steps {
public:
    void append(int cells);
    void prepend(int cells);
    /// Puts the other's behind its own; the shorter of the two is copied.
    void append(Steps&& other);
    /// All of them in order, to be read with for_each_step().
    [[nodiscard]] std::string packed() &&;

private:
    [[nodiscard]] std::size_t size() const { return before_.size() + after_.size(); }
    // Each a number of its own, seven bits a byte, the last byte without the eighth. Those put in front stand
    // backwards, byte by byte, so that both parts grow at their ends.
    std::string before_, after_;
};

/// Calls fn(cells) for each of them.   @param packed  Steps::packed()
template <class Fn>
void for_each_step(std::string_view packed, Fn fn) {
    std::uint64_t bits = 0;
    int shift = 0;
    for (const char c : packed) {
        const auto byte = static_cast<std::uint8_t>(c);
        bits |= std::uint64_t{byte & 0x7fu} << shift;
        shift += 7;
        if ((byte & 0x80u) != 0) continue;
        const auto half = static_cast<std::int64_t>(bits >> 1);
        fn((bits & 1) != 0 ? -half - 1 : half); // zigzag: 0, -1, 1, -2, ...
        bits = 0;
        shift = 0;
    }
}

/// A ring that is closed: the first step is level.
struct PackedRing {
    int col = 0, row = 0; ///< of a corner
    std::string steps;    ///< from there on and back to it, Steps::packed()
    /// From its topmost corner, of several the leftmost, which is repeated last.
    [[nodiscard]] std::vector<GridPoint> corners() const;
};

/// What the rows so far have left of rings that are not closed yet. A ring crosses the line below the last
/// row along sides of zones: up along a left-hand side, so that the zone is on the right hand, and down along
/// a right-hand side. Between them it is a path that nothing changes any more, from a left-hand side, by
/// which it came up, to a right-hand one.
class RingPaths {
public:
    /// A side that goes on across the line.
    using Side = std::uint32_t;
    static constexpr Side none = std::numeric_limits<Side>::max();

    /// A side that begins in the row that comes next; link() says to what it belongs.
    Side begin_side(int col);
    /// On the line above a row the ring turns from one side along the line into another one.
    /// @param from  up to here a left-hand side that begins, or down to here a right-hand one that ends
    /// @param to    from here up a left-hand side that ends, or down a right-hand one that begins
    /// @returns a ring if this closes one; sides that end are gone
    std::optional<PackedRing> link(Side from, Side to, int row);

private:
    using Path = std::uint32_t;
    struct OpenSide {
        int col = 0;
        Path path = none; ///< none: it has just begun; of a free one the next free one
    };
    struct OpenPath {
        int first_col = 0, first_row = 0, last_col = 0, last_row = 0;
        Side first = none, last = none; ///< of a free one `first` is the next free one
        Steps steps;
    };

    Path add_path(int row, Side first, Side last);
    void go_on_down(Path path, Side to, int row);
    void come_up(Side from, Path path, int row);
    void join(Path path, Path behind, int row);
    PackedRing close(Path path, int row);
    void release(Side side);
    void release_path(Path path);

    std::vector<OpenSide> sides_;
    std::vector<OpenPath> paths_;
    Side free_side_ = none;
    Path free_path_ = none;
};

} // namespace swingroom
