#include "sea/exclusions/grown_rings.hpp"

#include "sea/geometry/simple_ring.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numbers>
#include <numeric>
#include <utility>

namespace swingroom {
namespace {

/// Half a circle has as many straight edges as keep them within this part of its radius outside of it, or
/// within this length: more would be lost on a narrow margin.
constexpr double arc_excess = 0.0012, least_arc_excess_m = 0.05;

/// Cutting compares every vertex that a cut may begin at with every other one and with every edge.
constexpr std::size_t most_vertices_to_cut = 200;

double twice_area(const Chain& ring) {
    double area = 0;
    for (std::size_t i = 0; i + 1 < ring.size(); ++i) {
        area += (ring[i].x - ring[0].x) * (ring[i + 1].y - ring[0].y) -
                (ring[i + 1].x - ring[0].x) * (ring[i].y - ring[0].y);
    }
    return area;
}

/// Cuts an open ring that turns to the left into convex ones, along lines between two of its vertices.
class Cutter {
public:
    /// @returns false if no cut was found
    bool cut(const Chain& ring, std::vector<Chain>& pieces) const {
        const std::size_t n = ring.size();
        std::size_t reflex = 0;
        while (reflex < n && turn(at(ring, reflex + n - 1), ring[reflex], at(ring, reflex + 1)) >= 0) {
            ++reflex;
        }
        if (reflex == n) {
            pieces.push_back(ring);
            pieces.back().push_back(ring.front());
            return is_convex(pieces.back());
        }
        std::optional<std::size_t> best;
        for (std::size_t to = 0; to < n; ++to) {
            if (is_diagonal(ring, reflex, to) &&
                (!best || rank(ring, reflex, to) < rank(ring, reflex, *best))) {
                best = to;
            }
        }
        if (!best) return false;
        const auto [first, second] = std::minmax(reflex, *best);
        const auto begin = ring.begin() + static_cast<std::ptrdiff_t>(first),
                   end = ring.begin() + static_cast<std::ptrdiff_t>(second);
        const Chain one(begin, end + 1);
        Chain other(end, ring.end());
        other.insert(other.end(), ring.begin(), begin + 1);
        return cut(one, pieces) && cut(other, pieces);
    }

private:
    static GridPoint at(const Chain& ring, std::size_t i) { return ring[i % ring.size()]; }
    static GridPoint next(const Chain& ring, std::size_t i) { return at(ring, i + 1); }
    static GridPoint last(const Chain& ring, std::size_t i) { return at(ring, i + ring.size() - 1); }

    /// Whether a line from a vertex goes into the inside there.
    static bool goes_inside(const Chain& ring, std::size_t from, GridPoint to) {
        const GridPoint before = last(ring, from), here = ring[from], after = next(ring, from);
        const bool left_of_both = turn(here, after, to) > 0 && turn(before, here, to) > 0;
        if (turn(before, here, after) > 0) return left_of_both;
        return turn(here, after, to) > 0 || turn(before, here, to) > 0;
    }
    /// Whether the line between two vertices lies inside of the ring and meets it nowhere else.
    static bool is_diagonal(const Chain& ring, std::size_t from, std::size_t to) {
        const std::size_t n = ring.size();
        if (to == from || (to + 1) % n == from || (from + 1) % n == to) return false;
        const GridPoint a = ring[from], b = ring[to];
        if (!goes_inside(ring, from, b) || !goes_inside(ring, to, a)) return false;
        for (std::size_t i = 0; i < n; ++i) {
            const std::size_t j = (i + 1) % n;
            if (i == from || i == to || j == from || j == to) continue;
            const GridPoint c = ring[i], d = ring[j];
            if (turn(a, b, c) * turn(a, b, d) <= 0 && turn(c, d, a) * turn(c, d, b) <= 0) return false;
        }
        return true;
    }
    /// Cuts that leave no reflex corner where they begin come first, then those that take one away where they
    /// end, then short ones.
    static std::pair<int, double> rank(const Chain& ring, std::size_t from, std::size_t to) {
        const auto stays_reflex = [&](std::size_t at, GridPoint away) {
            return turn(last(ring, at), ring[at], away) < 0 || turn(away, ring[at], next(ring, at)) < 0;
        };
        const bool to_reflex = turn(last(ring, to), ring[to], next(ring, to)) < 0;
        const int left =
            (stays_reflex(from, ring[to]) ? 1 : 0) + (to_reflex && !stays_reflex(to, ring[from]) ? -1 : 0);
        return {left, std::hypot(ring[from].x - ring[to].x, ring[from].y - ring[to].y)};
    }
};

} // namespace

double most_arc_excess_m(double reach_m) { return std::max(arc_excess * reach_m, least_arc_excess_m); }

int arc_edges(double reach_m) {
    return static_cast<int>(
        std::ceil(std::numbers::pi / (2 * std::acos(1 / (1 + most_arc_excess_m(reach_m) / reach_m)))));
}

double arc_radius_m(double reach_m) {
    return reach_m / std::cos(std::numbers::pi / (2 * arc_edges(reach_m)));
}

Chain capsule(GridPoint a, GridPoint b, double reach_m) {
    const int edges = arc_edges(reach_m);
    const double step = std::numbers::pi / edges, radius_m = arc_radius_m(reach_m);
    const double course = std::atan2(b.y - a.y, b.x - a.x);
    Chain ring;
    ring.reserve(2 * static_cast<std::size_t>(edges) + 1);
    for (const bool ahead : {true, false}) {
        const GridPoint end = ahead ? b : a;
        const double first = course + (ahead ? -1 : 1) * std::numbers::pi / 2 + step / 2;
        for (int i = 0; i < edges; ++i) {
            ring.push_back({end.x + radius_m * std::cos(first + i * step),
                            end.y + radius_m * std::sin(first + i * step)});
        }
    }
    ring.push_back(ring.front());
    return ring;
}

bool is_convex(const Chain& ring) {
    if (ring.size() < 4) return false;
    const std::size_t edges = ring.size() - 1;
    double turned = 0, way = 0;
    for (std::size_t i = 0; i < edges; ++i) {
        const GridPoint a = ring[i], b = ring[i + 1], c = ring[(i + 1) % edges + 1];
        const double cross = (b.x - a.x) * (c.y - b.y) - (b.y - a.y) * (c.x - b.x);
        const double along = (b.x - a.x) * (c.x - b.x) + (b.y - a.y) * (c.y - b.y);
        if (cross == 0 && along <= 0) return false; // turns back upon itself
        if (cross * way < 0) return false;
        if (cross != 0) way = cross;
        turned += std::atan2(cross, along);
    }
    return std::abs(std::abs(turned) - 2 * std::numbers::pi) < 1e-6;
}

bool encloses(const Chain& convex, const Chain& other) {
    return std::all_of(other.begin(), other.end(), [&](GridPoint p) {
        bool left = false, right = false;
        for (std::size_t i = 0; i + 1 < convex.size(); ++i) {
            const double cross = turn(convex[i], convex[i + 1], p);
            left = left || cross > 0;
            right = right || cross < 0;
        }
        return !(left && right);
    });
}

Chain grown_convex(Chain ring, double reach_m) {
    if (twice_area(ring) < 0) std::reverse(ring.begin(), ring.end());
    const std::size_t edges = ring.size() - 1;
    const double widest_step = std::numbers::pi / arc_edges(reach_m);
    const auto normal = [&](std::size_t i) { // to the right of an edge: outwards
        return std::atan2(ring[i].x - ring[i + 1].x, ring[i + 1].y - ring[i].y);
    };
    Chain out;
    for (std::size_t i = 0; i < edges; ++i) {
        const double first = normal(i);
        double corner = normal((i + 1) % edges) - first;
        if (corner < 0) corner += 2 * std::numbers::pi;
        if (corner > 2 * std::numbers::pi - 1e-6) corner = 0; // straight on, but for rounding
        const int steps = std::max(1, static_cast<int>(std::ceil(corner / widest_step)));
        const double step = corner / steps, radius_m = reach_m / std::cos(step / 2);
        for (int k = 0; k < steps; ++k) {
            out.push_back({ring[i + 1].x + radius_m * std::cos(first + (k + 0.5) * step),
                           ring[i + 1].y + radius_m * std::sin(first + (k + 0.5) * step)});
        }
    }
    out.push_back(out.front());
    return out;
}

bool has_shallow_bays(const Chain& ring, double depth_m) {
    const double way = twice_area(ring) < 0 ? -1 : 1;
    const std::size_t edges = ring.size() - 1;
    for (std::size_t i = 0; i < edges; ++i) {
        const GridPoint before = ring[(i + edges - 1) % edges], here = ring[i], after = ring[i + 1];
        if (way * turn(before, here, after) < 0 && distance_to_segment(here, before, after) < depth_m) {
            return true;
        }
    }
    return false;
}

std::optional<std::vector<Chain>> convex_pieces(const Chain& ring) {
    if (ring.size() > most_vertices_to_cut || !proven_simple(ring)) return std::nullopt;
    Chain open(ring.begin(), ring.end() - 1);
    if (twice_area(ring) < 0) std::reverse(open.begin(), open.end());
    std::vector<Chain> pieces;
    if (!Cutter().cut(open, pieces)) return std::nullopt;
    const double whole = std::abs(twice_area(ring));
    const double cut = std::accumulate(pieces.begin(), pieces.end(), 0.0, [](double sum, const Chain& piece) {
        return sum + twice_area(piece);
    });
    if (!(std::abs(cut - whole) <= 1e-9 * whole)) return std::nullopt;
    return pieces;
}

} // namespace swingroom
