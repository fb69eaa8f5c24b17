#include "sea/geometry/planar.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <utility>

namespace swingroom {
namespace {

// Clipping is done against one side of the box at a time.

enum class Side { left, right, low, high };

double beyond(GridPoint p, const Bounds& box, Side side) {
    switch (side) {
    case Side::left:
        return box.left - p.x;
    case Side::right:
        return p.x - box.right;
    case Side::low:
        return box.low - p.y;
    default:
        return p.y - box.high;
    }
}

GridPoint crossing(GridPoint a, GridPoint b, double beyond_a, double beyond_b) {
    const double t = beyond_a / (beyond_a - beyond_b);
    return {a.x + t * (b.x - a.x), a.y + t * (b.y - a.y)};
}

struct Segment {
    GridPoint a, b;
    std::size_t chain, index;
};

/// Whether one follows the other in its chain.
bool neighbours(const Segment& s, const Segment& t) {
    return s.chain == t.chain &&
           (s.index + 1 == t.index || t.index + 1 == s.index || s.a == t.b || s.b == t.a);
}

bool cross(const Segment& s, const Segment& t) {
    return turn(s.a, s.b, t.a) * turn(s.a, s.b, t.b) <= 0 && turn(t.a, t.b, s.a) * turn(t.a, t.b, s.b) <= 0;
}

} // namespace

Bounds bounds_of(const Chain& chain) {
    Bounds bounds;
    for (const GridPoint p : chain) {
        bounds.add(p);
    }
    return bounds;
}

double turn(GridPoint a, GridPoint b, GridPoint c) {
    return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
}

double distance_to_segment(GridPoint p, GridPoint a, GridPoint b) {
    const double bx = b.x - a.x, by = b.y - a.y, px = p.x - a.x, py = p.y - a.y;
    const double squared = bx * bx + by * by;
    const double t = squared > 0 ? std::clamp((px * bx + py * by) / squared, 0.0, 1.0) : 0.0;
    return std::hypot(px - t * bx, py - t * by);
}

Chain clipped_ring(Chain ring, const Bounds& box) {
    for (const Side side : {Side::left, Side::right, Side::low, Side::high}) {
        Chain kept;
        for (std::size_t i = 0; i < ring.size(); ++i) {
            const GridPoint a = ring[i], b = ring[(i + 1) % ring.size()];
            const double beyond_a = beyond(a, box, side), beyond_b = beyond(b, box, side);
            if (beyond_a <= 0) kept.push_back(a);
            if ((beyond_a > 0) != (beyond_b > 0)) kept.push_back(crossing(a, b, beyond_a, beyond_b));
        }
        ring = std::move(kept);
    }
    if (!ring.empty() && ring.front() != ring.back()) ring.push_back(ring.front());
    return ring;
}

std::vector<Chain> clipped_line(const Chain& line, const Bounds& box) {
    std::vector<Chain> parts{line};
    for (const Side side : {Side::left, Side::right, Side::low, Side::high}) {
        std::vector<Chain> kept;
        for (const Chain& part : parts) {
            Chain now;
            for (std::size_t i = 0; i < part.size(); ++i) {
                const double here = beyond(part[i], box, side);
                if (i > 0) {
                    const double before = beyond(part[i - 1], box, side);
                    if ((here > 0) != (before > 0)) {
                        now.push_back(crossing(part[i - 1], part[i], before, here));
                    }
                }
                if (here <= 0) {
                    now.push_back(part[i]);
                } else if (!now.empty()) {
                    kept.push_back(std::exchange(now, {}));
                }
            }
            if (!now.empty()) kept.push_back(std::move(now));
        }
        parts = std::move(kept);
    }
    return parts;
}

bool crosses_often(const std::vector<Chain>& chains, std::size_t most) {
    std::vector<Segment> segments;
    for (std::size_t c = 0; c < chains.size(); ++c) {
        for (std::size_t i = 0; i + 1 < chains[c].size(); ++i) {
            Segment s{chains[c][i], chains[c][i + 1], c, i};
            if (s.a.x > s.b.x) std::swap(s.a, s.b);
            segments.push_back(s);
        }
    }
    std::sort(segments.begin(), segments.end(),
              [](const Segment& s, const Segment& t) { return s.a.x < t.a.x; });
    const std::size_t most_looks = std::max<std::size_t>(20'000'000, 200 * segments.size());
    std::size_t crossings = 0, looks = 0;
    for (std::size_t i = 0; i < segments.size(); ++i) {
        const Segment& s = segments[i];
        const auto [low, high] = std::minmax(s.a.y, s.b.y);
        for (std::size_t j = i + 1; j < segments.size() && segments[j].a.x <= s.b.x; ++j) {
            const Segment& t = segments[j];
            if (++looks > most_looks) return true;
            if (std::max(t.a.y, t.b.y) < low || std::min(t.a.y, t.b.y) > high) continue;
            if (cross(s, t) && !neighbours(s, t) && ++crossings > most) return true;
        }
    }
    return false;
}

} // namespace swingroom
