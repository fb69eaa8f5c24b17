#include "publish/vector/fewer_corners.hpp"

#include "sea/geometry/geos.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace swingroom {
namespace {

Chain chain_of(const LatticeRing& ring) {
    Chain chain;
    chain.reserve(ring.size());
    for (const LatticePoint& point : ring) { // far below 2^53: exact
        chain.push_back({static_cast<double>(point.x), static_cast<double>(point.y)});
    }
    return chain;
}

LatticeRing lattice_of(const Chain& chain) {
    LatticeRing ring;
    ring.reserve(chain.size());
    for (const GridPoint& point : chain) {
        ring.push_back({std::llround(point.x), std::llround(point.y)});
    }
    return ring;
}

/// A convex ring of so many sides around all points: each side touches their hull, and lies a unit farther
/// out for the rounding of the corners.
LatticeRing around(const Chain& points, std::size_t sides) {
    struct Side {
        double x = 0, y = 0, reach = 0; ///< outward normal, and how far it is along it
    };
    std::vector<Side> all;
    for (std::size_t i = 0; i < sides; ++i) {
        const double angle = 2 * std::numbers::pi * static_cast<double>(i) / static_cast<double>(sides);
        Side side{std::cos(angle), std::sin(angle), -std::numeric_limits<double>::infinity()};
        for (const GridPoint& point : points) {
            side.reach = std::max(side.reach, side.x * point.x + side.y * point.y);
        }
        side.reach += 1;
        all.push_back(side);
    }
    LatticeRing ring;
    for (std::size_t i = 0; i < sides; ++i) {
        const Side &a = all[i], &b = all[(i + 1) % sides];
        const double turn = a.x * b.y - a.y * b.x;
        ring.push_back({std::llround((a.reach * b.y - b.reach * a.y) / turn),
                        std::llround((a.x * b.reach - b.x * a.reach) / turn)});
    }
    ring.push_back(ring.front());
    return ring;
}

} // namespace

LatticeRing with_fewer_corners(LatticeRing ring, std::size_t most, Shrinks side) {
    if (ring.size() <= most) return ring;
    const Geos geos;
    const Chain chain = chain_of(ring);
    const bool outwards = side == Shrinks::outside;
    // It may keep some more than it is asked to; what is convex keeps all, seen from outside.
    double share = static_cast<double>(most - 1) / static_cast<double>(ring.size());
    for (std::size_t kept = ring.size() + 1; share > 0; share *= 0.7) {
        const Chain fewer = geos.with_fewer_corners(chain, share, outwards);
        if (fewer.empty() || fewer.size() >= kept) break;
        if (fewer.size() <= most) return lattice_of(fewer);
        kept = fewer.size();
    }
    if (!outwards) return {};
    constexpr std::size_t sides_of_hull = 64;
    return around(chain, std::min(sides_of_hull, most - 1));
}

} // namespace swingroom
