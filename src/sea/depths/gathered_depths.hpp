#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/sea/bathymetry.hpp"

#include "sea/geometry/planar.hpp"

#include <cmath>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <unordered_map>
#include <vector>

namespace swingroom {

/// What one source knows of a cell of the grid.
struct KnownPart {
    float shoal_m = std::numeric_limits<float>::infinity(), deep_m = -shoal_m; ///< of all that it knows there
    /// Convex rings that cover what it does not know, in the cell's own square, 0 to 1 across and down.
    std::vector<Chain> unknown;

    /// Whether the source has a depth anywhere in the cell.
    [[nodiscard]] bool knows_any() const { return std::isfinite(shoal_m); }
    /// Takes in one more cell of the source that shares some area with this one.
    void add(float shoal, float deep) {
        shoal_m = std::min(shoal_m, shoal);
        deep_m = std::max(deep_m, deep);
    }
};

/// A ring in clockwise or counter-clockwise order, its first vertex not repeated, cut to the square from 0 to
/// 1. Empty if what is left is thinner than what rounding leaves open.
Chain cut_to_unit_square(Chain convex);

/// What the rings of one list share with those of another; all of them convex, inside the unit square.
std::vector<Chain> common_parts(const std::vector<Chain>& some, const std::vector<Chain>& others);

/// The depths of a tile of the grid, gathered from one source after the other, those that count more first.
///
/// The first source that knows anything of a cell counts there. If it knows the whole cell it speaks alone.
/// If it knows only a part, every source that knows any part of the cell bounds it: a rock that a survey
/// found must not vanish because the rest of its cell is known from elsewhere. A cell of which a part is
/// known to no source is known in part only.
class GatheredDepths {
public:
    /// @param depths  what the first source has read; its cells with a depth are known whole. It gets what is
    /// gathered, and outlives this
    /// @param tile  inside its planes
    GatheredDepths(Window tile, DepthPlanes& depths);

    /// The cells that are gathered, in cells of the grid.
    [[nodiscard]] const Window& tile() const { return tile_; }
    /// Whether what a further source knows of a cell counts.
    [[nodiscard]] bool is_open(int col, int row) const { return state_.at(col, row) != State::alone; }
    /// The least window around all open cells of a part of the tile.
    [[nodiscard]] Window open_cells(Window part) const;
    /// Takes what the next source, the first being 1, knows of an open cell.
    void add(int col, int row, KnownPart part, std::uint8_t source);
    /// The same of all open cells of a part of the tile that it knows whole, and all alike.
    void add_alike(Window part, float shoal_m, float deep_m, std::uint8_t source);
    /// Marks the cells that are known in part only, once all sources have been asked.
    void finish();

private:
    enum class State : std::uint8_t {
        nothing, ///< no source so far knows any of it
        alone,   ///< one source speaks for the whole cell
        parts,   ///< the first source that knew any of it did not know all: all of them count
    };
    [[nodiscard]] std::size_t index_of(int col, int row) const {
        return static_cast<std::size_t>(row - tile_.row) * static_cast<std::size_t>(tile_.cols) +
               static_cast<std::size_t>(col - tile_.col);
    }

    Window tile_;
    DepthPlanes& depths_;
    Plane<State> state_;
    /// Of cells in parts, what none of their sources so far knows, by the cell's place in the tile.
    std::unordered_map<std::size_t, std::vector<Chain>> unknown_;
};

} // namespace swingroom
