#include "sea/geometry/geos.hpp"

#include "swingroom/base/error.hpp"

#include <algorithm>
#include <deque>
#include <functional>
#include <iterator>
#include <map>
#include <new>
#include <numeric>
#include <optional>
#include <queue>
#include <tuple>
#include <utility>

namespace swingroom {

Geos::Geos() : context_(GEOS_init_r()) { // without handlers it says nothing
    if (!context_) throw std::bad_alloc();
}
Geos::~Geos() { GEOS_finish_r(context_); }

Geometry Geos::polygon(const std::vector<Chain>& rings) const {
    std::vector<GEOSGeometry*> outlines;
    for (const Chain& ring : rings) {
        if (GEOSGeometry* const made = GEOSGeom_createLinearRing_r(context_, sequence(ring))) {
            outlines.push_back(made);
        }
    }
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
    for (const Chain& chain : chains) {
        all.insert(all.end(), chain.begin(), chain.end());
    }
    all.push_back(all.back()); // a line has two vertices
    const Geometry line = own(GEOSGeom_createLineString_r(context_, sequence(all)));
    const Geometry hull = line ? own(GEOSConvexHull_r(context_, line.get())) : own(nullptr);
    Chain ring;
    each_polygon(hull, [&](std::vector<Chain> rings) { ring = std::move(rings.front()); });
    return ring;
}

Chain Geos::with_fewer_corners(const Chain& ring, double share, bool outwards) const {
    const Geometry whole = polygon({ring});
    if (!whole || GEOSisValid_r(context_, whole.get()) != 1) return {};
    const Geometry hull = own(GEOSPolygonHullSimplify_r(context_, whole.get(), outwards ? 1 : 0, share));
    if (!hull) return {};
    const GEOSGeometry *const large = outwards ? hull.get() : whole.get(), *const small = outwards
                                                                                              ? whole.get()
                                                                                              : hull.get();
    if (GEOSisValid_r(context_, hull.get()) != 1 || GEOSCovers_r(context_, large, small) != 1) return {};
    Chain fewer;
    each_polygon(hull, [&](std::vector<Chain> rings) { fewer = std::move(rings.front()); });
    return fewer;
}

Geometry Geos::buffered(const std::vector<Chain>& lines, const std::vector<Geometry>& polygons, double width,
                        int quadrant_segments) const {
    std::vector<Geometry> parts;
    for (const Chain& line : lines) {
        parts.push_back(own(line.size() == 1 ? GEOSGeom_createPoint_r(context_, sequence(line))
                                             : GEOSGeom_createLineString_r(context_, sequence(line))));
    }
    for (const Geometry& polygon : polygons) {
        if (polygon) parts.push_back(own(GEOSGeom_clone_r(context_, polygon.get())));
    }
    const Geometry all = collected(std::move(parts));
    return all ? own(GEOSBuffer_r(context_, all.get(), width, quadrant_segments)) : own(nullptr);
}

Geometry Geos::united(std::vector<Geometry> parts, double snap) const {
    if (parts.size() <= most_at_once) return joined(std::move(parts), snap);
    std::vector<Geometry> all;
    for (std::vector<Geometry>& neighbours : apart(std::move(parts))) {
        if (neighbours.size() == 1 && GEOSGeomTypeId_r(context_, neighbours.front().get()) == GEOS_POLYGON) {
            all.push_back(std::move(neighbours.front()));
            continue;
        }
        const Geometry together = joined(std::move(neighbours), snap);
        each_part(together,
                  [&](const GEOSGeometry* part) { all.push_back(own(GEOSGeom_clone_r(context_, part))); });
    }
    return collected(std::move(all));
}

namespace {

/// Numbers of things that hang together, by the first of each group.
class Groups {
public:
    explicit Groups(std::size_t count) : parent_(count) { std::iota(parent_.begin(), parent_.end(), 0); }
    std::size_t first_of(std::size_t i) {
        while (parent_[i] != i) {
            i = parent_[i] = parent_[parent_[i]];
        }
        return i;
    }
    void join(std::size_t a, std::size_t b) {
        a = first_of(a);
        b = first_of(b);
        parent_[std::max(a, b)] = std::min(a, b);
    }

private:
    std::vector<std::size_t> parent_;
};

/// A box and the number of what lies in it.
struct Numbered {
    Bounds box;
    std::size_t number = 0;
};

} // namespace

std::vector<std::vector<Geometry>> Geos::apart(std::vector<Geometry> parts) const {
    std::vector<Numbered> boxes;
    for (std::size_t i = 0; i < parts.size(); ++i) {
        Bounds box;
        if (parts[i] && GEOSisEmpty_r(context_, parts[i].get()) == 0 &&
            GEOSGeom_getXMin_r(context_, parts[i].get(), &box.left) == 1 &&
            GEOSGeom_getXMax_r(context_, parts[i].get(), &box.right) == 1 &&
            GEOSGeom_getYMin_r(context_, parts[i].get(), &box.low) == 1 &&
            GEOSGeom_getYMax_r(context_, parts[i].get(), &box.high) == 1) {
            boxes.push_back({box, i});
        }
    }
    // From left to right, against those that reach as far as the next one begins: by their low sides.
    std::sort(boxes.begin(), boxes.end(), [](const Numbered& a, const Numbered& b) {
        return std::tie(a.box.left, a.number) < std::tie(b.box.left, b.number);
    });
    Groups groups(parts.size());
    std::multimap<double, const Numbered*> open; // by their low sides
    std::priority_queue<std::pair<double, const Numbered*>, std::vector<std::pair<double, const Numbered*>>,
                        std::greater<>>
        closing;        // by their right sides
    double highest = 0; // of all so far
    for (const Numbered& box : boxes) {
        for (; !closing.empty() && closing.top().first < box.box.left; closing.pop()) {
            const auto [begin, end] = open.equal_range(closing.top().second->box.low);
            const auto gone = std::find_if(
                begin, end, [&](const auto& entry) { return entry.second == closing.top().second; });
            if (gone != end) open.erase(gone);
        }
        highest = std::max(highest, box.box.high - box.box.low);
        for (auto other = open.lower_bound(box.box.low - highest);
             other != open.end() && other->first <= box.box.high; ++other) {
            if (other->second->box.high >= box.box.low) groups.join(box.number, other->second->number);
        }
        open.emplace(box.box.low, &box);
        closing.emplace(box.box.right, &box);
    }
    std::map<std::size_t, std::vector<Geometry>> by_first;
    for (std::size_t i = 0; i < parts.size(); ++i) {
        if (parts[i]) by_first[groups.first_of(i)].push_back(std::move(parts[i]));
    }
    std::vector<std::vector<Geometry>> all;
    for (auto& [first, group] : by_first) {
        all.push_back(std::move(group));
    }
    return all;
}

Geometry Geos::joined(std::vector<Geometry> parts, double snap) const {
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
        GEOSGeomGetY_r(context_, point.get(), &p.y) != 1) {
        throw IoError("GEOS", "no point could be found inside a polygon");
    }
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
    if (!search.found && GEOSPreparedIntersects_r(candidate.context, candidate.prepared, search.point) == 1) {
        search.found = candidate.number;
    }
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
    for (const Candidate& candidate : candidates) {
        GEOSPreparedGeom_destroy_r(context_, candidate.prepared);
    }
    return numbers;
}

GEOSCoordSequence* Geos::sequence(const Chain& chain) const {
    GEOSCoordSequence* const made = GEOSCoordSeq_create_r(context_, static_cast<unsigned>(chain.size()), 2);
    if (!made) throw std::bad_alloc();
    for (unsigned i = 0; i < chain.size(); ++i) {
        GEOSCoordSeq_setXY_r(context_, made, i, chain[i].x, chain[i].y);
    }
    return made;
}

Chain Geos::points(const GEOSGeometry* ring) const {
    const GEOSCoordSequence* const coordinates = GEOSGeom_getCoordSeq_r(context_, ring);
    unsigned count = 0;
    GEOSCoordSeq_getSize_r(context_, coordinates, &count);
    Chain out(count);
    for (unsigned i = 0; i < count; ++i) {
        GEOSCoordSeq_getXY_r(context_, coordinates, i, &out[i].x, &out[i].y);
    }
    return out;
}

std::vector<Chain> Geos::rings_of(const GEOSGeometry* polygon) const {
    std::vector<Chain> rings{points(GEOSGetExteriorRing_r(context_, polygon))};
    const int holes = GEOSGetNumInteriorRings_r(context_, polygon);
    for (int h = 0; h < holes; ++h) {
        rings.push_back(points(GEOSGetInteriorRingN_r(context_, polygon, h)));
    }
    return rings;
}

Geometry Geos::collected(std::vector<Geometry> parts) const {
    std::vector<GEOSGeometry*> raw;
    for (Geometry& part : parts) {
        if (part) raw.push_back(part.release());
    }
    return own(GEOSGeom_createCollection_r(context_, GEOS_GEOMETRYCOLLECTION, raw.data(),
                                           static_cast<unsigned>(raw.size())));
}

} // namespace swingroom
