#include "swingroom/chart/exclusions.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/chart/georeference.hpp"

#include "geos.hpp"
#include "operations.hpp"
#include "planar.hpp"

#include <proj.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <memory>
#include <numbers>
#include <optional>
#include <utility>

// A danger is the inside of a hazard's rings and a capsule, a segment with everything within the reach,
// around every edge of its outlines: the same as in room/hazard_field. The capsules are polygons drawn just
// outside the true ones, and GEOS joins them. A buffer of GEOS would do it at once, but it smooths what it is
// given by up to a hundredth of its width, and what it costs has no bound: capsules cost the same each,
// whatever they cross.
//
// They are drawn in an azimuthal equidistant plane around the hazard or a piece of it. Distances in it are
// never shorter than on the ground and at most c / sin c longer at an arc of c from the centre, so a margin
// times that factor contains the true one. On the ellipsoid, the radius that bounds c is the least radius of
// curvature, b^2 / a: a shorter radius bends geodesics more (Sturm's comparison theorem for the reduced
// length).

namespace swingroom {
namespace {

constexpr double least_curvature_radius_m = 6335439; // WGS 84: b^2 / a
constexpr double widest_arc = 2.5;                   // radians from the centre
/// What reaches further from its middle is drawn in pieces. There the plane stretches by 0.02 %.
constexpr double widest_m = 200'000, widest_piece_m = 100'000, longest_edge_m = 50'000;
/// Half a circle has as many straight edges as keep them within this part of its radius outside of it, or
/// within this length: more would be lost on a narrow margin.
constexpr double arc_excess = 0.0012, least_arc_excess_m = 0.05;
/// Edges may stray by this where a straight line in one plane is drawn straight in another.
constexpr double stray_m = 0.05;
constexpr double short_edge_m = 100; // strays by under a millimetre below 80 degrees of latitude
/// For seven decimals of a degree and for short edges.
constexpr double rounding_m = 0.05;
/// Vertices are left out where the outline strays by no more than this part of the reach or this length ...
constexpr double finest_simplifying = 1.0 / 2000, finest_simplifying_m = 0.02;
/// ... and by as much as it takes until a line has no more edges than this.
constexpr std::size_t most_edges = 20'000;
/// More rings than this are drawn each for itself, holes and all.
constexpr std::size_t most_rings = 1000;
/// Convex rings, grown, that are joined at a time.
constexpr std::size_t most_convex = 20'000;
/// Holes may be as many as crossings: where lines cross more often their convex hull is drawn. For the inside
/// of rings it is the repair that must be bounded.
constexpr std::size_t most_crossings = 20'000, most_repaired_crossings = 300;

/// A buffer of GEOS smooths by up to this part of its width. Where that and its arcs come to less than
/// `least_arc_excess_m`, and by its work (each vertex, and each edge that its offset may cross) and by the
/// crossings it is bounded, it is the quicker way.
constexpr double smoothing = 0.01;
constexpr int quadrant_segments = 16;
constexpr double most_buffer_work = 50'000;
constexpr std::size_t most_buffer_crossings = 300;

/// Width of the buffer to ask for, so that flat arcs and smoothing stay outside of the reach.
double buffer_width_m(double reach_m) {
    return reach_m * (1 + smoothing) / std::cos(std::numbers::pi / (4 * quadrant_segments));
}

double plane_scale(double away_m) {
    const double c = away_m / least_curvature_radius_m;
    return c < 1e-6 ? 1 + 1e-12 : c / std::sin(c);
}

int arc_edges(double reach_m) {
    const double excess = std::max(arc_excess, least_arc_excess_m / reach_m);
    return static_cast<int>(std::ceil(std::numbers::pi / (2 * std::acos(1 / (1 + excess)))));
}

/// A segment and everything within the reach, arcs drawn by the edges that touch them from outside.
Chain capsule(GridPoint a, GridPoint b, double reach_m) {
    const int edges = arc_edges(reach_m);
    const double step = std::numbers::pi / edges, radius_m = reach_m / std::cos(step / 2);
    const double course = std::atan2(b.y - a.y, b.x - a.x);
    Chain ring;
    ring.reserve(2 * static_cast<std::size_t>(edges) + 1);
    for (const bool ahead : {true, false}) {
        const GridPoint end = ahead ? b : a;
        const double first = course + (ahead ? -1 : 1) * std::numbers::pi / 2 + step / 2;
        for (int i = 0; i < edges; ++i)
            ring.push_back({end.x + radius_m * std::cos(first + i * step),
                            end.y + radius_m * std::sin(first + i * step)});
    }
    ring.push_back(ring.front());
    return ring;
}

/// Whether a closed ring turns one way only, and once.
bool is_convex(const Chain& ring) {
    if (ring.size() < 4) return false;
    const std::size_t edges = ring.size() - 1;
    double turned = 0, way = 0;
    for (std::size_t i = 0; i < edges; ++i) {
        const GridPoint a = ring[i], b = ring[i + 1], c = ring[(i + 1) % edges + 1];
        const double cross = (b.x - a.x) * (c.y - b.y) - (b.y - a.y) * (c.x - b.x);
        const double along = (b.x - a.x) * (c.x - b.x) + (b.y - a.y) * (c.y - b.y);
        if (cross == 0 && along <= 0) return false; // turns back upon itself
        if (cross * way < 0) return false;
        if (cross != 0) way = cross;
        turned += std::atan2(cross, along);
    }
    return std::abs(std::abs(turned) - 2 * std::numbers::pi) < 1e-6;
}

/// Whether a convex ring holds all vertices of another one.
bool encloses(const Chain& convex, const Chain& other) {
    return std::all_of(other.begin(), other.end(), [&](GridPoint p) {
        bool left = false, right = false;
        for (std::size_t i = 0; i + 1 < convex.size(); ++i) {
            const GridPoint a = convex[i], b = convex[i + 1];
            const double cross = (b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x);
            left = left || cross > 0;
            right = right || cross < 0;
        }
        return !(left && right);
    });
}

/// The inside of a convex ring and everything within the reach: what the capsules of its edges come to with
/// it, at a fraction of their vertices and without joining them.
Chain grown_convex(Chain ring, double reach_m) {
    double area = 0;
    for (std::size_t i = 0; i + 1 < ring.size(); ++i)
        area += (ring[i].x - ring[0].x) * (ring[i + 1].y - ring[0].y) -
                (ring[i + 1].x - ring[0].x) * (ring[i].y - ring[0].y);
    if (area < 0) std::reverse(ring.begin(), ring.end());
    const std::size_t edges = ring.size() - 1;
    const double widest_step = std::numbers::pi / arc_edges(reach_m);
    const auto normal = [&](std::size_t i) { // to the right of an edge: outwards
        return std::atan2(ring[i].x - ring[i + 1].x, ring[i + 1].y - ring[i].y);
    };
    Chain out;
    for (std::size_t i = 0; i < edges; ++i) {
        const double first = normal(i);
        double corner = normal((i + 1) % edges) - first;
        if (corner < 0) corner += 2 * std::numbers::pi;
        if (corner > 2 * std::numbers::pi - 1e-6) corner = 0; // straight on, but for rounding
        const int steps = std::max(1, static_cast<int>(std::ceil(corner / widest_step)));
        const double step = corner / steps, radius_m = reach_m / std::cos(step / 2);
        for (int k = 0; k < steps; ++k)
            out.push_back({ring[i + 1].x + radius_m * std::cos(first + (k + 0.5) * step),
                           ring[i + 1].y + radius_m * std::sin(first + (k + 0.5) * step)});
    }
    out.push_back(out.front());
    return out;
}

/// The plane around a position, in metres.
class LocalPlane {
public:
    explicit LocalPlane(LonLat centre) : context_(quiet_context()), centre_(centre) {
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

    [[nodiscard]] LonLat centre() const { return centre_; }

private:
    Context context_;
    Pj pj_;
    LonLat centre_;
};

GridPoint middle(GridPoint a, GridPoint b) { return {(a.x + b.x) / 2, (a.y + b.y) / 2}; }
double distance(GridPoint a, GridPoint b) { return std::hypot(a.x - b.x, a.y - b.y); }

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

/// A line or a ring in the plane.
struct Outline {
    Chain chain;
    double reach_m = 0;  ///< of the danger around it, with all that the chain strays
    bool filled = false; ///< stands for all that it encloses
};

/// Leaves out vertices that do not matter, and more where there are too many, at the cost of a wider reach.
void thin_out(Outline& outline, const Geos& geos) {
    const double reach_m = outline.reach_m;
    double tolerance_m = std::max(finest_simplifying_m, reach_m * finest_simplifying);
    outline.reach_m += simplify(outline.chain, tolerance_m);
    while (outline.chain.size() > most_edges + 1) {
        tolerance_m = std::max(0.1, 2 * tolerance_m);
        outline.reach_m += simplify(outline.chain, tolerance_m);
        if (tolerance_m < 1000 + 10 * reach_m) continue;
        // Too ragged at any size: no simplifying helps.
        if (Chain hull = geos.hull({outline.chain}); !hull.empty())
            outline = {std::move(hull), outline.reach_m, true};
        return;
    }
}

class Drawing {
public:
    Drawing(const Grid& grid, std::string source, const std::function<void(Exclusion&&)>& deliver)
        : source_(std::move(source)), deliver_(deliver), georeference_(grid, source_) {}

    void draw(const Hazard& hazard) {
        hazard_ = &hazard;
        const std::vector<Chain> paths = usable(hazard.paths), rings = closed(usable(hazard.rings));
        Bounds bounds;
        for (const auto* chains : {&paths, &rings})
            for (const Chain& chain : *chains)
                add_positions(chain, bounds);
        if (bounds.empty()) return;
        take_plane(bounds);
        const double away_m = away(paths, rings);
        if (away_m <= widest_m)
            draw(outlines(paths, away_m), outlines(rings, away_m));
        else
            draw_in_pieces(paths, rings, away_m);
    }

private:
    static std::vector<Chain> usable(std::vector<Chain> chains) {
        std::erase_if(chains, [](const Chain& chain) { return chain.empty(); });
        return chains;
    }
    static std::vector<Chain> closed(std::vector<Chain> rings) {
        for (Chain& ring : rings)
            if (ring.front() != ring.back()) ring.push_back(ring.front());
        return rings;
    }

    void add_positions(const Chain& chain, Bounds& bounds) const {
        for (const GridPoint p : chain)
            bounds.add(position(p));
    }
    /// Longitude and latitude, all of the raster's hazards in one turn.
    [[nodiscard]] GridPoint position(GridPoint in_grid) const {
        georeference_.to_lonlat_unwrapped({&in_grid, 1});
        return in_grid;
    }
    /// A plane around a box of degrees; the one at hand if that is near enough, since making one takes time.
    void take_plane(const Bounds& degrees) {
        const LonLat centre{(degrees.left + degrees.right) / 2, (degrees.low + degrees.high) / 2};
        if (!plane_ || geodesic(plane_->centre(), centre).distance_m > widest_m / 4 ||
            std::abs(plane_->centre().lon - centre.lon) > 180)
            plane_.emplace(centre);
    }
    /// How far the vertices lie from the plane's centre at the most.
    [[nodiscard]] double away(const std::vector<Chain>& paths, const std::vector<Chain>& rings) const {
        double away_m = 0;
        for (const auto* chains : {&paths, &rings})
            for (const Chain& chain : *chains)
                for (const GridPoint p : chain) {
                    const GridPoint at = plane_->metres(position(p));
                    away_m = std::max(away_m, std::hypot(at.x, at.y));
                }
        return away_m;
    }

    /// Each outline piece by piece, in planes of their own, and what rings enclose.
    void draw_in_pieces(const std::vector<Chain>& paths, const std::vector<Chain>& rings, double away_m) {
        draw_insides(outlines(rings, away_m));
        for (const auto* chains : {&paths, &rings})
            for (const Chain& chain : *chains)
                each_piece(chain, [&](const Chain& piece) {
                    Bounds bounds;
                    add_positions(piece, bounds);
                    take_plane(bounds);
                    draw(outlines({piece}, away({piece}, {})), {});
                });
    }
    template <class Take>
    void each_piece(const Chain& chain, Take&& take) const {
        Chain piece{chain.front()};
        LonLat start = lonlat(chain.front());
        const auto add = [&](GridPoint p) {
            const LonLat at = lonlat(p);
            if (piece.size() > 1 && geodesic(start, at).distance_m > widest_piece_m) {
                take(piece);
                piece = {piece.back()};
                start = lonlat(piece.back());
            }
            piece.push_back(p);
        };
        for (std::size_t i = 0; i + 1 < chain.size(); ++i) {
            const GridPoint a = chain[i], b = chain[i + 1];
            const double length_m = geodesic(lonlat(a), lonlat(b)).distance_m;
            // Twice as many: edges are straight in the grid, and not everywhere equally long on the ground.
            const int parts = static_cast<int>(std::ceil(2 * length_m / longest_edge_m)) + 1;
            for (int part = 1; part < parts; ++part) {
                const double t = static_cast<double>(part) / parts;
                add({a.x + t * (b.x - a.x), a.y + t * (b.y - a.y)});
            }
            add(b);
        }
        take(piece);
    }
    [[nodiscard]] LonLat lonlat(GridPoint in_grid) const {
        const GridPoint p = position(in_grid);
        return {p.x, p.y};
    }

    [[nodiscard]] std::vector<Outline> outlines(const std::vector<Chain>& chains, double away_m) const {
        const double bare_m = hazard_->margin_m + hazard_->slack_m;
        if (!((away_m + bare_m) / least_curvature_radius_m < widest_arc))
            throw InputError(source_ + ", hazard " + hazard_->label,
                             "spans too much of the globe to be drawn",
                             "give the part that you need with --bounds, or leave exclusions out");
        std::vector<Outline> out;
        for (const Chain& chain : chains) {
            double strayed_m = 0;
            Chain in_plane = placed(chain, strayed_m);
            const double reach_m = bare_m * plane_scale(away_m + bare_m);
            out.push_back({std::move(in_plane), reach_m + strayed_m + 2 * stray_m + rounding_m});
            thin_out(out.back(), geos_);
        }
        return out;
    }

    [[nodiscard]] GridPoint placed(GridPoint in_grid) const { return plane_->metres(position(in_grid)); }
    /// A chain in the plane, with vertices between where its edges, straight in the grid, would stray.
    Chain placed(const Chain& chain, double& strayed_m) const {
        Chain out{placed(chain.front())};
        for (std::size_t i = 0; i + 1 < chain.size(); ++i) {
            const GridPoint to = placed(chain[i + 1]);
            place_edge(chain[i], chain[i + 1], out.back(), to, most_halvings, strayed_m, out);
        }
        return out;
    }
    void place_edge(GridPoint from, GridPoint to, GridPoint a, GridPoint b, int halvings, double& strayed_m,
                    Chain& out) const {
        if (distance(a, b) > short_edge_m) {
            const GridPoint half = middle(from, to), on = placed(half);
            const double here = distance_to_segment(on, a, b);
            if (halvings > 0 &&
                (here > stray_m / 2 || halvings == most_halvings)) { // one look at the middle can be deceived
                place_edge(from, half, a, on, halvings - 1, strayed_m, out);
                place_edge(half, to, on, b, halvings - 1, strayed_m, out);
                return;
            }
            strayed_m = std::max(strayed_m, 2 * here);
        }
        out.push_back(b);
    }

    void draw(std::vector<Outline> paths, std::vector<Outline> rings) {
        std::size_t edges = 0;
        for (const auto* all : {&paths, &rings})
            for (const Outline& outline : *all)
                edges += outline.chain.size();
        if (edges > most_edges || rings.size() > most_rings) {
            if (rings.size() > most_rings) draw_convex(rings);
            draw_insides(rings);
            draw_in_batches(std::move(paths));
            draw_in_batches(std::move(rings));
            return;
        }
        std::vector<Geometry> inside = insides(rings); // tangled rings become their hull there
        std::move(rings.begin(), rings.end(), std::back_inserter(paths));
        hand_over(grown(std::move(paths), std::move(inside)));
    }
    /// Lines with all that is within their reach, and the insides of rings among them.
    [[nodiscard]] Geometry grown(std::vector<Outline> lines, std::vector<Geometry> inside) const {
        if (Geometry quick = buffered(lines, inside)) return quick;
        untangle(lines, most_crossings);
        std::vector<Geometry> capsules;
        for (const Outline& line : lines)
            add_capsules(line, capsules);
        // An inside is joined once, and not again and again with a few capsules.
        inside.push_back(geos_.united(std::move(capsules), snap_m));
        return geos_.united(std::move(inside), snap_m);
    }
    /// The same by a buffer of GEOS; null where that would be too wide or might take too long.
    [[nodiscard]] Geometry buffered(const std::vector<Outline>& lines,
                                    const std::vector<Geometry>& inside) const {
        double reach_m = 0, vertices = 0, length_m = 0;
        std::vector<Chain> chains;
        for (const Outline& line : lines) {
            if (line.filled) return {};
            reach_m = std::max(reach_m, line.reach_m);
            vertices += static_cast<double>(line.chain.size());
            for (std::size_t i = 0; i + 1 < line.chain.size(); ++i)
                length_m += distance(line.chain[i], line.chain[i + 1]);
            chains.push_back(line.chain);
        }
        const double width_m = buffer_width_m(reach_m);
        const double work = vertices * (1 + width_m * vertices / std::max(length_m, width_m));
        if (width_m - reach_m > least_arc_excess_m || work > most_buffer_work ||
            crosses_often(chains, most_buffer_crossings))
            return {};
        return geos_.buffered(chains, inside, width_m, quadrant_segments);
    }
    /// Takes the convex ones out of rings that are drawn each for itself. What they enclose is then drawn
    /// whatever the others make of it.
    void draw_convex(std::vector<Outline>& rings) const {
        const auto convex = std::stable_partition(rings.begin(), rings.end(),
                                                  [](const Outline& ring) { return !is_convex(ring.chain); });
        std::vector<Geometry> batch;
        const Outline* last = nullptr;
        for (auto ring = convex; ring != rings.end(); ++ring) {
            // A hole follows the ring that it lies in.
            if (last && ring->reach_m <= last->reach_m && encloses(last->chain, ring->chain) &&
                std::next(ring) != rings.end())
                continue;
            last = &*ring;
            batch.push_back(geos_.polygon({grown_convex(ring->chain, ring->reach_m)}));
            if (batch.size() < most_convex && std::next(ring) != rings.end()) continue;
            hand_over(geos_.united(std::move(batch), snap_m));
            batch.clear();
        }
        rings.erase(convex, rings.end());
    }
    void draw_in_batches(std::vector<Outline> outlines) {
        for (std::size_t begin = 0; begin < outlines.size();) {
            std::vector<Outline> batch;
            for (std::size_t edges = 0; begin < outlines.size() && edges <= most_edges; ++begin) {
                edges += outlines[begin].chain.size();
                batch.push_back(std::move(outlines[begin]));
            }
            hand_over(grown(std::move(batch), {}));
        }
    }
    void draw_insides(std::vector<Outline> rings) {
        if (rings.size() <= most_rings) {
            hand_over(geos_.united(insides(rings), snap_m));
            return;
        }
        for (Outline& ring : rings) {
            std::vector<Outline> one{std::move(ring)};
            hand_over(geos_.united(insides(one), snap_m));
        }
    }

    /// Puts the hull in the place of lines that cross too often.
    void untangle(std::vector<Outline>& outlines, std::size_t most) const {
        std::vector<Chain> chains;
        double reach_m = 0;
        for (const Outline& outline : outlines) {
            chains.push_back(outline.chain);
            reach_m = std::max(reach_m, outline.reach_m);
        }
        if (chains.empty() || !crosses_often(chains, most)) return;
        if (Chain hull = geos_.hull(chains); !hull.empty()) outlines = {{std::move(hull), reach_m, true}};
    }
    std::vector<Geometry> insides(std::vector<Outline>& rings) const {
        untangle(rings, most_repaired_crossings);
        std::vector<Chain> chains;
        for (const Outline& ring : rings)
            chains.push_back(ring.chain);
        std::vector<Geometry> parts;
        if (Geometry inside = geos_.inside(chains)) parts.push_back(std::move(inside));
        return parts;
    }
    void add_capsules(const Outline& outline, std::vector<Geometry>& parts) const {
        const Chain& chain = outline.chain;
        if (outline.filled) parts.push_back(geos_.polygon({chain}));
        if (chain.size() == 1) parts.push_back(geos_.polygon({capsule(chain[0], chain[0], outline.reach_m)}));
        for (std::size_t i = 0; i + 1 < chain.size(); ++i)
            parts.push_back(geos_.polygon({capsule(chain[i], chain[i + 1], outline.reach_m)}));
    }

    void hand_over(const Geometry& drawn) const {
        geos_.each_polygon(drawn, [&](const std::vector<Chain>& rings) { hand_over(rings); });
    }
    void hand_over(const std::vector<Chain>& rings) const {
        Exclusion out{hazard_->kind, hazard_->label, hazard_->effects, hazard_->margin_m, {}};
        for (const Chain& ring : rings) {
            Chain degrees{plane_->lonlat(ring.front())};
            for (std::size_t i = 0; i + 1 < ring.size(); ++i)
                degree_edge(ring[i], ring[i + 1], degrees.back(), plane_->lonlat(ring[i + 1]), most_halvings,
                            degrees);
            degrees.back() = degrees.front();
            out.rings.push_back(std::move(degrees));
        }
        deliver_(std::move(out));
    }
    /// The other way about: an edge that is straight in the plane, drawn straight in degrees.
    void degree_edge(GridPoint from, GridPoint to, GridPoint a, GridPoint b, int halvings, Chain& out) const {
        if (halvings > 0 && distance(from, to) > short_edge_m &&
            (halvings == most_halvings ||
             distance_to_segment(plane_->metres(middle(a, b)), from, to) > stray_m / 2)) {
            const GridPoint half = middle(from, to), on = plane_->lonlat(half);
            degree_edge(from, half, a, on, halvings - 1, out);
            degree_edge(half, to, on, b, halvings - 1, out);
            return;
        }
        out.push_back(b);
    }

    static constexpr int most_halvings = 12;
    static constexpr double snap_m = 1e-3;
    std::string source_;
    const std::function<void(Exclusion&&)>& deliver_;
    Georeference georeference_;
    std::optional<LocalPlane> plane_;
    Geos geos_;
    const Hazard* hazard_ = nullptr;
};

} // namespace

void each_exclusion(std::span<const Hazard> hazards, const Grid& grid, const std::string& source,
                    const std::function<void(Exclusion&&)>& deliver) {
    Drawing drawing(grid, source, deliver);
    for (const Hazard& hazard : hazards)
        if (hazard.effects & effect::shown) drawing.draw(hazard);
}

double exclusion_excess_m(const Hazard& hazard) {
    const double bare_m = hazard.margin_m + hazard.slack_m;
    const double placed_m = bare_m * plane_scale(widest_m + bare_m) + 4 * stray_m + rounding_m;
    const double thinned_m = placed_m + 2 * std::max(finest_simplifying_m, placed_m * finest_simplifying);
    return thinned_m + std::max(least_arc_excess_m, arc_excess * thinned_m) + stray_m - bare_m;
}

} // namespace swingroom
