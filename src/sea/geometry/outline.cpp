#include "sea/geometry/outline.hpp"

#include "sea/geometry/simple_ring.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <limits>
#include <utility>

namespace swingroom {
namespace {

std::uint64_t mixed(std::uint64_t bits) { // the finalizer of SplitMix64
    bits = (bits ^ (bits >> 30)) * 0xbf58476d1ce4e5b9u;
    bits = (bits ^ (bits >> 27)) * 0x94d049bb133111ebu;
    return bits ^ (bits >> 31);
}

/// Twice the area of a closed ring, positive if its inside lies to the left.
double doubled_area(const Chain& ring) {
    double doubled = 0;
    for (std::size_t i = 1; i + 2 < ring.size(); ++i) {
        doubled += turn(ring.front(), ring[i], ring[i + 1]);
    }
    return doubled;
}

/// An outer ring with its holes.
struct Shell {
    Chain outer;
    double area = 0;
    Bounds box;
    std::vector<Chain> rings{}; ///< its holes
};

/// Which of some points, in the order of their height, lie inside a ring.
std::vector<bool> inside(const std::vector<GridPoint>& points, const Chain& ring) {
    std::vector<bool> is_inside(points.size(), false);
    const auto below = [](GridPoint p, double y) { return p.y < y; };
    for (std::size_t i = 0; i + 1 < ring.size(); ++i) {
        const auto [low, high] =
            ring[i].y < ring[i + 1].y ? std::pair(ring[i], ring[i + 1]) : std::pair(ring[i + 1], ring[i]);
        for (auto p = std::lower_bound(points.begin(), points.end(), low.y, below);
             p != points.end() && p->y < high.y; ++p) {
            if (turn(low, high, *p) > 0) {
                const auto place = static_cast<std::size_t>(p - points.begin());
                is_inside[place] = !is_inside[place];
            }
        }
    }
    return is_inside;
}

GridPoint middle_of_an_edge(const Chain& ring) {
    return {(ring[0].x + ring[1].x) / 2, (ring[0].y + ring[1].y) / 2};
}

/// Gives each hole to the smallest shell around it.   @returns false if there is none
bool share_out(std::vector<Chain> holes, std::vector<Shell>& shells) {
    std::sort(holes.begin(), holes.end(),
              [](const Chain& a, const Chain& b) { return middle_of_an_edge(a).y < middle_of_an_edge(b).y; });
    std::vector<GridPoint> points;
    for (const Chain& hole : holes) {
        points.push_back(middle_of_an_edge(hole));
    }
    std::vector<Shell*> around(holes.size(), nullptr);
    for (Shell& shell : shells) {
        if (std::none_of(points.begin(), points.end(), [&](GridPoint p) {
                return shell.box.holds({p.x, p.y, p.x, p.y});
            })) {
            continue;
        }
        const std::vector<bool> is_inside = inside(points, shell.outer);
        for (std::size_t i = 0; i < holes.size(); ++i) {
            if (is_inside[i] && (!around[i] || shell.area < around[i]->area)) around[i] = &shell;
        }
    }
    for (std::size_t i = 0; i < holes.size(); ++i) {
        if (!around[i]) return false;
        around[i]->rings.push_back(std::move(holes[i]));
    }
    return true;
}

std::unique_ptr<OGRLinearRing> ring_of(const Chain& chain) {
    auto ring = std::make_unique<OGRLinearRing>();
    ring->setNumPoints(static_cast<int>(chain.size()), FALSE);
    for (std::size_t i = 0; i < chain.size(); ++i) {
        ring->setPoint(static_cast<int>(i), chain[i].x, chain[i].y);
    }
    return ring;
}

std::unique_ptr<OGRMultiPolygon> polygons_of(const std::vector<std::vector<Chain>>& polygons) {
    auto all = std::make_unique<OGRMultiPolygon>();
    for (const std::vector<Chain>& rings : polygons) {
        auto polygon = std::make_unique<OGRPolygon>();
        for (const Chain& ring : rings) {
            polygon->addRingDirectly(ring_of(ring).release());
        }
        all->addGeometryDirectly(polygon.release());
    }
    return all;
}

} // namespace

std::size_t Outline::Hash::operator()(const GridPoint& p) const {
    return mixed(std::bit_cast<std::uint64_t>(p.x) ^ mixed(std::bit_cast<std::uint64_t>(p.y)));
}
std::size_t Outline::Hash::operator()(std::uint64_t edge) const { return mixed(edge); }

void Outline::pass(const OGRGeometry& areas, bool inside_left) {
    if (OGR_GT_IsSubClassOf(areas.getGeometryType(), wkbGeometryCollection)) {
        for (const OGRGeometry* part : *areas.toGeometryCollection()) {
            pass(*part, inside_left);
        }
        return;
    }
    if (wkbFlatten(areas.getGeometryType()) != wkbPolygon) return;
    bool is_shell = true;
    for (const OGRLinearRing* ring : *areas.toPolygon()) {
        pass_ring(*ring, is_shell == inside_left);
        is_shell = false;
    }
}

/// @param to_the_left  the way round
void Outline::pass_ring(const OGRLinearRing& ring, bool to_the_left) {
    const int count = ring.getNumPoints();
    if (count == 0) return;
    const bool as_given = (ring.isClockwise() == 0) == to_the_left;
    const auto place = [&](int i) {
        return vertex(
            {ring.getX(i) + 0.0, ring.getY(i) + 0.0}); // no -0, which is equal to 0 and hashed apart
    };
    const Vertex first = place(0);
    Vertex from = first;
    const auto go_to = [&](Vertex to) {
        if (as_given) {
            pass_edge(from, to);
        } else {
            pass_edge(to, from);
        }
        from = to;
    };
    for (int i = 1; i < count; ++i) {
        go_to(place(i));
    }
    go_to(first); // one that is closed already stays where it is
}

void Outline::pass_edge(Vertex from, Vertex to) {
    if (from == to) return;
    const auto [lower, upper] = std::minmax(from, to);
    passes_[std::uint64_t{lower} << 32 | upper] += from == lower ? 1 : -1;
}

Outline::Vertex Outline::vertex(GridPoint p) {
    const auto [entry, is_new] = vertices_.try_emplace(p, static_cast<Vertex>(places_.size()));
    if (is_new) places_.push_back(p);
    return entry->second;
}

std::optional<std::vector<Chain>> Outline::rings() const {
    constexpr Vertex none = std::numeric_limits<Vertex>::max();
    std::vector<Vertex> next(places_.size(), none);
    for (const auto& [edge, passes] : passes_) {
        if (passes == 0) continue;
        auto from = static_cast<Vertex>(edge >> 32), to = static_cast<Vertex>(edge);
        if (passes < 0) std::swap(from, to);
        if (std::abs(passes) != 1 || next[from] != none) return std::nullopt;
        next[from] = to;
    }
    std::vector<Chain> all;
    for (Vertex start = 0; start < next.size(); ++start) {
        if (next[start] == none) continue;
        Chain ring{places_[start]};
        for (Vertex at = start; (at = std::exchange(next[at], none)) != none;) {
            ring.push_back(places_[at]);
        }
        if (ring.size() < 4 || ring.front() != ring.back()) return std::nullopt;
        all.push_back(std::move(ring));
    }
    return all;
}

std::unique_ptr<OGRMultiPolygon> Outline::polygons() const {
    std::optional<std::vector<Chain>> rings = this->rings();
    if (!rings) return nullptr;
    std::vector<Shell> shells;
    std::vector<Chain> holes;
    for (Chain& ring : *rings) {
        const double area = doubled_area(ring);
        if (area > 0) {
            const Bounds box = bounds_of(ring);
            shells.push_back({std::move(ring), area, box, {}});
        } else {
            holes.push_back(std::move(ring));
        }
    }
    if (!share_out(std::move(holes), shells)) return nullptr;
    std::vector<std::vector<Chain>> polygons;
    for (Shell& shell : shells) {
        shell.rings.insert(shell.rings.begin(), std::move(shell.outer));
        polygons.push_back(std::move(shell.rings));
    }
    return proven_valid(polygons) ? polygons_of(polygons) : nullptr;
}

} // namespace swingroom
