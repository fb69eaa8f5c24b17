#include "sea/depths/gathered_depths.hpp"

#include <algorithm>
#include <utility>

namespace swingroom {
namespace {

/// Two sources that end at the same line do so but for rounding, as do the digits of their files. What lies
/// between them and is thinner than this, as a part of the cell's side, is no part of the cell.
constexpr double rounding_of_side = 1e-5;
/// A cell of which a source leaves more parts unknown than this counts as not known by it at all.
constexpr std::size_t most_parts = 1024;

double twice_area(const Chain& ring) {
    double sum = 0;
    for (std::size_t i = 0; i < ring.size(); ++i) {
        const GridPoint a = ring[i], b = ring[(i + 1) % ring.size()];
        sum += a.x * b.y - a.y * b.x;
    }
    return sum;
}

/// How far a point lies to the left of the line from a to b, in units of that line's length.
double left_of(GridPoint a, GridPoint b, GridPoint p) {
    return (b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x);
}

/// What of a convex ring lies to the left of the line from a to b.
Chain left_part(const Chain& ring, GridPoint a, GridPoint b) {
    Chain kept;
    for (std::size_t i = 0; i < ring.size(); ++i) {
        const GridPoint from = ring[i], to = ring[(i + 1) % ring.size()];
        const double here = left_of(a, b, from), there = left_of(a, b, to);
        if (here >= 0) kept.push_back(from);
        if ((here >= 0) != (there >= 0)) {
            const double t = here / (here - there);
            kept.push_back({from.x + t * (to.x - from.x), from.y + t * (to.y - from.y)});
        }
    }
    return kept;
}

bool is_only_rounding(const Chain& ring) {
    if (ring.size() < 3) return true;
    const Bounds box = bounds_of(ring);
    return box.right - box.left < rounding_of_side || box.high - box.low < rounding_of_side;
}

/// What two convex rings share, both counter-clockwise; empty where that is nothing but rounding.
Chain common_part(Chain some, const Chain& other) {
    for (std::size_t i = 0; i < other.size() && some.size() >= 3; ++i) {
        some = left_part(some, other[i], other[(i + 1) % other.size()]);
    }
    if (is_only_rounding(some)) some.clear();
    return some;
}

const Chain& unit_square() {
    static const Chain square = {{0, 0}, {1, 0}, {1, 1}, {0, 1}};
    return square;
}

} // namespace

Chain cut_to_unit_square(Chain convex) {
    if (twice_area(convex) < 0) std::reverse(convex.begin(), convex.end());
    return common_part(std::move(convex), unit_square());
}

std::vector<Chain> common_parts(const std::vector<Chain>& some, const std::vector<Chain>& others) {
    std::vector<Chain> shared;
    for (const Chain& one : some) {
        for (const Chain& other : others) {
            if (Chain part = common_part(one, other); !part.empty()) shared.push_back(std::move(part));
            if (shared.size() > most_parts) return {unit_square()};
        }
    }
    return shared;
}

GatheredDepths::GatheredDepths(Window tile, DepthPlanes& depths)
    : tile_(tile), depths_(depths), state_(tile, State::nothing) {
    for (int row = tile.row; row < tile.row_end(); ++row) {
        for (int col = tile.col; col < tile.col_end(); ++col) {
            if (!std::isnan(depths.shoal_m.at(col, row))) state_.at(col, row) = State::alone;
        }
    }
}

Window GatheredDepths::open_cells(Window part) const {
    int left = part.col_end(), right = part.col, top = part.row_end(), bottom = part.row;
    for (int row = part.row; row < part.row_end(); ++row) {
        for (int col = part.col; col < part.col_end(); ++col) {
            if (is_open(col, row)) {
                left = std::min(left, col);
                right = std::max(right, col + 1);
                top = std::min(top, row);
                bottom = std::max(bottom, row + 1);
            }
        }
    }
    return {left, top, std::max(0, right - left), std::max(0, bottom - top)};
}

void GatheredDepths::add(int col, int row, KnownPart part, std::uint8_t source) {
    if (!part.knows_any()) return;
    State& state = state_.at(col, row);
    float &shoal_m = depths_.shoal_m.at(col, row), &deep_m = depths_.deep_m.at(col, row);
    if (part.unknown.size() > most_parts) part.unknown = {unit_square()};
    if (state == State::nothing) {
        state = part.unknown.empty() ? State::alone : State::parts;
        shoal_m = part.shoal_m;
        deep_m = part.deep_m;
        depths_.source.at(col, row) = source;
        if (state == State::parts) unknown_.emplace(index_of(col, row), std::move(part.unknown));
        return;
    }
    if (part.shoal_m < shoal_m) {
        shoal_m = part.shoal_m;
        depths_.source.at(col, row) = source;
    }
    deep_m = std::max(deep_m, part.deep_m);
    depths_.joined.at(col, row) = source;
    std::vector<Chain>& unknown = unknown_.at(index_of(col, row));
    unknown = common_parts(unknown, part.unknown);
}

void GatheredDepths::add_alike(Window part, float shoal_m, float deep_m, std::uint8_t source) {
    KnownPart whole;
    whole.add(shoal_m, deep_m);
    for (int row = part.row; row < part.row_end(); ++row) {
        State* const states = &state_.at(part.col, row);
        float *const shoals = &depths_.shoal_m.at(part.col, row), *const deeps =
                                                                      &depths_.deep_m.at(part.col, row);
        std::uint8_t* const sources = &depths_.source.at(part.col, row);
        for (int i = 0; i < part.cols; ++i) {
            if (states[i] == State::parts) add(part.col + i, row, whole, source);
            if (states[i] != State::nothing) continue;
            states[i] = State::alone;
            shoals[i] = shoal_m;
            deeps[i] = deep_m;
            sources[i] = source;
        }
    }
}

void GatheredDepths::finish() {
    for (int row = tile_.row; row < tile_.row_end(); ++row) {
        for (int col = tile_.col; col < tile_.col_end(); ++col) {
            if (state_.at(col, row) == State::parts && !unknown_.at(index_of(col, row)).empty()) {
                depths_.partial.at(col, row) = 1;
            }
        }
    }
}

} // namespace swingroom
