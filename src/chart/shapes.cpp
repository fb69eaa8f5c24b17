#include "shapes.hpp"

#include <cpl_string.h>

#include <cmath>
#include <memory>
#include <utility>

namespace swingroom {
namespace {

/// A repair's cost grows with the crossings; a polygon with more is burnt by the even-odd rule as it stands,
/// which already covers all that is promised.
constexpr std::size_t most_repaired_crossings = 1000;
constexpr double farthest_coordinate = 1e15;

/// Takes geometries apart into chains.
class TakeApart {
public:
    explicit TakeApart(Shapes& out) : out_(out) {}

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
            for (const auto* part : *geometry.toPolyhedralSurface())
                add(*part);
        } else if (OGR_GT_IsSubClassOf(type, wkbGeometryCollection)) {
            for (const auto* part : *geometry.toGeometryCollection())
                add(*part);
        } else {
            throw UnusableGeometry{std::string("has a geometry of a kind that is not read: ") +
                                   geometry.getGeometryName()};
        }
    }

private:
    /// Valid parts do not overlap and can share a group; else each polygon is a group of its own.
    void add_polygons(const OGRMultiPolygon& polygons) {
        std::vector<Chain> together;
        for (const auto* polygon : polygons)
            add_rings(*polygon, together);
        if (polygons.IsValid()) {
            out_.ring_groups.push_back(std::move(together));
            return;
        }
        for (const auto* polygon : polygons)
            add(*polygon);
    }

    void add_rings(const OGRPolygon& polygon, std::vector<Chain>& rings) {
        for (const auto* ring : polygon) {
            if (ring->IsEmpty()) continue;
            rings.push_back(chain(*ring));
            if (rings.back().front() != rings.back().back()) rings.back().push_back(rings.back().front());
        }
    }

    /// A polygon that crosses itself keeps all that lies inside by the even-odd rule, as it stands; a repair
    /// that counts areas enclosed twice as inside, too, is added as further groups.
    void add_polygon(const OGRPolygon& polygon) {
        std::vector<Chain> rings;
        add_rings(polygon, rings);
        const bool repair = !polygon.IsValid() && !crosses_often(rings, most_repaired_crossings);
        out_.ring_groups.push_back(std::move(rings));
        if (!repair) return;
        CPLStringList options;
        options.SetNameValue("METHOD", "STRUCTURE");
        options.SetNameValue("KEEP_COLLAPSED", "YES");
        const std::unique_ptr<OGRGeometry> repaired(polygon.MakeValid(options.List()));
        if (!repaired || repaired->IsEmpty()) throw UnusableGeometry{"is a polygon that cannot be repaired"};
        add_repaired(*repaired);
    }

    void add_repaired(const OGRGeometry& geometry) {
        const OGRwkbGeometryType type = wkbFlatten(geometry.getGeometryType());
        if (type == wkbPolygon) {
            std::vector<Chain> rings;
            add_rings(*geometry.toPolygon(), rings);
            out_.ring_groups.push_back(std::move(rings));
        } else if (OGR_GT_IsSubClassOf(type, wkbGeometryCollection)) {
            for (const auto* part : *geometry.toGeometryCollection())
                add_repaired(*part);
        } else {
            add(geometry);
        }
    }

    static GridPoint checked(GridPoint p) {
        if (!(std::abs(p.x) <= farthest_coordinate && std::abs(p.y) <= farthest_coordinate))
            throw UnusableGeometry{"has a vertex that is not a number or beyond any place"};
        return p;
    }

    static Chain chain(const OGRSimpleCurve& curve) {
        Chain points;
        points.reserve(static_cast<std::size_t>(curve.getNumPoints()));
        for (int i = 0; i < curve.getNumPoints(); ++i)
            points.push_back(checked({curve.getX(i), curve.getY(i)}));
        return points;
    }

    Shapes& out_;
};

} // namespace

Shapes shapes_of(const OGRGeometry& geometry) {
    Shapes out;
    TakeApart(out).add(geometry);
    if (out.paths.empty() && out.ring_groups.empty()) throw UnusableGeometry{"has an empty geometry"};
    return out;
}

} // namespace swingroom
