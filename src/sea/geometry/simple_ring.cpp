#include "sea/geometry/simple_ring.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <iterator>
#include <numeric>
#include <optional>
#include <set>
#include <utility>

// A line sweeps over the plane from left to right and keeps the edges that it crosses in order from low to
// high. Two edges that meet stand beside each other in that order just before their leftmost common point, so
// it is enough to compare edges when they become neighbours (M. I. Shamos and D. Hoey, Geometric intersection
// problems, 1976).

namespace swingroom {
namespace {

/// From left to right; where x is the same, from low to high.
bool before(GridPoint a, GridPoint b) { return a.x < b.x || (a.x == b.x && a.y < b.y); }

struct Edge {
    GridPoint left, right;
};

bool share_an_end(const Edge& s, const Edge& t) {
    return s.left == t.left || s.left == t.right || s.right == t.left || s.right == t.right;
}

class Sweep {
public:
    explicit Sweep(const Chain& ring) : ring_(ring), vertices_(ring.size() - 1), active_(Below{this}) {}

    bool is_simple() {
        std::vector<std::uint32_t> order(vertices_);
        std::iota(order.begin(), order.end(), 0);
        std::sort(order.begin(), order.end(),
                  [&](std::uint32_t a, std::uint32_t b) { return before(ring_[a], ring_[b]); });
        // A vertex that is met twice touches, and edges that share an end are known to follow each other.
        if (std::adjacent_find(order.begin(), order.end(), [&](std::uint32_t a, std::uint32_t b) {
                return ring_[a] == ring_[b];
            }) != order.end()) {
            return false;
        }
        edges_.reserve(vertices_);
        for (std::size_t i = 0; i < vertices_; ++i) {
            edges_.push_back(before(ring_[i], ring_[i + 1]) ? Edge{ring_[i], ring_[i + 1]}
                                                            : Edge{ring_[i + 1], ring_[i]});
        }
        places_.resize(vertices_);
        return std::all_of(order.begin(), order.end(), [&](std::uint32_t vertex) { return pass(vertex); });
    }

private:
    /// The order along the sweeping line, of edges that do not meet.
    struct Below {
        Sweep* sweep;
        bool operator()(std::uint32_t s, std::uint32_t t) const { return sweep->lies_below(s, t); }
    };
    using Active = std::set<std::uint32_t, Below>;

    /// Moves the sweeping line over a vertex: the edges that end there leave it, those that begin there join
    /// it.
    /// @returns false if two edges may meet
    bool pass(std::uint32_t vertex) {
        const std::uint32_t ending_or_beginning[] = {
            vertex == 0 ? static_cast<std::uint32_t>(vertices_ - 1) : vertex - 1, vertex};
        std::optional<Active::iterator> place; // where the next edge most likely belongs
        for (const std::uint32_t edge : ending_or_beginning) {
            if (edges_[edge].right == ring_[vertex]) {
                place = active_.erase(places_[edge]);
                if (*place != active_.begin() && *place != active_.end() &&
                    !apart(*std::prev(*place), **place)) {
                    return false;
                }
            }
        }
        for (const std::uint32_t edge : ending_or_beginning) {
            if (edges_[edge].left == ring_[vertex]) {
                place = places_[edge] = place ? active_.insert(*place, edge) : active_.insert(edge).first;
                if (in_doubt_ || *(*place) != edge) return false;
                const auto above = std::next(*place);
                if ((*place != active_.begin() && !apart(*std::prev(*place), edge)) ||
                    (above != active_.end() && !apart(edge, *above))) {
                    return false;
                }
            }
        }
        return true;
    }

    bool lies_below(std::uint32_t s, std::uint32_t t) {
        if (s == t) return false;
        const Edge &a = edges_[s], &b = edges_[t];
        const int sign = a.left == b.left         ? side(a, b.right)
                         : before(a.left, b.left) ? side(a, b.left)
                                                  : -side(b, a.left);
        in_doubt_ = in_doubt_ || sign == 0;
        return sign > 0;
    }
    /// Whether two edges are proven to have nothing in common but an end.
    [[nodiscard]] bool apart(std::uint32_t s, std::uint32_t t) const {
        const Edge &a = edges_[s], &b = edges_[t];
        // Those that share an end were compared when the later one joined: there they do not lie on one line.
        if (share_an_end(a, b)) return true;
        return side(a, b.left) * side(a, b.right) > 0 || side(b, a.left) * side(b, a.right) > 0;
    }
    /// On which side of an edge a point lies: 1 above (to the left of its direction), -1 below, 0 unknown,
    /// since it is on it or rounding may have chosen the sign. The bound is that of J. R. Shewchuk, Adaptive
    /// precision floating-point arithmetic and fast robust geometric predicates, 1997: (3 + 16 e) e of the
    /// sum.
    static int side(const Edge& edge, GridPoint p) {
        constexpr double bound = 3.3306690738754716e-16;
        const double up = (edge.right.x - edge.left.x) * (p.y - edge.left.y),
                     down = (edge.right.y - edge.left.y) * (p.x - edge.left.x), turn = up - down;
        if (!(std::abs(turn) > bound * (std::abs(up) + std::abs(down)))) return 0;
        return turn > 0 ? 1 : -1;
    }

    const Chain& ring_;
    std::size_t vertices_;
    std::vector<Edge> edges_; ///< by the number of the vertex that they begin at in the ring
    Active active_;
    std::vector<Active::iterator> places_; ///< of edges in `active_`
    bool in_doubt_ = false;                ///< about the order
};

} // namespace

bool proven_simple(const Chain& ring) {
    return ring.size() >= 4 && ring.front() == ring.back() && Sweep(ring).is_simple();
}

} // namespace swingroom
