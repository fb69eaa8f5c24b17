#pragma once

#include "swingroom/base/grid.hpp"
#include "swingroom/room/metric.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <span>
#include <utility>
#include <vector>

namespace swingroom {

/// A cell of a plane by its place: row by row, from the plane's first one.
using CellNumber = std::uint32_t;

/// What a way may do with a cell.
enum class Passing : std::uint8_t {
    closed, ///< nothing
    dearly, ///< go through where there is no other way but a far longer one
    open
};

/// Cells of a plane in the order of what each costs, the cheapest first, and of those that cost the same by
/// their number; without those that cost infinitely much. None costs NaN.
std::vector<CellNumber> cheapest_first(std::span<const float> cost);

/// Joins the cells of a plane one by one, as water that rises joins pools, to find what the dearest cell of
/// a way costs, where that is as cheap as can be.
class CellJoiner {
public:
    explicit CellJoiner(Window plane) : plane_(plane) {}

    /// For each place the least cost for which cells that share edges lead to it from any of the starts, the
    /// place and the start among them, none of which costs more; infinite where none do.
    /// @param order   cheapest_first(cost), of which some cells may be missing: those are closed
    std::vector<float> join(std::span<const float> cost, std::span<const CellNumber> order,
                            std::span<const CellNumber> starts, std::span<const CellNumber> places);

private:
    [[nodiscard]] CellNumber root(CellNumber cell);
    void add(CellNumber cell);
    void put_places(CellNumber some, CellNumber& to);

    Window plane_;
    std::vector<CellNumber> parent_;
    std::vector<std::uint8_t> starts_; ///< of a root: whether its pool has a start
    /// Of a root: one of the places in its pool that no start leads to yet. Places, by their number, are in
    /// rings, so that joining two pools costs the same however many places they have.
    std::vector<CellNumber> places_;
    std::vector<CellNumber> next_place_; ///< by place: the next one in the ring
    std::vector<CellNumber> led_to_;     ///< places to which a start has come to lead
};

/// Finds the shortest chains of cells: each step goes to one of eight neighbours or to one of the eight cells
/// beyond that a knight gets to in chess, across others only where those are open. Lengths are those on the
/// ground by the metric, to a hundredth of a cell each.
class ShortestWay {
public:
    /// @param metric  of the plane's rows, the first of which is its row 0
    ShortestWay(Window plane, const GroundMetric& metric);

    /// The cells from a place to the nearest of the goals, both among them, each of which shares an edge with
    /// the next: of a slanting step those that it crosses, too. Empty where there is no way.
    /// @param passing, goals  by cell; a goal is anything but 0
    std::vector<CellNumber> find(CellNumber place, std::span<const std::uint8_t> goals,
                                 std::span<const Passing> passing);

private:
    std::size_t step_on(CellNumber cell, std::span<const Passing> passing);
    [[nodiscard]] std::vector<CellNumber> chain_from(CellNumber end) const;

    /// How much farther on the cells are that a step touches, by their numbers.
    struct Reaches {
        CellNumber to = 0, via = 0, also = 0;
    };

    Window plane_;
    std::array<Reaches, 16> reaches_;                    ///< by step
    std::uint32_t toll_ = 0;                             ///< of a cell that is passed dearly
    std::vector<std::array<std::uint32_t, 16>> lengths_; ///< by row and step, as whole numbers of a unit
    std::vector<std::uint32_t> length_;                  ///< by cell
    std::vector<std::uint8_t> came_by_;                  ///< which of the steps
    std::vector<std::vector<CellNumber>> buckets_;
};

/// How far a line may be beside a leg as it is drawn, to each side, in columns and rows.
struct LegDoubt {
    double cols = 0, rows = 0;
};

/// Calls take(col, row) for each cell that has a point of a leg, or one beside it by no more than the doubt,
/// row by row, until it returns false.
/// @param doubt  more than 0, which makes up for what is rounded here
/// @returns whether all were taken
template <class Take>
bool each_touched(GridPoint from, GridPoint to, LegDoubt doubt, const Take& take) {
    if (from.y > to.y) std::swap(from, to);
    const double height = to.y - from.y;
    const auto row_of = [](double y) { return static_cast<int>(std::floor(y)); };
    for (int row = row_of(from.y - doubt.rows), last = row_of(to.y + doubt.rows); row <= last; ++row) {
        const auto x_at = [&](double y) {
            const double part = height > 0 ? std::clamp((y - from.y) / height, 0.0, 1.0) : 0;
            return from.x + part * (to.x - from.x);
        };
        const double upper = height > 0 ? x_at(row - doubt.rows) : from.x,
                     lower = height > 0 ? x_at(row + 1 + doubt.rows) : to.x;
        const int first = row_of(std::min(upper, lower) - doubt.cols),
                  end = row_of(std::max(upper, lower) + doubt.cols);
        for (int col = first; col <= end; ++col) {
            if (!take(col, row)) return false;
        }
    }
    return true;
}

} // namespace swingroom
