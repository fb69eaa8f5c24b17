#include "swingroom/sea/exclusions.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/sea/georeference.hpp"

#include "sea/exclusions/grown_rings.hpp"
#include "sea/geometry/geos.hpp"
#include "sea/geometry/planar.hpp"
#include "sea/geometry/simple_ring.hpp"
#include "sea/ground/operations.hpp"

#include <proj.h>

#include <algorithm>
#include <cmath>
#include <initializer_list>
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
/// Rings, grown, that are joined at a time.
constexpr std::size_t most_joined_parts = 20'000;
/// Holes may be as many as crossings: where lines cross more often their convex hull is drawn. For the inside
/// of rings it is the repair that must be bounded.
constexpr std::size_t most_crossings = 20'000, most_repaired_crossings = 300;

/// A buffer of GEOS smooths by up to this part of its width. Where that and its arcs come to less than
/// `most_buffer_excess_m`, and by its work (each vertex, and each edge that its offset may cross) and by the
/// crossings it is bounded, it is the quicker way.
constexpr double smoothing = 0.01, most_buffer_excess_m = 0.05;
constexpr int quadrant_segments = 16;
constexpr double most_buffer_work = 50'000;
constexpr std::size_t most_buffer_crossings = 300;

/// Width of the buffer to ask for, so that flat arcs and smoothing stay outside of the reach.
double buffer_width_m(double reach_m) {
    return reach_m * (1 + smoothing) / std::cos(std::numbers::pi / (4 * quadrant_segments));
}

/// Segments of a quarter circle to ask for where nothing is smoothed, so that arcs drawn at `arc_radius_m`
/// stay outside of the reach. GEOS rounds the number of an arc's segments: one may span up to half as much
/// again as was asked for.
int exact_quadrant_segments(double reach_m) { return (3 * arc_edges(reach_m) + 3) / 4; }

double plane_scale(double away_m) {
    const double c = away_m / least_curvature_radius_m;
    return c < 1e-6 ? 1 + 1e-12 : c / std::sin(c);
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
            for (std::size_t k = i + 1; k < next && stray <= tolerance_m; ++k) {
                stray = std::max(stray, distance_to_segment(chain[k], chain[i], chain[next]));
            }
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
void simplify_outwards(Outline& outline, const Geos& geos) {
    const double reach_m = outline.reach_m;
    double tolerance_m = std::max(finest_simplifying_m, reach_m * finest_simplifying);
    outline.reach_m += simplify(outline.chain, tolerance_m);
    while (outline.chain.size() > most_edges + 1) {
        tolerance_m = std::max(0.1, 2 * tolerance_m);
        outline.reach_m += simplify(outline.chain, tolerance_m);
        if (tolerance_m < 1000 + 10 * reach_m) continue;
        // Too ragged at any size: no simplifying helps.
        if (Chain hull = geos.hull({outline.chain}); !hull.empty()) {
            outline = {std::move(hull), outline.reach_m, true};
        }
        return;
    }
}

class Drawing {
public:
    Drawing(const Grid& grid, std::string source, const std::function<void(Exclusion&&)>& deliver)
        : source_(std::move(source)), deliver_(deliver), georeference_(grid, source_) {}

    /// @param effects  of the hazard, on whom it is drawn for
    void draw(const Hazard& hazard, Effects effects) {
        effects_ = effects;
        hazard_ = &hazard;
        Located paths = located(usable(hazard.paths)), rings = located(closed(usable(hazard.rings)));
        if (paths.chains.empty() && rings.chains.empty()) return;
        take_plane({&paths, &rings});
        const double away_m = std::max(paths.away_m, rings.away_m);
        if (away_m <= widest_m) {
            draw(outlines(paths, away_m), outlines(rings, away_m));
        } else {
            draw_in_pieces(paths, rings, away_m);
        }
    }

private:
    /// Chains of the grid and where their vertices are: each is projected once, since of large hazards that
    /// is the most of the work.
    struct Located {
        std::vector<Chain> chains;
        std::vector<Chain> at; ///< longitude and latitude, and once there is a plane metres in that
        double away_m = 0;     ///< how far they lie from the plane's centre at the most
    };

    static std::vector<Chain> usable(std::vector<Chain> chains) {
        std::erase_if(chains, [](const Chain& chain) { return chain.empty(); });
        return chains;
    }
    static std::vector<Chain> closed(std::vector<Chain> rings) {
        for (Chain& ring : rings) {
            if (ring.front() != ring.back()) ring.push_back(ring.front());
        }
        return rings;
    }

    /// Not in a plane yet.
    [[nodiscard]] Located located(std::vector<Chain> chains) const {
        Located out{std::move(chains), {}, 0};
        for (const Chain& chain : out.chains) {
            out.at.push_back(chain);
            georeference_.to_lonlat_unwrapped(out.at.back());
        }
        return out;
    }
    /// Longitude and latitude, all of the raster's hazards in one turn.
    [[nodiscard]] GridPoint position(GridPoint in_grid) const {
        georeference_.to_lonlat_unwrapped({&in_grid, 1});
        return in_grid;
    }
    /// Places chains in a plane around all of them; the one at hand if that is near enough, since making one
    /// takes time.
    void take_plane(std::initializer_list<Located*> all) {
        Bounds degrees;
        for (const Located* const located : all) {
            for (const Chain& chain : located->at) {
                for (const GridPoint p : chain) {
                    degrees.add(p);
                }
            }
        }
        const LonLat centre{(degrees.left + degrees.right) / 2, (degrees.low + degrees.high) / 2};
        if (!plane_ || geodesic(plane_->centre(), centre).distance_m > widest_m / 4 ||
            std::abs(plane_->centre().lon - centre.lon) > 180) {
            plane_.emplace(centre);
        }
        for (Located* const located : all) {
            for (Chain& chain : located->at) {
                for (GridPoint& p : chain) {
                    p = plane_->metres(p);
                    located->away_m = std::max(located->away_m, std::hypot(p.x, p.y));
                }
            }
        }
    }

    /// Each outline piece by piece, in planes of their own, and what rings enclose.
    void draw_in_pieces(const Located& paths, const Located& rings, double away_m) {
        draw_insides(outlines(rings, away_m));
        for (const auto* located : {&paths, &rings}) {
            for (const Chain& chain : located->chains) {
                each_piece(chain, [&](const Chain& part) {
                    Located piece = this->located({part});
                    take_plane({&piece});
                    draw(outlines(piece, piece.away_m), {});
                });
            }
        }
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

    [[nodiscard]] std::vector<Outline> outlines(const Located& located, double away_m) const {
        const double bare_m = hazard_->margin_m + hazard_->placement_allowance_m;
        if (!((away_m + bare_m) / least_curvature_radius_m < widest_arc)) {
            throw InputError(
                source_ + ", hazard " + hazard_->label, "spans too much of the globe to be drawn",
                "give the part that you need with " + Setting::bounds + ", or leave exclusions out");
        }
        const double reach_m = bare_m * plane_scale(away_m + bare_m);
        std::vector<Outline> out;
        for (std::size_t i = 0; i < located.chains.size(); ++i) {
            double strayed_m = 0;
            Chain in_plane = placed(located.chains[i], located.at[i], strayed_m);
            out.push_back({std::move(in_plane), reach_m + strayed_m + 2 * stray_m + rounding_m});
            simplify_outwards(out.back(), geos_);
        }
        return out;
    }

    [[nodiscard]] GridPoint placed(GridPoint in_grid) const { return plane_->metres(position(in_grid)); }
    /// A chain in the plane, with vertices between where its edges, straight in the grid, would stray.
    Chain placed(const Chain& chain, const Chain& at, double& strayed_m) const {
        Chain out{at.front()};
        for (std::size_t i = 0; i + 1 < chain.size(); ++i) {
            place_edge(chain[i], chain[i + 1], at[i], at[i + 1], most_halvings, strayed_m, out);
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
        for (const auto* all : {&paths, &rings}) {
            for (const Outline& outline : *all) {
                edges += outline.chain.size();
            }
        }
        if (edges > most_edges || rings.size() > most_rings) {
            if (rings.size() > most_rings) draw_grown(rings);
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
        hull_where_tangled(lines, most_crossings);
        std::vector<Geometry> capsules;
        for (const Outline& line : lines) {
            add_capsules(line, capsules);
        }
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
            for (std::size_t i = 0; i + 1 < line.chain.size(); ++i) {
                length_m += distance(line.chain[i], line.chain[i + 1]);
            }
            chains.push_back(line.chain);
        }
        const double width_m = buffer_width_m(reach_m);
        const double work = vertices * (1 + width_m * vertices / std::max(length_m, width_m));
        if (width_m - reach_m > most_buffer_excess_m || work > most_buffer_work ||
            crosses_often(chains, most_buffer_crossings)) {
            return {};
        }
        return geos_.buffered(chains, inside, width_m, quadrant_segments);
    }
    /// Takes those out of rings, drawn each for itself, that are convex or can be cut into convex pieces.
    /// What they enclose is then drawn whatever the others make of it.
    void draw_grown(std::vector<Outline>& rings) const {
        std::vector<Outline> others;
        std::vector<Geometry> batch;
        Outline last; // the last convex one
        for (Outline& ring : rings) {
            if (is_convex(ring.chain)) {
                // A hole follows the ring that it lies in.
                if (!last.chain.empty() && ring.reach_m <= last.reach_m && encloses(last.chain, ring.chain)) {
                    continue;
                }
                batch.push_back(geos_.polygon({grown_convex(ring.chain, ring.reach_m)}));
                last = std::move(ring);
            } else if (Geometry whole = grown(ring)) {
                batch.push_back(std::move(whole));
            } else {
                others.push_back(std::move(ring));
            }
            if (batch.size() >= most_joined_parts) hand_over(geos_.united(std::exchange(batch, {}), snap_m));
        }
        hand_over(geos_.united(std::move(batch), snap_m));
        rings = std::move(others);
    }
    /// A simple ring with all that it encloses and all within its reach; null if it is none, or too large for
    /// that.
    [[nodiscard]] Geometry grown(const Outline& ring) const {
        if (!proven_simple(ring.chain)) return {};
        const double width_m = arc_radius_m(ring.reach_m);
        if (!has_shallow_bays(ring.chain, smoothing * width_m)) {
            std::vector<Geometry> inside;
            inside.push_back(geos_.polygon({ring.chain}));
            return geos_.buffered({}, inside, width_m, exact_quadrant_segments(ring.reach_m));
        }
        const auto pieces = convex_pieces(ring.chain);
        if (!pieces) return {};
        std::vector<Geometry> parts;
        for (const Chain& piece : *pieces) {
            parts.push_back(geos_.polygon({grown_convex(piece, ring.reach_m)}));
        }
        return geos_.united(std::move(parts), snap_m);
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
    void hull_where_tangled(std::vector<Outline>& outlines, std::size_t most) const {
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
        hull_where_tangled(rings, most_repaired_crossings);
        std::vector<Chain> chains;
        for (const Outline& ring : rings) {
            chains.push_back(ring.chain);
        }
        std::vector<Geometry> parts;
        if (Geometry inside = geos_.inside(chains)) parts.push_back(std::move(inside));
        return parts;
    }
    void add_capsules(const Outline& outline, std::vector<Geometry>& parts) const {
        const Chain& chain = outline.chain;
        if (outline.filled && is_convex(chain)) { // a hull
            parts.push_back(geos_.polygon({grown_convex(chain, outline.reach_m)}));
            return;
        }
        if (outline.filled) parts.push_back(geos_.polygon({chain}));
        if (chain.size() == 1) parts.push_back(geos_.polygon({capsule(chain[0], chain[0], outline.reach_m)}));
        for (std::size_t i = 0; i + 1 < chain.size(); ++i) {
            parts.push_back(geos_.polygon({capsule(chain[i], chain[i + 1], outline.reach_m)}));
        }
    }

    void hand_over(const Geometry& drawn) const {
        geos_.each_polygon(drawn, [&](const std::vector<Chain>& rings) { hand_over(rings); });
    }
    void hand_over(const std::vector<Chain>& rings) const {
        Exclusion out{hazard_->kind, hazard_->label, effects_, hazard_->margin_m, {}};
        for (const Chain& ring : rings) {
            Chain degrees{plane_->lonlat(ring.front())};
            for (std::size_t i = 0; i + 1 < ring.size(); ++i) {
                degree_edge(ring[i], ring[i + 1], degrees.back(), plane_->lonlat(ring[i + 1]), most_halvings,
                            degrees);
            }
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
    Effects effects_ = 0;
};

} // namespace

void each_exclusion(const HazardsToDraw& drawn, const std::function<void(Exclusion&&)>& deliver) {
    Drawing drawing(drawn.grid, drawn.source, deliver);
    for (const Hazard& hazard : drawn.hazards) {
        if (const Effects effects = effects_on(hazard, drawn.hull); (effects & effect::shown) != 0) {
            drawing.draw(hazard, effects);
        }
    }
}

double exclusion_excess_m(const Hazard& hazard) {
    const double bare_m = hazard.margin_m + hazard.placement_allowance_m;
    const double placed_m = bare_m * plane_scale(widest_m + bare_m) + 4 * stray_m + rounding_m;
    const double thinned_m = placed_m + 2 * std::max(finest_simplifying_m, placed_m * finest_simplifying);
    return thinned_m + most_arc_excess_m(thinned_m) + stray_m - bare_m;
}

} // namespace swingroom
