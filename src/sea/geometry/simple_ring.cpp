#include "sea/geometry/simple_ring.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <iterator>
#include <memory_resource>
#include <optional>
#include <set>
#include <utility>

// A line sweeps over the plane from left to right and keeps the edges that it crosses in order from low to
// high. Two edges that meet stand beside each other in that order just before their leftmost common point, so
// it is enough to compare edges when they become neighbours (M. I. Shamos and D. Hoey, Geometric intersection
// problems, 1976).
//
// Where a ring is met for the first time, the edge next below tells what the ring lies in: one that none of
// the polygons holds or, for a hole, its own.

namespace swingroom {
namespace {

/// From left to right; where x is the same, from low to high.
bool before(GridPoint a, GridPoint b) { return a.x < b.x || (a.x == b.x && a.y < b.y); }

struct Edge {
    GridPoint left, right;
};

/// The number of a polygon, the first being 1.
using Polygon = std::uint32_t;
constexpr Polygon no_polygon = 0;

/// A ring with what it is an outline of.
struct RingOf {
    const Chain* ring;
    Polygon polygon;
    bool is_hole;
};

bool share_an_end(const Edge& s, const Edge& t) {
    return s.left == t.left || s.left == t.right || s.right == t.left || s.right == t.right;
}

class Sweep {
public:
    explicit Sweep(const std::vector<RingOf>& outlines) : active_(Below{this}, &memory_) {
        std::size_t vertices = 0;
        for (const RingOf& outline : outlines) {
            vertices += outline.ring->size() - 1;
        }
        vertices_.reserve(vertices);
        for (const RingOf& outline : outlines) {
            add(outline);
        }
    }

    bool finds_them_valid() {
        std::vector<std::pair<GridPoint, std::uint32_t>> order;
        order.reserve(vertices_.size());
        for (const Vertex& vertex : vertices_) {
            order.emplace_back(vertex.place, static_cast<std::uint32_t>(order.size()));
        }
        std::sort(order.begin(), order.end(),
                  [](const auto& a, const auto& b) { return before(a.first, b.first); });
        // A vertex that is met twice touches, and edges that share an end are known to follow each other.
        if (std::adjacent_find(order.begin(), order.end(), [](const auto& a, const auto& b) {
                return a.first == b.first;
            }) != order.end()) {
            return false;
        }
        edges_.reserve(vertices_.size());
        for (const Vertex& from : vertices_) {
            const GridPoint a = from.place, b = vertices_[from.next].place;
            edges_.push_back(before(a, b) ? Edge{a, b} : Edge{b, a});
        }
        places_.resize(vertices_.size());
        above_.resize(vertices_.size(), no_polygon);
        return std::all_of(order.begin(), order.end(), [&](const auto& entry) { return pass(entry.second); });
    }

private:
    struct Vertex {
        GridPoint place;
        std::uint32_t previous, next; ///< on its ring
        std::uint32_t outline;        ///< its ring
    };
    struct Ring {
        Polygon polygon;
        bool is_hole, is_met; ///< met by the sweeping line
    };

    void add(const RingOf& outline) {
        const auto first = static_cast<std::uint32_t>(vertices_.size());
        const auto count = static_cast<std::uint32_t>(outline.ring->size() - 1);
        for (std::uint32_t i = 0; i < count; ++i) {
            vertices_.push_back({(*outline.ring)[i], first + (i + count - 1) % count, first + (i + 1) % count,
                                 static_cast<std::uint32_t>(rings_.size())});
        }
        rings_.push_back({outline.polygon, outline.is_hole, false});
    }

    /// The order along the sweeping line, of edges that do not meet.
    struct Below {
        Sweep* sweep;
        bool operator()(std::uint32_t s, std::uint32_t t) const { return sweep->lies_below(s, t); }
    };
    using Active = std::pmr::set<std::uint32_t, Below>;

    /// Moves the sweeping line over a vertex: the edges that end there leave it, those that begin there join
    /// it.
    /// @returns false if two edges may meet
    bool pass(std::uint32_t vertex) {
        const std::uint32_t ending_or_beginning[] = {vertices_[vertex].previous, vertex};
        const GridPoint here = vertices_[vertex].place;
        std::optional<Active::iterator> place; // where the next edge most likely belongs
        std::optional<Polygon> above;          // of an edge that goes on
        for (const std::uint32_t edge : ending_or_beginning) {
            if (edges_[edge].right == here) {
                above = above_[edge];
                place = active_.erase(places_[edge]);
                if (*place != active_.begin() && *place != active_.end() &&
                    !apart(*std::prev(*place), **place)) {
                    return false;
                }
            }
        }
        std::size_t begun = 0;
        for (const std::uint32_t edge : ending_or_beginning) {
            if (edges_[edge].left == here) {
                ++begun;
                place = places_[edge] = place ? active_.insert(*place, edge) : active_.insert(edge).first;
                if (in_doubt_ || *(*place) != edge) return false;
                const auto higher = std::next(*place);
                if ((*place != active_.begin() && !apart(*std::prev(*place), edge)) ||
                    (higher != active_.end() && !apart(edge, *higher))) {
                    return false;
                }
                if (above) above_[edge] = *above;
            }
        }
        return begun < 2 || divides(vertex);
    }

    /// Notes what lies between two edges that begin in a vertex, and above them.
    /// @returns whether that is part of a valid set of polygons
    bool divides(std::uint32_t vertex) {
        Ring& ring = rings_[vertices_[vertex].outline];
        const bool is_first = !std::exchange(ring.is_met, true);
        std::uint32_t low = vertices_[vertex].previous, high = vertex;
        if (std::next(places_[low]) != places_[high]) std::swap(low, high);
        const Polygon around =
            places_[low] == active_.begin() ? no_polygon : above_[*std::prev(places_[low])];
        if (around != no_polygon && around != ring.polygon) return false;
        if (is_first && (around == ring.polygon) != ring.is_hole) return false;
        above_[low] = around == no_polygon ? ring.polygon : no_polygon;
        above_[high] = around;
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

    std::vector<Vertex> vertices_;
    std::vector<Ring> rings_;
    std::vector<Edge> edges_; ///< by the number of the vertex that they begin at in the ring
    std::pmr::unsynchronized_pool_resource memory_;
    Active active_;
    std::vector<Active::iterator> places_; ///< of edges in `active_`
    std::vector<Polygon> above_;           ///< by edge in `active_`: what lies just above it
    bool in_doubt_ = false;                ///< about the order
};

bool is_closed(const Chain& ring) { return ring.size() >= 4 && ring.front() == ring.back(); }

} // namespace

bool proven_simple(const Chain& ring) {
    return is_closed(ring) && Sweep({RingOf{&ring, 1, false}}).finds_them_valid();
}

bool proven_valid(const std::vector<std::vector<Chain>>& polygons) {
    std::vector<RingOf> outlines;
    Polygon polygon = no_polygon;
    for (const std::vector<Chain>& rings : polygons) {
        ++polygon;
        for (const Chain& ring : rings) {
            if (!is_closed(ring)) return false;
            outlines.push_back({&ring, polygon, &ring != &rings.front()});
        }
    }
    return Sweep(outlines).finds_them_valid();
}

} // namespace swingroom
