#include "publish/vector/degree_rings.hpp"

#include "swingroom/base/error.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <limits>
#include <numbers>

namespace swingroom {
namespace {

/// Longer pieces are cut without a look at them: what bends both ways may be straight in its middle.
constexpr double longest_edge_m = 200;
constexpr double infinite = std::numeric_limits<double>::infinity();
constexpr std::size_t squares_across = 32;

GridPoint between(GridPoint a, GridPoint b, double t) {
    return {a.x + t * (b.x - a.x), a.y + t * (b.y - a.y)};
}

/// How far the middle of an edge is from the middle of its chord, all in degrees.
double bend_m(GridPoint from, GridPoint middle, GridPoint to) {
    constexpr double degree_m = 111'700, turn = 360; // the longest degree: of a meridian at a pole
    const GridPoint chord{from.x + std::remainder(to.x - from.x, turn) / 2, (from.y + to.y) / 2};
    const double parallel =
        std::cos(std::min(std::abs(middle.y), std::abs(chord.y)) * std::numbers::pi / 180);
    return degree_m * std::hypot(std::remainder(middle.x - chord.x, turn) * parallel, middle.y - chord.y);
}

} // namespace

DegreeRings::DegreeRings(const Georeference& georeference, CellSize least)
    : georeference_(georeference), longest_{longest_edge_m / least.dx_m, longest_edge_m / least.dy_m},
      squares_(squares_across * squares_across) {
    constexpr double few_cells = 64; // corners are many in a square, whatever the cells
    const double pieces = std::max({2.0, few_cells / longest_.x, few_cells / longest_.y});
    side_ = {pieces * longest_.x, pieces * longest_.y};
}

std::vector<GridPoint> DegreeRings::of(const std::vector<GridPoint>& ring) {
    drawn_.clear();
    drawn_.reserve(ring.size());
    Place from = place(ring.front());
    for (std::size_t i = 0; i + 1 < ring.size(); ++i) {
        const GridPoint a = ring[i], b = ring[i + 1];
        if (hardly_bends(a, b)) {
            drawn_.push_back(from.degrees);
            from = place(b);
            continue;
        }
        const double lengths = std::hypot((b.x - a.x) / longest_.x, (b.y - a.y) / longest_.y);
        const int pieces = static_cast<int>(std::ceil(std::max(1.0, lengths)));
        for (int piece = 1; piece <= pieces; ++piece) {
            const Place to = place(between(a, b, static_cast<double>(piece) / pieces));
            draw(from, to, longest_edge_m * std::min(1.0, lengths));
            from = to;
        }
    }
    drawn_.push_back(from.degrees);
    return std::move(drawn_);
}

DegreeRings::Place DegreeRings::place(GridPoint grid) const {
    GridPoint degrees = grid;
    georeference_.to_lonlat_unwrapped({&degrees, 1});
    return {grid, degrees};
}

/// All of a piece but its end.   @param length_m  on the ground, about
void DegreeRings::draw(const Place& from, const Place& to, double length_m) {
    const Place middle = place(between(from.grid, to.grid, 0.5));
    // Through a pole there is no chord, but what is shorter than the bend does not stray farther.
    if (length_m > greatest_bend_m && bend_m(from.degrees, middle.degrees, to.degrees) > greatest_bend_m) {
        draw(from, middle, length_m / 2);
        draw(middle, to, length_m / 2);
    } else {
        drawn_.push_back(from.degrees);
    }
}

/// Whether an edge of one piece is so short for how much longer ones bend around it that nobody need look at
/// its middle.
bool DegreeRings::hardly_bends(GridPoint from, GridPoint to) {
    const double dx = std::abs(to.x - from.x), dy = std::abs(to.y - from.y);
    constexpr double of_longest = 0.7; // in both directions: then no longer than it in any
    if (dx > of_longest * longest_.x || dy > of_longest * longest_.y) return false;
    // Lines of the grid that bend as the square of their length bend at the most five times as much in any
    // direction as the eight that were looked at; the other half is for bending elsewhere more than there.
    constexpr double in_any_direction = 10;
    const double share = std::max(dx / side_.x, dy / side_.y) / 2;
    return in_any_direction * share * share * square_at(from).bend_m <= greatest_bend_m;
}

const DegreeRings::Square& DegreeRings::square_at(GridPoint point) {
    const auto col = static_cast<std::int64_t>(std::floor(point.x / side_.x)),
               row = static_cast<std::int64_t>(std::floor(point.y / side_.y));
    // Squares side by side have slots of their own.
    const auto slot = [](std::int64_t number) { return static_cast<std::size_t>(number) % squares_across; };
    std::optional<Square>& square = squares_[slot(row) * squares_across + slot(col)];
    if (!square || square->col != col || square->row != row) {
        square = {col, row,
                  bend_around_m({static_cast<double>(col) * side_.x, static_cast<double>(row) * side_.y})};
    }
    return *square;
}

/// How much lines bend that go through what lies within half a side of a square: its rows, its columns and
/// its diagonals. Infinite where they bend sharply, as near a pole, so that they tell little of shorter ones.
double DegreeRings::bend_around_m(GridPoint square) const try {
    std::array<std::array<GridPoint, 3>, 3> degrees;
    for (std::size_t row = 0; row < 3; ++row) {
        for (std::size_t col = 0; col < 3; ++col) {
            const double sides_x = static_cast<double>(col) - 0.5, sides_y = static_cast<double>(row) - 0.5;
            degrees[row][col] = place({square.x + sides_x * side_.x, square.y + sides_y * side_.y}).degrees;
        }
    }
    const auto& d = degrees;
    double bend = std::max(bend_m(d[0][0], d[1][1], d[2][2]), bend_m(d[0][2], d[1][1], d[2][0]));
    for (std::size_t i = 0; i < 3; ++i) {
        bend = std::max({bend, bend_m(d[i][0], d[i][1], d[i][2]), bend_m(d[0][i], d[1][i], d[2][i])});
    }
    constexpr double sharp = 0.01;
    const double side_m = side_.x / longest_.x * longest_edge_m;
    return bend <= sharp * side_m ? bend : infinite;
} catch (const InputError&) { // some of it lies nowhere on the earth
    return infinite;
}

} // namespace swingroom
