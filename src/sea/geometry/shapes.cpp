#include "sea/geometry/shapes.hpp"

#include "sea/geometry/simple_ring.hpp"

#include <cpl_string.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <iterator>
#include <memory>
#include <utility>

namespace swingroom {
namespace {

/// A repair's cost grows with the crossings: rings with more are cut in halves so often, and if a part still
/// has more, their convex hull is taken.
constexpr std::size_t most_repaired_crossings = 1000;
constexpr int most_halvings = 3;
constexpr double farthest_coordinate = 1e15;

/// Adds rings, none with many crossings, whose winding numbers sum up to those of the given one: what it
/// encloses, however often, one of them encloses. Their chords can enclose more, never less.
/// @returns false if too many crossings are left
bool split_at_crossings(const Chain& ring, int halvings, std::vector<Chain>& parts) {
    if (!crosses_often({ring}, most_repaired_crossings)) {
        parts.push_back(ring);
        return true;
    }
    if (halvings == 0) return false;
    const auto middle = ring.begin() + static_cast<std::ptrdiff_t>(ring.size() / 2);
    Chain first(ring.begin(), middle + 1), second(middle, ring.end());
    first.push_back(first.front());
    second.push_back(second.front());
    return split_at_crossings(first, halvings - 1, parts) && split_at_crossings(second, halvings - 1, parts);
}

OGRPolygon polygon_of(const Chain& ring) {
    OGRLinearRing vertices;
    for (const GridPoint p : ring) {
        vertices.addPoint(p.x, p.y);
    }
    OGRPolygon polygon;
    polygon.addRing(&vertices);
    return polygon;
}

/// Takes geometries apart into chains.
class GeometrySplitter {
public:
    explicit GeometrySplitter(Shapes& out) : out_(out) {}

    void add(const OGRGeometry& geometry) {
        const OGRwkbGeometryType type = wkbFlatten(geometry.getGeometryType());
        if (geometry.IsEmpty()) return;
        if (type == wkbPoint) {
            const auto& point = *geometry.toPoint();
            out_.paths.push_back({checked({point.getX(), point.getY()})});
        } else if (OGR_GT_IsSubClassOf(type, wkbLineString)) {
            out_.paths.push_back(chain(*geometry.toLineString()));
        } else if (OGR_GT_IsSubClassOf(type, wkbPolygon)) {
            add_polygon(*geometry.toPolygon());
        } else if (type == wkbMultiPolygon) {
            add_polygons(*geometry.toMultiPolygon());
        } else if (OGR_GT_IsSubClassOf(type, wkbPolyhedralSurface)) {
            for (const auto* part : *geometry.toPolyhedralSurface()) {
                add(*part);
            }
        } else if (OGR_GT_IsSubClassOf(type, wkbGeometryCollection)) {
            for (const auto* part : *geometry.toGeometryCollection()) {
                add(*part);
            }
        } else {
            throw UnusableGeometry{std::string("has a geometry of a kind that is not read: ") +
                                   geometry.getGeometryName()};
        }
    }

private:
    /// Valid parts do not overlap and can share a group; else each polygon is a group of its own.
    void add_polygons(const OGRMultiPolygon& polygons) {
        std::vector<std::vector<Chain>> each;
        for (const auto* polygon : polygons) {
            add_rings(*polygon, each.emplace_back());
        }
        if (proven_valid(each) || polygons.IsValid()) {
            std::vector<Chain>& together = out_.ring_groups.emplace_back();
            for (std::vector<Chain>& rings : each) {
                std::move(rings.begin(), rings.end(), std::back_inserter(together));
            }
            return;
        }
        for (const auto* polygon : polygons) {
            add(*polygon);
        }
    }

    void add_rings(const OGRPolygon& polygon, std::vector<Chain>& rings) {
        for (const auto* ring : polygon) {
            if (ring->IsEmpty()) continue;
            rings.push_back(chain(*ring));
            if (rings.back().front() != rings.back().back()) rings.back().push_back(rings.back().front());
        }
    }

    /// A polygon that crosses itself keeps all that lies inside by the even-odd rule, as it stands; repairs
    /// that count areas enclosed twice as inside, too, are added as further groups.
    void add_polygon(const OGRPolygon& polygon) {
        std::vector<std::vector<Chain>> whole(1);
        std::vector<Chain>& rings = whole.front();
        add_rings(polygon, rings);
        if (proven_valid(whole) || polygon.IsValid()) {
            out_.ring_groups.push_back(std::move(rings));
            return;
        }
        if (!crosses_often(rings, most_repaired_crossings)) {
            out_.ring_groups.push_back(std::move(rings));
            add_repair_of(polygon);
            return;
        }
        std::vector<Chain> parts;
        const bool untangled = std::all_of(rings.begin(), rings.end(), [&](const Chain& ring) {
            return split_at_crossings(ring, most_halvings, parts);
        });
        if (!untangled) {
            add_hull_of(polygon);
            return;
        }
        out_.ring_groups.push_back(std::move(rings));
        for (const Chain& part : parts) {
            add_repair_of(polygon_of(part));
        }
    }

    void add_repair_of(const OGRPolygon& polygon) {
        CPLStringList options;
        options.SetNameValue("METHOD", "STRUCTURE");
        options.SetNameValue("KEEP_COLLAPSED", "YES");
        const std::unique_ptr<OGRGeometry> repaired(polygon.MakeValid(options.List()));
        if (!repaired || repaired->IsEmpty()) throw UnusableGeometry{"is a polygon that cannot be repaired"};
        add_repaired(*repaired);
    }

    void add_hull_of(const OGRPolygon& polygon) {
        const std::unique_ptr<OGRGeometry> hull(polygon.ConvexHull());
        if (!hull || hull->IsEmpty()) throw UnusableGeometry{"is a polygon that cannot be repaired"};
        add_repaired(*hull);
    }

    void add_repaired(const OGRGeometry& geometry) {
        const OGRwkbGeometryType type = wkbFlatten(geometry.getGeometryType());
        if (type == wkbPolygon) {
            std::vector<Chain> rings;
            add_rings(*geometry.toPolygon(), rings);
            out_.ring_groups.push_back(std::move(rings));
        } else if (OGR_GT_IsSubClassOf(type, wkbGeometryCollection)) {
            for (const auto* part : *geometry.toGeometryCollection()) {
                add_repaired(*part);
            }
        } else {
            add(geometry);
        }
    }

    static GridPoint checked(GridPoint p) {
        if (!(std::abs(p.x) <= farthest_coordinate && std::abs(p.y) <= farthest_coordinate)) {
            throw UnusableGeometry{"has a vertex that is not a number or beyond any place"};
        }
        return p;
    }

    static Chain chain(const OGRSimpleCurve& curve) {
        Chain points;
        points.reserve(static_cast<std::size_t>(curve.getNumPoints()));
        for (int i = 0; i < curve.getNumPoints(); ++i) {
            points.push_back(checked({curve.getX(i), curve.getY(i)}));
        }
        return points;
    }

    Shapes& out_;
};

} // namespace

Shapes shapes_of(const OGRGeometry& geometry) {
    Shapes out;
    GeometrySplitter(out).add(geometry);
    if (out.paths.empty() && out.ring_groups.empty()) throw UnusableGeometry{"has an empty geometry"};
    return out;
}

} // namespace swingroom
