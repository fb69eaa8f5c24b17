#include "publish/vector/polygon_rings.hpp"

#include "sea/gdal/gdal_messages.hpp"

#include <ogr_geometry.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <limits>
#include <memory>
#include <optional>
#include <stdexcept>
#include <string>

namespace swingroom {
namespace {

constexpr double per_degree = 1e7;
constexpr double half_turn_deg = 180;
constexpr std::int64_t half_turn = 1'800'000'000, pole = 900'000'000;

/// Twice the signed area, positive counter-clockwise, from the first vertex so that few digits are lost.
double doubled_area(const Ring& ring) {
    double sum = 0;
    for (std::size_t i = 1; i + 1 < ring.size(); ++i) {
        sum += (ring[i].x - ring[0].x) * (ring[i + 1].y - ring[0].y) -
               (ring[i + 1].x - ring[0].x) * (ring[i].y - ring[0].y);
    }
    return sum;
}

double cross(GridPoint a, GridPoint b) { return a.x * b.y - a.y * b.x; }
GridPoint minus(GridPoint a, GridPoint b) { return {a.x - b.x, a.y - b.y}; }

LatticePoint nearest(GridPoint corner) {
    return {std::clamp<std::int64_t>(std::llround(corner.x), -half_turn, half_turn),
            std::clamp<std::int64_t>(std::llround(corner.y), -pole, pole)};
}

/// The nearest lattice position that is on the left of both edges at a corner; all in lattice units.
LatticePoint rounded_to_left(GridPoint before, GridPoint corner, GridPoint after) {
    const GridPoint in = minus(corner, before), out = minus(after, corner);
    const auto x0 = static_cast<std::int64_t>(std::floor(corner.x));
    const auto y0 = static_cast<std::int64_t>(std::floor(corner.y));
    for (const std::int64_t reach : {0, 1, 3}) {
        std::optional<LatticePoint> best;
        double best_distance = std::numeric_limits<double>::infinity();
        for (std::int64_t y = y0 - reach; y <= y0 + 1 + reach; ++y) {
            for (std::int64_t x = x0 - reach; x <= x0 + 1 + reach; ++x) {
                if (std::abs(x) > half_turn || std::abs(y) > pole) continue;
                const GridPoint move = minus({static_cast<double>(x), static_cast<double>(y)}, corner);
                const double distance = move.x * move.x + move.y * move.y;
                if (cross(in, move) >= 0 && cross(out, move) >= 0 && distance < best_distance) {
                    best = {x, y};
                    best_distance = distance;
                }
            }
        }
        if (best) return *best;
    }
    return nearest(corner);
}

/// Rounds a ring whose inside is on its left.
LatticeRing rounded(const Ring& ring, VectorLayer::Rounding rounding) {
    Ring corners;
    for (std::size_t i = 0; i + 1 < ring.size(); ++i) {
        const GridPoint corner{ring[i].x * per_degree, ring[i].y * per_degree};
        if (corners.empty() || corners.back() != corner) corners.push_back(corner);
    }
    while (corners.size() > 1 && corners.back() == corners.front()) {
        corners.pop_back();
    }
    const std::size_t n = corners.size();
    if (n < 3) return {};
    LatticeRing result;
    result.reserve(n + 1);
    for (std::size_t i = 0; i < n; ++i) {
        const GridPoint before = corners[(i + n - 1) % n], corner = corners[i], after = corners[(i + 1) % n];
        LatticePoint point;
        switch (rounding) {
        case VectorLayer::Rounding::nearest:
            point = nearest(corner);
            break;
        case VectorLayer::Rounding::inwards:
            point = rounded_to_left(before, corner, after);
            break;
        // Walked the other way, the outside is on the left.
        case VectorLayer::Rounding::outwards:
            point = rounded_to_left(after, corner, before);
            break;
        }
        if (result.empty() || result.back() != point) result.push_back(point);
    }
    while (result.size() > 1 && result.back() == result.front()) {
        result.pop_back();
    }
    if (result.size() < 3) return {};
    result.push_back(result.front());
    return result;
}

OGRLinearRing ogr_ring(const Ring& ring) {
    OGRLinearRing line;
    for (const GridPoint& point : ring) {
        line.addPoint(point.x, point.y);
    }
    line.closeRings();
    return line;
}

Ring ring_of(const OGRLinearRing& line, double shift) {
    Ring ring;
    ring.reserve(static_cast<std::size_t>(line.getNumPoints()));
    for (int i = 0; i < line.getNumPoints(); ++i) {
        ring.push_back({line.getX(i) - shift, line.getY(i)});
    }
    return ring;
}

void collect(const OGRGeometry* geometry, double shift, std::vector<std::vector<Ring>>& into) {
    if (geometry == nullptr) return;
    const OGRwkbGeometryType type = wkbFlatten(geometry->getGeometryType());
    if (type == wkbPolygon) {
        std::vector<Ring> rings;
        for (const OGRLinearRing* line : *geometry->toPolygon()) {
            rings.push_back(ring_of(*line, shift));
        }
        if (!rings.empty()) into.push_back(std::move(rings));
    } else if (OGR_GT_IsSubClassOf(type, wkbGeometryCollection)) {
        for (const OGRGeometry* part : *geometry->toGeometryCollection()) {
            collect(part, shift, into);
        }
    }
}

/// West and east ends of a ring.
struct Span {
    double west = std::numeric_limits<double>::infinity(), east = -west;
    [[nodiscard]] double middle() const { return (west + east) / 2; }
};
Span span_of(const Ring& ring) {
    Span span;
    for (const GridPoint& point : ring) {
        span.west = std::min(span.west, point.x);
        span.east = std::max(span.east, point.x);
    }
    return span;
}

void shift(Ring& ring, double by) {
    for (GridPoint& point : ring) {
        point.x += by;
    }
}

/// Whether an unrolled ring goes round a pole.
bool encloses_pole(const Ring& ring) {
    return !ring.empty() && std::abs(ring.back().x - ring.front().x) > half_turn_deg;
}

double pole_of(const Ring& ring) {
    double sum = 0;
    for (const GridPoint& point : ring) {
        sum += point.y;
    }
    return sum < 0 ? -90 : 90;
}

OGRPolygon ogr_polygon(std::span<const Ring> rings) {
    OGRPolygon polygon;
    for (const Ring& ring : rings) {
        OGRLinearRing line = ogr_ring(ring);
        polygon.addRing(&line);
    }
    return polygon;
}

using Geometry = std::unique_ptr<OGRGeometry>;

/// Zones may touch themselves at a corner, which the overlay does not promise to take.
Geometry valid_geometry(std::span<const Ring> rings) {
    const OGRPolygon polygon = ogr_polygon(rings);
    return Geometry(polygon.IsValid() ? polygon.clone() : polygon.MakeValid());
}

/// The whole turn of longitude about `middle`, from pole to pole.
OGRPolygon world_box(double middle) {
    const double west = middle - half_turn_deg, east = middle + half_turn_deg;
    const std::array<Ring, 1> frame{Ring{{west, -90}, {east, -90}, {east, 90}, {west, 90}, {west, -90}}};
    return ogr_polygon(frame);
}

/// What lies between an unrolled ring around a pole and that pole, within -180 .. 180 and beyond: the ring is
/// laid out as often as it takes, so that its ends are outside and leave no trace.
Ring cap(Ring ring, double pole_lat) {
    if (ring.back().x < ring.front().x) std::reverse(ring.begin(), ring.end());
    ring.pop_back();
    // Nothing of the ring is between the vertex next to the pole and the pole, so the way up there is free.
    const auto next = std::max_element(ring.begin(), ring.end(), [&](GridPoint a, GridPoint b) {
        return std::abs(a.y - pole_lat) > std::abs(b.y - pole_lat);
    });
    const auto before = static_cast<std::size_t>(next - ring.begin());
    std::rotate(ring.begin(), next, ring.end());
    for (std::size_t i = ring.size() - before; i < ring.size(); ++i) {
        ring[i].x += 2 * half_turn_deg;
    }
    shift(ring, -2 * half_turn_deg * std::round(ring.front().x / (2 * half_turn_deg)));
    const Span span = span_of(ring);
    const int turns = 2 + static_cast<int>((span.east - span.west) / (2 * half_turn_deg));
    Ring all;
    for (int turn = -turns; turn <= turns; ++turn) {
        for (const GridPoint& point : ring) {
            all.push_back({point.x + 2 * half_turn_deg * turn, point.y});
        }
    }
    all.push_back({ring.front().x + 2 * half_turn_deg * (turns + 1), ring.front().y});
    const double west = all.front().x, east = all.back().x;
    all.push_back({east, pole_lat});
    all.push_back({west, pole_lat});
    all.push_back(all.front());
    return all;
}

/// A polygon that holds a pole, or has a hole that does, within -180 .. 180.
std::vector<std::vector<Ring>> cut_around_pole(const std::vector<Ring>& rings) {
    const double pole_lat = pole_of(rings.front());
    const OGRPolygon box = world_box(0);
    const std::array<Ring, 1> outer{cap(rings.front(), pole_lat)};
    Geometry left = valid_geometry(outer);
    if (left) left.reset(left->Intersection(&box));
    for (std::size_t i = 1; i < rings.size() && left; ++i) {
        if (encloses_pole(rings[i])) {
            const std::array<Ring, 1> hole{cap(rings[i], pole_lat)};
            const Geometry without = valid_geometry(hole);
            left.reset(without ? left->Difference(without.get()) : nullptr);
            continue;
        }
        // In whichever turn of longitude the hole was given, all of it that is within the box is a hole.
        Ring hole = rings[i];
        shift(hole, -2 * half_turn_deg * std::round(span_of(hole).middle() / (2 * half_turn_deg)));
        for (const double turn : {-1, 0, 1}) {
            std::array<Ring, 1> moved{hole};
            shift(moved[0], 2 * half_turn_deg * turn);
            const Span span = span_of(moved[0]);
            if (left && span.east > -half_turn_deg && span.west < half_turn_deg) {
                const Geometry without = valid_geometry(moved);
                left.reset(without ? left->Difference(without.get()) : nullptr);
            }
        }
    }
    std::vector<std::vector<Ring>> polygons;
    collect(left.get(), 0, polygons);
    return polygons;
}

} // namespace

void append_lattice_text(std::string& text, std::int64_t value) {
    std::array<char, 24> digits{};
    char *const limit = digits.data() + digits.size(), *end = digits.data();
    if (value < 0) *end++ = '-';
    const std::int64_t size = std::abs(value);
    end = std::to_chars(end, limit, size / 10'000'000).ptr;
    if (const std::int64_t fraction = size % 10'000'000; fraction != 0) {
        // The leading 1 keeps the zeros behind the point, and gives it its place.
        char* const point = end;
        end = std::to_chars(end, limit, 10'000'000 + fraction).ptr;
        *point = '.';
        while (end[-1] == '0') {
            --end;
        }
    }
    text.append(digits.data(), end);
}

std::string lattice_text(std::int64_t value) {
    std::string text;
    append_lattice_text(text, value);
    return text;
}

double wrapped_longitude(double lon) {
    if (lon >= -180 && lon <= 180) return lon;
    return std::remainder(lon, 360);
}

Ring unrolled(Ring ring) {
    for (std::size_t i = 1; i < ring.size(); ++i) {
        // To even: an edge of just half a turn stays as it was given.
        const double turns = std::nearbyint((ring[i].x - ring[i - 1].x) / (2 * half_turn_deg));
        ring[i].x -= 2 * half_turn_deg * turns;
    }
    return ring;
}

std::vector<std::vector<Ring>> cut_at_antimeridian(std::vector<Ring> rings) {
    for (Ring& ring : rings) {
        for (const GridPoint& point : ring) {
            if (!std::isfinite(point.x) || !(std::abs(point.y) <= 90) || std::abs(point.x) > 1e4) {
                throw std::invalid_argument("a polygon with a position that is not on Earth");
            }
        }
        ring = unrolled(std::move(ring));
    }
    if (rings.empty() || rings.front().empty()) return {};
    const GdalMessages quiet;
    std::vector<std::vector<Ring>> polygons;
    if (encloses_pole(rings.front())) {
        polygons = cut_around_pole(rings);
        if (polygons.empty()) throw std::runtime_error("a polygon could not be cut at a pole");
        return polygons;
    }
    const Span all = span_of(rings.front());
    for (std::size_t i = 1; i < rings.size(); ++i) {
        // A hole is in the turn of longitude in which its polygon is.
        shift(rings[i], 2 * half_turn_deg *
                            std::round((all.middle() - span_of(rings[i]).middle()) / (2 * half_turn_deg)));
    }
    const auto first = static_cast<int>(std::floor((all.west + 180) / 360));
    const int last = std::max(first, static_cast<int>(std::ceil((all.east + 180) / 360)) - 1);
    if (first == last) {
        for (Ring& ring : rings) {
            shift(ring, -360.0 * first);
        }
        polygons.push_back(std::move(rings));
        return polygons;
    }
    const Geometry valid = valid_geometry(rings);
    for (int turn = first; turn <= last && valid; ++turn) {
        const OGRPolygon box = world_box(360.0 * turn);
        const Geometry part(valid->Intersection(&box));
        collect(part.get(), 360.0 * turn, polygons);
    }
    if (polygons.empty()) throw std::runtime_error("a polygon could not be cut at the antimeridian");
    return polygons;
}

std::vector<std::vector<GridPoint>> cut_line_at_antimeridian(std::vector<GridPoint> line) {
    for (const GridPoint& point : line) {
        if (!std::isfinite(point.x) || !(std::abs(point.y) <= 90) || std::abs(point.x) > 1e4) {
            throw std::invalid_argument("a line with a position that is not on Earth");
        }
    }
    if (line.size() < 2) return {};
    line = unrolled(std::move(line));
    constexpr double turn_deg = 2 * half_turn_deg;
    const auto turn_of = [](double lon) { return std::floor((lon + half_turn_deg) / turn_deg); };
    std::vector<std::vector<GridPoint>> parts;
    double turn = 0;
    const auto put = [&](GridPoint point) { parts.back().push_back({point.x - turn * turn_deg, point.y}); };
    const auto begin = [&](double in_turn, GridPoint at) {
        turn = in_turn;
        parts.emplace_back();
        put(at);
    };
    for (std::size_t i = 0; i + 1 < line.size(); ++i) {
        const GridPoint from = line[i], to = line[i + 1];
        const auto [west, east] = std::minmax(from.x, to.x);
        const double edge = turn_of(east) * turn_deg - half_turn_deg;
        const bool crosses = west < edge && edge < east;
        const double first = crosses ? turn_of(from.x) : turn_of((from.x + to.x) / 2);
        if (parts.empty() || first != turn) begin(first, from);
        if (crosses) {
            const GridPoint crossing{edge, from.y + (edge - from.x) / (to.x - from.x) * (to.y - from.y)};
            put(crossing);
            begin(turn_of(to.x), crossing);
        }
        put(to);
    }
    return parts;
}

std::vector<LatticeRing> wound_and_rounded(std::vector<Ring> rings, VectorLayer::Rounding rounding) {
    std::vector<LatticeRing> result;
    for (std::size_t i = 0; i < rings.size(); ++i) {
        Ring ring = std::move(rings[i]); // gone once it is rounded: an outline may be long
        const bool counter_clockwise = doubled_area(ring) > 0;
        if (counter_clockwise != (i == 0)) std::reverse(ring.begin(), ring.end());
        LatticeRing lattice = rounded(ring, rounding);
        if (!lattice.empty()) {
            result.push_back(std::move(lattice));
        } else if (i == 0) {
            return {};
        }
    }
    return result;
}

} // namespace swingroom
