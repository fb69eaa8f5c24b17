#include "geos.hpp"

#include "swingroom/base/error.hpp"

#include <algorithm>
#include <deque>
#include <iterator>
#include <new>
#include <optional>
#include <utility>

namespace swingroom {

Geos::Geos() : context_(GEOS_init_r()) { // without handlers it says nothing
    if (!context_) throw std::bad_alloc();
}
Geos::~Geos() { GEOS_finish_r(context_); }

Geometry Geos::polygon(const std::vector<Chain>& rings) const {
    std::vector<GEOSGeometry*> outlines;
    for (const Chain& ring : rings)
        if (GEOSGeometry* const made = GEOSGeom_createLinearRing_r(context_, sequence(ring)))
            outlines.push_back(made);
    if (outlines.empty()) return own(nullptr);
    return own(GEOSGeom_createPolygon_r(context_, outlines.front(), outlines.data() + 1,
                                        static_cast<unsigned>(outlines.size() - 1)));
}

Geometry Geos::inside(const std::vector<Chain>& rings) const {
    std::vector<Chain> whole;
    std::copy_if(rings.begin(), rings.end(), std::back_inserter(whole),
                 [](const Chain& ring) { return ring.size() >= 4; });
    Geometry made = polygon(whole);
    if (!made || GEOSisValid_r(context_, made.get()) == 1) return made;
    // It nodes all rings and then lets inside and outside alternate, also where "holes" lie beside the shell.
    return own(GEOSMakeValid_r(context_, made.get()));
}

Chain Geos::hull(const std::vector<Chain>& chains) const {
    Chain all;
    for (const Chain& chain : chains)
        all.insert(all.end(), chain.begin(), chain.end());
    all.push_back(all.back()); // a line has two vertices
    const Geometry line = own(GEOSGeom_createLineString_r(context_, sequence(all)));
    const Geometry hull = line ? own(GEOSConvexHull_r(context_, line.get())) : own(nullptr);
    Chain ring;
    each_polygon(hull, [&](std::vector<Chain> rings) { ring = std::move(rings.front()); });
    return ring;
}

Geometry Geos::buffered(const std::vector<Chain>& lines, const std::vector<Geometry>& polygons, double width,
                        int quadrant_segments) const {
    std::vector<Geometry> parts;
    for (const Chain& line : lines)
        parts.push_back(own(line.size() == 1 ? GEOSGeom_createPoint_r(context_, sequence(line))
                                             : GEOSGeom_createLineString_r(context_, sequence(line))));
    for (const Geometry& polygon : polygons)
        if (polygon) parts.push_back(own(GEOSGeom_clone_r(context_, polygon.get())));
    const Geometry all = collected(std::move(parts));
    return all ? own(GEOSBuffer_r(context_, all.get(), width, quadrant_segments)) : own(nullptr);
}

Geometry Geos::united(std::vector<Geometry> parts, double snap) const {
    const Geometry all = collected(std::move(parts));
    if (!all) throw std::bad_alloc();
    Geometry together = own(GEOSUnaryUnion_r(context_, all.get()));
    if (!together) together = own(GEOSUnaryUnionPrec_r(context_, all.get(), snap));
    if (!together) throw IoError("GEOS", "polygons could not be joined");
    return together;
}

GridPoint Geos::inner_point(const Geometry& polygon) const {
    const Geometry point = own(GEOSPointOnSurface_r(context_, polygon.get()));
    GridPoint p;
    if (!point || GEOSGeomGetX_r(context_, point.get(), &p.x) != 1 ||
        GEOSGeomGetY_r(context_, point.get(), &p.y) != 1)
        throw IoError("GEOS", "no point could be found inside a polygon");
    return p;
}

namespace {

/// A polygon that is asked often whether it holds a point.
struct Candidate {
    GEOSContextHandle_t context = nullptr;
    const GEOSPreparedGeometry* prepared = nullptr;
    std::size_t number = 0;
};
struct DestroyTree {
    GEOSContextHandle_t context = nullptr;
    void operator()(GEOSSTRtree* tree) const noexcept { GEOSSTRtree_destroy_r(context, tree); }
};
/// The question, and the answer as far as it is known.
struct Search {
    const GEOSGeometry* point = nullptr;
    std::optional<std::size_t> found;
};

void look_into(void* item, void* of) {
    const auto& candidate = *static_cast<const Candidate*>(item);
    auto& search = *static_cast<Search*>(of);
    if (!search.found && GEOSPreparedIntersects_r(candidate.context, candidate.prepared, search.point) == 1)
        search.found = candidate.number;
}

} // namespace

std::vector<std::size_t> Geos::polygons_around(const Geometry& polygons,
                                               const std::vector<GridPoint>& points) const {
    constexpr std::size_t node_capacity = 10;
    const std::unique_ptr<GEOSSTRtree, DestroyTree> tree(GEOSSTRtree_create_r(context_, node_capacity),
                                                         DestroyTree{context_});
    if (!tree) throw std::bad_alloc();
    std::deque<Candidate> candidates; // the tree keeps their places
    each_part(polygons, [&](const GEOSGeometry* part) {
        candidates.push_back({context_, GEOSPrepare_r(context_, part), candidates.size()});
        GEOSSTRtree_insert_r(context_, tree.get(), part, &candidates.back());
    });
    std::vector<std::size_t> numbers;
    for (const GridPoint p : points) {
        const Geometry point = own(GEOSGeom_createPointFromXY_r(context_, p.x, p.y));
        Search search{point.get(), {}};
        GEOSSTRtree_query_r(context_, tree.get(), point.get(), look_into, &search);
        numbers.push_back(search.found.value_or(candidates.size()));
    }
    for (const Candidate& candidate : candidates)
        GEOSPreparedGeom_destroy_r(context_, candidate.prepared);
    return numbers;
}

GEOSCoordSequence* Geos::sequence(const Chain& chain) const {
    GEOSCoordSequence* const made = GEOSCoordSeq_create_r(context_, static_cast<unsigned>(chain.size()), 2);
    if (!made) throw std::bad_alloc();
    for (unsigned i = 0; i < chain.size(); ++i)
        GEOSCoordSeq_setXY_r(context_, made, i, chain[i].x, chain[i].y);
    return made;
}

Chain Geos::points(const GEOSGeometry* ring) const {
    const GEOSCoordSequence* const coordinates = GEOSGeom_getCoordSeq_r(context_, ring);
    unsigned count = 0;
    GEOSCoordSeq_getSize_r(context_, coordinates, &count);
    Chain out(count);
    for (unsigned i = 0; i < count; ++i)
        GEOSCoordSeq_getXY_r(context_, coordinates, i, &out[i].x, &out[i].y);
    return out;
}

std::vector<Chain> Geos::rings_of(const GEOSGeometry* polygon) const {
    std::vector<Chain> rings{points(GEOSGetExteriorRing_r(context_, polygon))};
    const int holes = GEOSGetNumInteriorRings_r(context_, polygon);
    for (int h = 0; h < holes; ++h)
        rings.push_back(points(GEOSGetInteriorRingN_r(context_, polygon, h)));
    return rings;
}

Geometry Geos::collected(std::vector<Geometry> parts) const {
    std::vector<GEOSGeometry*> raw;
    for (Geometry& part : parts)
        if (part) raw.push_back(part.release());
    return own(GEOSGeom_createCollection_r(context_, GEOS_GEOMETRYCOLLECTION, raw.data(),
                                           static_cast<unsigned>(raw.size())));
}

} // namespace swingroom
