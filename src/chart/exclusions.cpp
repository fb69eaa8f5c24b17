#include "swingroom/chart/exclusions.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/chart/georeference.hpp"

#include "planar.hpp"

#include <geos_c.h>
#include <proj.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <memory>
#include <numbers>
#include <utility>

// Buffers are made in an azimuthal equidistant plane around the raster's centre. Distances in it are never
// shorter than on the ground and at most c / sin c longer at an arc of c from the centre, so a margin times
// that factor contains the true one. On the ellipsoid, the radius that bounds c is the least radius of
// curvature, b^2 / a: a shorter radius bends geodesics more (Sturm's comparison theorem for the reduced
// length).

namespace swingroom {
namespace {

constexpr double least_curvature_radius_m = 6335439; // WGS 84: b^2 / a
constexpr double widest_arc = 2.5;                   // radians from the centre
constexpr int quadrant_segments = 16;
/// GEOS smooths its input by up to this part of the buffer's width.
constexpr double smoothing = 0.01;
/// Edges may stray by this where a straight line in one plane is drawn straight in another.
constexpr double stray_m = 0.1;
constexpr double short_edge_m = 100; // strays by under a millimetre below 80 degrees of latitude
/// For seven decimals of a degree and for short edges.
constexpr double rounding_m = 0.05;
/// A buffer's cost grows with vertices times how many edges its width spans; above this it is simplified
/// first.
constexpr double most_work = 50'000;
constexpr std::size_t most_together = 200;
/// ... and with crossings, which simplifying need not lessen: above this the convex hull is drawn.
constexpr std::size_t most_crossings = 300;

double plane_scale(double away_m) {
    const double c = away_m / least_curvature_radius_m;
    return c < 1e-6 ? 1 + 1e-12 : c / std::sin(c);
}

/// Width of the buffer to ask for, so that flat arcs and smoothing stay outside `reach_m`.
double drawn_width_m(double reach_m) {
    return reach_m * (1 + smoothing) / std::cos(std::numbers::pi / (4 * quadrant_segments));
}

struct DestroyContext {
    void operator()(PJ_CONTEXT* c) const noexcept { proj_context_destroy(c); }
};
struct DestroyPj {
    void operator()(PJ* p) const noexcept { proj_destroy(p); }
};

/// The plane around a position, in metres.
class LocalPlane {
public:
    explicit LocalPlane(LonLat centre) : context_(proj_context_create()), centre_(centre) {
        proj_log_level(context_.get(), PJ_LOG_NONE);
        const auto number = [](double v) {
            // Whole microdegrees: no locale, no exponent.
            const auto micro = std::llround(std::abs(v) * 1e6);
            std::string digits = std::to_string(micro);
            if (digits.size() < 7) digits.insert(0, 7 - digits.size(), '0');
            digits.insert(digits.size() - 6, ".");
            return (v < 0 ? "-" : "") + digits;
        };
        const std::string text =
            "+proj=aeqd +datum=WGS84 +lat_0=" + number(centre.lat) + " +lon_0=" + number(centre.lon);
        pj_.reset(proj_create(context_.get(), text.c_str()));
        if (!pj_) throw IoError("PROJ", "cannot make an azimuthal equidistant plane");
    }
    [[nodiscard]] GridPoint metres(GridPoint lonlat) const {
        const PJ_COORD c =
            proj_trans(pj_.get(), PJ_FWD, proj_coord(proj_torad(lonlat.x), proj_torad(lonlat.y), 0, 0));
        return {c.xy.x, c.xy.y};
    }
    /// Longitude within 180 degrees of the centre's.
    [[nodiscard]] GridPoint lonlat(GridPoint metres) const {
        const PJ_COORD c = proj_trans(pj_.get(), PJ_INV, proj_coord(metres.x, metres.y, 0, 0));
        const double lon = proj_todeg(c.xy.x);
        return {lon - 360 * std::round((lon - centre_.lon) / 360), proj_todeg(c.xy.y)};
    }

private:
    std::unique_ptr<PJ_CONTEXT, DestroyContext> context_;
    std::unique_ptr<PJ, DestroyPj> pj_;
    LonLat centre_;
};

GridPoint middle(GridPoint a, GridPoint b) { return {(a.x + b.x) / 2, (a.y + b.y) / 2}; }
double distance(GridPoint a, GridPoint b) { return std::hypot(a.x - b.x, a.y - b.y); }

/// GEOS with one context; its errors become ours where a null comes back.
class Geos {
public:
    Geos() : context_(GEOS_init_r()) {} // without handlers it says nothing
    ~Geos() { GEOS_finish_r(context_); }
    Geos(const Geos&) = delete;
    Geos& operator=(const Geos&) = delete;
    [[nodiscard]] GEOSContextHandle_t get() const { return context_; }

private:
    GEOSContextHandle_t context_;
};

struct DestroyGeometry {
    GEOSContextHandle_t context = nullptr;
    void operator()(GEOSGeometry* g) const noexcept { GEOSGeom_destroy_r(context, g); }
};
using Geometry = std::unique_ptr<GEOSGeometry, DestroyGeometry>;

/// Builds and buffers geometries in the plane. Null results mean that GEOS could not do it.
class Buffers {
public:
    [[nodiscard]] Geometry buffered(const Geometry& shape, double width_m) const {
        return shape ? own(GEOSBuffer_r(geos_.get(), shape.get(), width_m, quadrant_segments)) : own(nullptr);
    }
    [[nodiscard]] Geometry hull(const std::vector<Chain>& chains) const {
        Chain all;
        for (const Chain& chain : chains)
            all.insert(all.end(), chain.begin(), chain.end());
        all.push_back(all.back()); // a line has two vertices
        const Geometry line = own(GEOSGeom_createLineString_r(geos_.get(), sequence(all)));
        return line ? own(GEOSConvexHull_r(geos_.get(), line.get())) : own(nullptr);
    }
    /// Paths and polygons in one collection. Where rings had to be repaired their outlines are added, so that
    /// nothing of them depends on the repair.
    [[nodiscard]] Geometry collected(const std::vector<Chain>& paths, const std::vector<Chain>& rings) const {
        std::vector<GEOSGeometry*> parts;
        const auto add_line = [&](const Chain& chain) {
            parts.push_back(chain.size() == 1 ? GEOSGeom_createPoint_r(geos_.get(), sequence(chain))
                                              : GEOSGeom_createLineString_r(geos_.get(), sequence(chain)));
        };
        std::for_each(paths.begin(), paths.end(), add_line);
        bool sound = true;
        if (Geometry inside = area(rings, sound)) parts.push_back(inside.release());
        if (!sound) std::for_each(rings.begin(), rings.end(), add_line);
        const bool whole = std::find(parts.begin(), parts.end(), nullptr) == parts.end();
        if (!whole) {
            for (GEOSGeometry* part : parts)
                if (part) GEOSGeom_destroy_r(geos_.get(), part);
            return own(nullptr);
        }
        return own(GEOSGeom_createCollection_r(geos_.get(), GEOS_GEOMETRYCOLLECTION, parts.data(),
                                               static_cast<unsigned>(parts.size())));
    }
    /// The rings of each polygon in a result.
    template <class Take>
    void each_polygon(const Geometry& shape, Take&& take) const {
        const int count = GEOSGetNumGeometries_r(geos_.get(), shape.get());
        for (int i = 0; i < count; ++i) {
            const GEOSGeometry* polygon = GEOSGetGeometryN_r(geos_.get(), shape.get(), i);
            if (GEOSGeomTypeId_r(geos_.get(), polygon) != GEOS_POLYGON) continue;
            std::vector<Chain> rings{points(GEOSGetExteriorRing_r(geos_.get(), polygon))};
            const int holes = GEOSGetNumInteriorRings_r(geos_.get(), polygon);
            for (int h = 0; h < holes; ++h)
                rings.push_back(points(GEOSGetInteriorRingN_r(geos_.get(), polygon, h)));
            take(rings);
        }
    }

private:
    [[nodiscard]] Geometry own(GEOSGeometry* raw) const { return {raw, DestroyGeometry{geos_.get()}}; }

    [[nodiscard]] GEOSCoordSequence* sequence(const Chain& chain) const {
        GEOSCoordSequence* const made =
            GEOSCoordSeq_create_r(geos_.get(), static_cast<unsigned>(chain.size()), 2);
        for (unsigned i = 0; made && i < chain.size(); ++i)
            GEOSCoordSeq_setXY_r(geos_.get(), made, i, chain[i].x, chain[i].y);
        return made;
    }
    [[nodiscard]] Chain points(const GEOSGeometry* ring) const {
        const GEOSCoordSequence* const coordinates = GEOSGeom_getCoordSeq_r(geos_.get(), ring);
        unsigned count = 0;
        GEOSCoordSeq_getSize_r(geos_.get(), coordinates, &count);
        Chain out(count);
        for (unsigned i = 0; i < count; ++i)
            GEOSCoordSeq_getXY_r(geos_.get(), coordinates, i, &out[i].x, &out[i].y);
        return out;
    }
    /// The inside of rings by the even-odd rule; null if they enclose nothing.
    /// @param sound  false when that took a repair, or when rings that enclose nothing were left out
    [[nodiscard]] Geometry area(const std::vector<Chain>& rings, bool& sound) const {
        std::vector<GEOSGeometry*> outlines;
        for (const Chain& ring : rings) {
            GEOSGeometry* made =
                ring.size() >= 4 ? GEOSGeom_createLinearRing_r(geos_.get(), sequence(ring)) : nullptr;
            if (made)
                outlines.push_back(made);
            else
                sound = false;
        }
        if (outlines.empty()) return own(nullptr);
        Geometry polygon = own(GEOSGeom_createPolygon_r(geos_.get(), outlines.front(), outlines.data() + 1,
                                                        static_cast<unsigned>(outlines.size() - 1)));
        if (polygon && GEOSisValid_r(geos_.get(), polygon.get()) == 1) return polygon;
        sound = false;
        // It nodes all rings and then lets inside and outside alternate, also where "holes" lie beside the
        // shell.
        return polygon ? own(GEOSMakeValid_r(geos_.get(), polygon.get())) : std::move(polygon);
    }

    Geos geos_;
};

/// Paths and rings of a hazard, or some of them, in the plane.
struct Outlines {
    std::vector<Chain> paths, rings;
    double stray_m = 0; ///< how far they may lie from the true ones

    template <class Each>
    void each_chain(Each&& each) {
        for (auto* chains : {&paths, &rings})
            for (Chain& chain : *chains)
                each(chain);
    }
    /// What a buffer of this width would cost: each vertex, and each edge that its offset may cross.
    [[nodiscard]] double work(double width_m) const {
        double vertices = 0, length_m = 0;
        for (const auto* chains : {&paths, &rings})
            for (const Chain& chain : *chains) {
                vertices += static_cast<double>(chain.size());
                for (std::size_t i = 0; i + 1 < chain.size(); ++i)
                    length_m += distance(chain[i], chain[i + 1]);
            }
        return length_m > 0 ? vertices * (1 + width_m * vertices / length_m) : vertices;
    }
};

/// Fewer vertices, none of the old ones further than `tolerance_m` from the new edge that stands for it.
/// Sliding each old vertex to its new edge sweeps no point that is further than that from the new outline, so
/// a buffer widened by the deviation holds the old inside as well.
/// @returns the greatest deviation
double simplify(Chain& chain, double tolerance_m) {
    constexpr std::size_t most = 64;
    if (chain.size() < 3) return 0;
    Chain kept{chain.front()};
    double deviation = 0;
    for (std::size_t i = 0; i + 1 < chain.size();) {
        std::size_t end = i + 1;
        double reached = 0;
        for (std::size_t next = i + 2; next < chain.size() && next - i <= most; ++next) {
            double stray = 0;
            for (std::size_t k = i + 1; k < next && stray <= tolerance_m; ++k)
                stray = std::max(stray, distance_to_segment(chain[k], chain[i], chain[next]));
            if (stray > tolerance_m) break;
            end = next;
            reached = stray;
        }
        deviation = std::max(deviation, reached);
        kept.push_back(chain[end]);
        i = end;
    }
    chain = std::move(kept);
    return deviation;
}

class Drawing {
public:
    Drawing(const Grid& grid, std::string source, const std::function<void(Exclusion&&)>& deliver)
        : source_(std::move(source)), deliver_(deliver), georeference_(grid, source_),
          plane_(centre_of(grid, georeference_)) {}

    void draw(const Hazard& hazard) {
        hazard_ = &hazard;
        const std::size_t chains = hazard.paths.size() + hazard.rings.size();
        if (chains <= most_together) {
            draw(outlines(hazard.paths, hazard.rings), false);
            return;
        }
        for (const Chain& path : hazard.paths)
            draw(outlines({path}, {}), false);
        if (hazard.rings.size() <= 5 * most_together) {
            draw(outlines({}, hazard.rings), false);
            return;
        }
        // Very many rings: each as its hull, holes and all.
        for (const Chain& ring : hazard.rings)
            draw(outlines({}, {ring}), true);
    }

private:
    /// In the same turn of longitude as everything else of the raster.
    static LonLat centre_of(const Grid& grid, const Georeference& georeference) {
        GridPoint centre{grid.cols / 2.0, grid.rows / 2.0};
        georeference.to_lonlat_unwrapped({&centre, 1});
        return {centre.x, centre.y};
    }

    Outlines outlines(const std::vector<Chain>& paths, const std::vector<Chain>& rings) const {
        Outlines out;
        for (const Chain& path : paths)
            if (!path.empty()) out.paths.push_back(placed(path, out.stray_m));
        for (const Chain& ring : rings) {
            if (ring.empty()) continue;
            Chain closed = ring;
            if (closed.front() != closed.back()) closed.push_back(closed.front());
            out.rings.push_back(placed(closed, out.stray_m));
        }
        return out;
    }

    [[nodiscard]] GridPoint placed(GridPoint in_grid) const {
        georeference_.to_lonlat_unwrapped({&in_grid, 1});
        return plane_.metres(in_grid);
    }

    /// A chain in the plane, with vertices between where its edges, straight in the grid, would stray.
    Chain placed(const Chain& chain, double& stray) const {
        Chain out{placed(chain.front())};
        for (std::size_t i = 0; i + 1 < chain.size(); ++i) {
            const GridPoint to = placed(chain[i + 1]);
            place_edge(chain[i], chain[i + 1], out.back(), to, 12, stray, out);
        }
        return out;
    }
    void place_edge(GridPoint from, GridPoint to, GridPoint a, GridPoint b, int halvings, double& stray,
                    Chain& out) const {
        if (distance(a, b) > short_edge_m) {
            const GridPoint half = middle(from, to), on = placed(half);
            const double here = distance_to_segment(on, a, b);
            if (halvings > 0 &&
                (here > stray_m / 2 || halvings == 12)) { // one look at the middle can be deceived
                place_edge(from, half, a, on, halvings - 1, stray, out);
                place_edge(half, to, on, b, halvings - 1, stray, out);
                return;
            }
            stray = std::max(stray, 2 * here);
        }
        out.push_back(b);
    }

    void draw(Outlines shape, bool as_hull) {
        double away_m = 0;
        bool any = false;
        shape.each_chain([&](const Chain& chain) {
            for (const GridPoint p : chain)
                away_m = std::max(away_m, std::hypot(p.x, p.y));
            any = true;
        });
        if (!any) return;
        const double bare_m = hazard_->margin_m + hazard_->slack_m;
        if (!((away_m + bare_m) / least_curvature_radius_m < widest_arc))
            throw InputError(source_ + ", hazard " + hazard_->label,
                             "spans too much of the globe to be drawn",
                             "give the part that you need with --bounds, or leave exclusions out");
        double reach_m = bare_m * plane_scale(away_m + bare_m) + shape.stray_m + 2 * stray_m + rounding_m;
        for (double tolerance_m = std::max(0.25, reach_m / 100); !as_hull && shape.work(reach_m) > most_work;
             tolerance_m *= 2) {
            double deviation_m = 0;
            shape.each_chain(
                [&](Chain& c) { deviation_m = std::max(deviation_m, simplify(c, tolerance_m)); });
            reach_m += deviation_m;
            // Too many small parts: no simplifying helps.
            as_hull = tolerance_m > 1000 + 10 * bare_m;
        }
        std::vector<Chain> all = shape.paths;
        all.insert(all.end(), shape.rings.begin(), shape.rings.end());
        as_hull = as_hull || crosses_often(all, most_crossings);
        const double width_m = drawn_width_m(reach_m);
        Geometry drawn =
            as_hull ? Geometry() : buffers_.buffered(buffers_.collected(shape.paths, shape.rings), width_m);
        if (!drawn) drawn = buffers_.buffered(buffers_.hull(all), width_m);
        if (!drawn) throw IoError(source_ + ", hazard " + hazard_->label, "its danger could not be drawn");
        buffers_.each_polygon(drawn, [&](const std::vector<Chain>& rings) { hand_over(rings); });
    }

    void hand_over(const std::vector<Chain>& rings) const {
        Exclusion out{hazard_->kind, hazard_->label, hazard_->effects, hazard_->margin_m, {}};
        for (const Chain& ring : rings) {
            Chain degrees{plane_.lonlat(ring.front())};
            for (std::size_t i = 0; i + 1 < ring.size(); ++i)
                degree_edge(ring[i], ring[i + 1], degrees.back(), plane_.lonlat(ring[i + 1]), 12, degrees);
            degrees.back() = degrees.front();
            out.rings.push_back(std::move(degrees));
        }
        deliver_(std::move(out));
    }
    /// The other way about: an edge that is straight in the plane, drawn straight in degrees.
    void degree_edge(GridPoint from, GridPoint to, GridPoint a, GridPoint b, int halvings, Chain& out) const {
        if (halvings > 0 && distance(from, to) > short_edge_m &&
            (halvings == 12 || distance_to_segment(plane_.metres(middle(a, b)), from, to) > stray_m / 2)) {
            const GridPoint half = middle(from, to), on = plane_.lonlat(half);
            degree_edge(from, half, a, on, halvings - 1, out);
            degree_edge(half, to, on, b, halvings - 1, out);
            return;
        }
        out.push_back(b);
    }

    std::string source_;
    const std::function<void(Exclusion&&)>& deliver_;
    Georeference georeference_;
    LocalPlane plane_;
    Buffers buffers_;
    const Hazard* hazard_ = nullptr;
};

} // namespace

void each_exclusion(std::span<const Hazard> hazards, const Grid& grid, const std::string& source,
                    const std::function<void(Exclusion&&)>& deliver) {
    Drawing drawing(grid, source, deliver);
    for (const Hazard& hazard : hazards)
        if (hazard.effects != 0) drawing.draw(hazard);
}

double exclusion_excess_m(const Hazard& hazard, double away_m) {
    const double bare_m = hazard.margin_m + hazard.slack_m;
    return drawn_width_m(bare_m * plane_scale(away_m + bare_m) + 4 * stray_m + rounding_m) - bare_m +
           2 * stray_m;
}

} // namespace swingroom
