#include "swingroom/chart/hazards.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/chart/georeference.hpp"

#include <cpl_error.h>
#include <cpl_string.h>
#include <gdal_priv.h>
#include <ogr_feature.h>
#include <ogr_geometry.h>
#include <ogr_spatialref.h>
#include <ogrsf_frmts.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>
#include <filesystem>
#include <limits>
#include <map>
#include <mutex>
#include <numbers>
#include <utility>

namespace swingroom {
namespace {

namespace fs = std::filesystem;

/// Formats that are read from local files alone: none that follows links, runs code or writes beside its
/// input.
constexpr std::array allowed_drivers = {"GPKG",       "GeoJSON", "GeoJSONSeq", "TopoJSON", "ESRI Shapefile",
                                        "FlatGeobuf", "S57",     "KML",        "GPX",      "MapInfo File",
                                        "OpenFileGDB"};
/// Edges may stray from straight in grid space by this part of a cell, times the raster's distance for far
/// ones.
constexpr double stray_cells = 1.0 / 32;
constexpr double far_stray = 0.125;
/// An edge is halved at most so often; what it still strays then goes to the slack.
constexpr int most_halvings = 14;
/// Angle between neighbouring vertices of a linearised arc.
constexpr double arc_step_deg = 0.5;
/// Repairing has no bound on its cost; a larger polygon is burnt by the even-odd rule as it stands, which
/// already covers all that the repair promises.
constexpr int most_repaired_vertices = 20'000;
constexpr double farthest_coordinate = 1e15;

/// Keeps GDAL's messages off stderr while it lives, and the first failure for ours.
class GdalMessages {
public:
    GdalMessages() {
        CPLErrorReset();
        CPLPushErrorHandlerEx(&GdalMessages::take, this);
    }
    ~GdalMessages() { CPLPopErrorHandler(); }
    GdalMessages(const GdalMessages&) = delete;
    GdalMessages& operator=(const GdalMessages&) = delete;

    [[nodiscard]] bool failed() const { return !failure_.empty(); }
    /// The first failure as one line; forgets it.
    std::string failure() { return std::exchange(failure_, {}); }

private:
    static void CPL_STDCALL take(CPLErr severity, CPLErrorNum, const char* message) {
        auto& self = *static_cast<GdalMessages*>(CPLGetErrorHandlerUserData());
        if (severity < CE_Failure || self.failed()) return;
        self.failure_ = message && *message ? message : "unknown failure";
        std::replace_if(
            self.failure_.begin(), self.failure_.end(),
            [](char c) { return std::iscntrl(static_cast<unsigned char>(c)) != 0; }, ' ');
    }
    std::string failure_;
};

/// Whether a name fits a pattern of * and ?, ASCII letter case ignored.
bool fits(std::string_view pattern, std::string_view name) {
    const auto lower = [](char c) { return std::tolower(static_cast<unsigned char>(c)); };
    std::size_t p = 0, n = 0, star = std::string_view::npos, resume = 0;
    while (n < name.size()) {
        if (p < pattern.size() && pattern[p] == '*') {
            star = p++;
            resume = n;
        } else if (p < pattern.size() && (pattern[p] == '?' || lower(pattern[p]) == lower(name[n]))) {
            ++p;
            ++n;
        } else if (star != std::string_view::npos) {
            p = star + 1;
            n = ++resume;
        } else {
            return false;
        }
    }
    return pattern.find_first_not_of('*', p) == std::string_view::npos;
}

std::string joined(const std::vector<std::string>& names) {
    std::string all;
    for (const std::string& name : names)
        all += (all.empty() ? "" : ", ") + name;
    return all;
}

/// An axis-aligned box in any plane.
struct Bounds {
    double left = std::numeric_limits<double>::infinity(), low = left, right = -left, high = -left;
    void add(GridPoint p) {
        left = std::min(left, p.x);
        right = std::max(right, p.x);
        low = std::min(low, p.y);
        high = std::max(high, p.y);
    }
    [[nodiscard]] bool empty() const { return !(left <= right && low <= high); }
    [[nodiscard]] bool holds(const Bounds& o) const {
        return left <= o.left && o.right <= right && low <= o.low && o.high <= high;
    }
    [[nodiscard]] bool meets(const Bounds& o) const {
        return left <= o.right && o.left <= right && low <= o.high && o.low <= high;
    }
    [[nodiscard]] Bounds grown(double x, double y) const { return {left - x, low - y, right + x, high + y}; }
};

using Chain = std::vector<GridPoint>;

Bounds bounds_of(const Chain& chain) {
    Bounds bounds;
    for (const GridPoint p : chain)
        bounds.add(p);
    return bounds;
}

// Clipping against one side of a box at a time. A ring keeps its inside: what is cut off is replaced by a run
// along the side, which lies beyond the reach of the hazard.

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

/// The parts of a line inside the box.
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
                    if ((here > 0) != (before > 0))
                        now.push_back(crossing(part[i - 1], part[i], before, here));
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

OGRSpatialReference planar(const OGRSpatialReference& given) {
    OGRSpatialReference srs(given);
    if (srs.IsCompound()) srs.StripVertical();
    srs.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    return srs;
}

/// From a layer's CRS to grid space.
class ToGrid {
public:
    struct Unusable {}; ///< a vertex that has no place in the raster's CRS

    /// @param reach_m  the furthest that any hazard of the layer can reach
    ToGrid(const OGRSpatialReference& from, const OGRSpatialReference& to, const Grid& grid,
           const GroundMetric& metric, double reach_m, const std::string& where)
        : grid_(grid), from_degrees_(from.IsGeographic() != 0), to_degrees_(to.IsGeographic() != 0) {
        const CellSize least = metric.least();
        for (int row = 0; row < metric.rows(); ++row)
            cell_ = {std::max(cell_.dx_m, metric.at(row).dx_m), std::max(cell_.dy_m, metric.at(row).dy_m)};
        stray_m_ = stray_cells * std::min(least.dx_m, least.dy_m);
        near_ = Bounds{0, 0, static_cast<double>(grid.cols), static_cast<double>(grid.rows)}.grown(
            reach_m / least.dx_m * 1.01 + 2, reach_m / least.dy_m * 1.01 + 2);
        if (!from.IsSame(&to)) {
            forward_ = transformation(from, to, where);
            const auto back = transformation(to, from, where);
            find_box(back.get());
        } else {
            find_box(nullptr);
        }
    }

    [[nodiscard]] bool from_degrees() const { return from_degrees_; }
    /// What of the layer's plane can matter; longitudes continuous around the raster.
    [[nodiscard]] const Bounds& box() const { return box_; }
    /// How far the edges that matter may stray from the true ones, of all chains mapped since the last call.
    double take_stray_m() { return std::exchange(strayed_m_, 0.0); }

    /// The longest edge, before any halving, of all chains mapped since the last call.
    double take_longest_m() { return std::exchange(longest_m_, 0.0); }

    /// A chain in the layer's plane to grid space, with vertices between where edges would not stay straight.
    Chain mapped(const Chain& chain) {
        Chain points = chain;
        place(points, chain);
        for (std::size_t i = 0; i + 1 < points.size(); ++i)
            longest_m_ = std::max(longest_m_, std::hypot((points[i + 1].x - points[i].x) * cell_.dx_m,
                                                         (points[i + 1].y - points[i].y) * cell_.dy_m));
        if (!forward_ || chain.size() < 2) return points;
        // Three points on every edge, all in one call: that is most of the cost.
        Chain probes;
        probes.reserve(3 * chain.size());
        for (std::size_t i = 0; i + 1 < chain.size(); ++i)
            for (const double t : {0.25, 0.5, 0.75})
                probes.push_back(between(chain[i], chain[i + 1], t));
        Chain placed = probes;
        place(placed, probes);
        Chain out{points.front()};
        for (std::size_t i = 0; i + 1 < chain.size(); ++i) {
            const std::array<GridPoint, 3> on = {placed[3 * i], placed[3 * i + 1], placed[3 * i + 2]};
            edge(chain[i], chain[i + 1], points[i], points[i + 1], on, most_halvings, out);
        }
        return out;
    }

private:
    using Transformation = std::unique_ptr<OGRCoordinateTransformation>;

    static Transformation transformation(const OGRSpatialReference& from, const OGRSpatialReference& to,
                                         const std::string& where) {
        GdalMessages messages;
        OGRCoordinateTransformationOptions options;
        // Without this, an unknown datum counts as WGS 84.
        options.SetBallparkAllowed(false);
        Transformation made(OGRCreateCoordinateTransformation(&from, &to, options));
        if (!made)
            throw InputError(where, "its CRS cannot be tied to the raster's (" + messages.failure() + ")",
                             "reproject the file to a CRS with a known datum, such as EPSG:4326");
        return made;
    }

    static GridPoint between(GridPoint a, GridPoint b, double t) {
        return {a.x + t * (b.x - a.x), a.y + t * (b.y - a.y)};
    }

    /// Moves points from the layer's plane to grid space. @throws Unusable
    void place(Chain& points, const Chain& source) {
        if (forward_) transform(*forward_, points);
        for (std::size_t i = 0; i < points.size(); ++i) {
            GridPoint& p = points[i];
            if (!std::isfinite(p.x) || !std::isfinite(p.y)) throw Unusable{};
            // Degrees come back in one turn; keep the one in which the source was continuous, or else the
            // one that lies nearest to the raster.
            if (forward_ && to_degrees_) {
                const double by = from_degrees_ ? source[i].x : grid_.x_of(grid_.cols / 2.0);
                p.x += 360 * std::round((by - p.x) / 360);
            }
            p = {grid_.col_of(p.x), grid_.row_of(p.y)};
        }
    }

    void transform(OGRCoordinateTransformation& transformation, Chain& points) {
        GdalMessages quiet;
        const std::size_t count = points.size();
        xs_.resize(count);
        ys_.resize(count);
        good_.assign(count, 0);
        for (std::size_t i = 0; i < count; ++i) {
            xs_[i] = points[i].x;
            ys_[i] = points[i].y;
        }
        transformation.Transform(static_cast<int>(count), xs_.data(), ys_.data(), nullptr, good_.data());
        constexpr double nan = std::numeric_limits<double>::quiet_NaN();
        for (std::size_t i = 0; i < count; ++i)
            points[i] = good_[i] ? GridPoint{xs_[i], ys_[i]} : GridPoint{nan, nan};
    }

    /// The box in the layer's plane around all that lies near the raster, from a net of points over it. Where
    /// the net leaves the domain of the projection there is no box, and nothing is cut away.
    void find_box(OGRCoordinateTransformation* back) {
        constexpr int steps = 32;
        const double infinity = std::numeric_limits<double>::infinity();
        Chain net;
        for (int j = 0; j <= steps; ++j)
            for (int i = 0; i <= steps; ++i)
                net.push_back({grid_.x_of(near_.left + (near_.right - near_.left) * i / steps),
                               grid_.y_of(near_.low + (near_.high - near_.low) * j / steps)});
        if (back) {
            transform(*back, net);
            // Longitudes go on across 180; between two grids in degrees they keep the raster's own turn.
            const double centre = to_degrees_ ? grid_.x_of(grid_.cols / 2.0) : net[net.size() / 2].x;
            for (GridPoint& p : net)
                if (from_degrees_) p.x -= 360 * std::round((p.x - centre) / 360);
        }
        for (const GridPoint p : net) {
            if (!std::isfinite(p.x) || !std::isfinite(p.y)) {
                box_ = {-infinity, -infinity, infinity, infinity};
                return;
            }
            box_.add(p);
        }
        if (back) box_ = box_.grown(0.1 * (box_.right - box_.left), 0.1 * (box_.high - box_.low));
        if (!from_degrees_) return;
        // Near a pole a box of degrees says little about what is near.
        if (box_.high > 89 || box_.low < -89) box_ = {-infinity, -infinity, infinity, infinity};
    }

    [[nodiscard]] double distance_m(GridPoint p, GridPoint a, GridPoint b) const {
        const double bx = (b.x - a.x) * cell_.dx_m, by = (b.y - a.y) * cell_.dy_m;
        const double px = (p.x - a.x) * cell_.dx_m, py = (p.y - a.y) * cell_.dy_m;
        const double squared = bx * bx + by * by;
        const double t = squared > 0 ? std::clamp((px * bx + py * by) / squared, 0.0, 1.0) : 0.0;
        return std::hypot(px - t * bx, py - t * by);
    }

    /// How far a chord lies from all that is near the raster, by its box.
    [[nodiscard]] double away_m(const Bounds& chord) const {
        const double x = std::max({near_.left - chord.right, 0.0, chord.left - near_.right}) * cell_.dx_m;
        const double y = std::max({near_.low - chord.high, 0.0, chord.low - near_.high}) * cell_.dy_m;
        return std::hypot(x, y);
    }

    /// Adds an edge's vertices after its first one, halving it until it is straight enough.
    void edge(GridPoint from, GridPoint to, GridPoint a, GridPoint b, const std::array<GridPoint, 3>& on,
              int halvings, Chain& out) {
        Bounds chord;
        double stray = 0;
        for (const GridPoint p : {a, on[0], on[1], on[2], b})
            chord.add(p);
        for (const GridPoint p : on)
            stray = std::max(stray, distance_m(p, a, b));
        const double away = away_m(chord);
        if (stray <= std::max(stray_m_, far_stray * away) || halvings == 0) {
            // Between the probes a smooth curve strays little more than at them; twice is ample.
            if (away <= 0) strayed_m_ = std::max(strayed_m_, 2 * stray);
            out.push_back(b);
            return;
        }
        const GridPoint middle = between(from, to, 0.5);
        Chain probes{between(from, to, 0.125), between(from, to, 0.375), between(from, to, 0.625),
                     between(from, to, 0.875)};
        Chain placed = probes;
        place(placed, probes);
        edge(from, middle, a, on[1], {placed[0], on[0], placed[1]}, halvings - 1, out);
        edge(middle, to, on[1], b, {placed[2], on[2], placed[3]}, halvings - 1, out);
    }

    const Grid& grid_;
    bool from_degrees_, to_degrees_;
    CellSize cell_; ///< the largest
    double stray_m_ = 0, strayed_m_ = 0, longest_m_ = 0;
    Bounds near_; ///< the raster grown by the reach, in grid space
    Bounds box_;  ///< the same in the layer's plane
    Transformation forward_;
    std::vector<double> xs_, ys_;
    std::vector<int> good_;
};

/// A feature's geometry taken apart, in the layer's plane. Each group of rings is a polygon set of its own:
/// inside and outside alternate within a group, and the danger is all groups together.
struct Shapes {
    std::vector<Chain> paths;
    std::vector<std::vector<Chain>> ring_groups;
};

/// Takes geometries apart; throws text when there is nothing usable.
class TakeApart {
public:
    struct Unusable {
        std::string why;
    };

    static Shapes shapes(const OGRGeometry& geometry) {
        Shapes out;
        TakeApart(out).add(geometry);
        if (out.paths.empty() && out.ring_groups.empty()) throw Unusable{"has an empty geometry"};
        return out;
    }

private:
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
            out_.ring_groups.emplace_back();
            add_polygon(*geometry.toPolygon(), out_.ring_groups.back());
        } else if (type == wkbMultiPolygon) {
            add_polygons(*geometry.toMultiPolygon());
        } else if (OGR_GT_IsSubClassOf(type, wkbPolyhedralSurface)) {
            for (const auto* part : *geometry.toPolyhedralSurface())
                add(*part);
        } else if (OGR_GT_IsSubClassOf(type, wkbGeometryCollection)) {
            for (const auto* part : *geometry.toGeometryCollection())
                add(*part);
        } else {
            throw Unusable{std::string("has a geometry of a kind that is not read: ") +
                           geometry.getGeometryName()};
        }
    }

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
    void add_polygon(const OGRPolygon& polygon, std::vector<Chain>& rings) {
        add_rings(polygon, rings);
        int vertices = 0;
        for (const auto* ring : polygon)
            vertices += ring->getNumPoints();
        if (vertices > most_repaired_vertices || polygon.IsValid()) return;
        CPLStringList options;
        options.SetNameValue("METHOD", "STRUCTURE");
        options.SetNameValue("KEEP_COLLAPSED", "YES");
        const std::unique_ptr<OGRGeometry> repaired(polygon.MakeValid(options.List()));
        if (!repaired || repaired->IsEmpty()) throw Unusable{"is a polygon that cannot be repaired"};
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
            throw Unusable{"has a vertex that is not a number or beyond any place"};
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

/// A rule that speaks of a layer, with its expression compiled for it.
struct Matched {
    const HazardRule* rule;
    std::unique_ptr<OGRFeatureQuery> query; ///< none: all features
    [[nodiscard]] bool inert() const { return rule->effects == 0 && !rule->seabed; }
};

/// How much more than its margin a hazard beyond the raster's edge must be given, as a fraction: outside, the
/// metric takes the nearest row's size, and cells there may be smaller.
double outside_loss(const Grid& grid, const GroundMetric& metric, double reach_m) {
    const CellSize least = metric.least();
    const double cols = std::ceil(reach_m / least.dx_m) + 2, rows = std::ceil(reach_m / least.dy_m) + 2;
    // Such a reach is no margin of a hazard any more; 2 % is what a degree of latitude costs at 50 degrees.
    constexpr double unknown_loss = 0.02;
    if (cols > 1e8 || rows > 1e8) return unknown_loss;
    const int c = static_cast<int>(cols), r = static_cast<int>(rows);
    double loss = 0;
    for (const auto& [outer, edge] :
         {std::pair{-r, 0}, std::pair{grid.rows - 1 + r, grid.rows - 1}, std::pair{0, 0},
          std::pair{grid.rows - 1, grid.rows - 1}, std::pair{grid.rows / 2, grid.rows / 2}}) {
        try {
            const CellSize there =
                ground_metric(grid.part({-c, outer, grid.cols + 2 * c, 1}), "raster").least();
            const CellSize here = metric.at(edge);
            loss = std::max({loss, here.dx_m / there.dx_m - 1, here.dy_m / there.dy_m - 1});
        } catch (const InputError&) {
            loss = std::max(loss, unknown_loss);
        }
    }
    return loss;
}

/// Reads the layers of one file after another into one set.
class Reader {
public:
    Reader(const std::vector<HazardRule>& rules, const Grid& grid, const GroundMetric& metric)
        : rules_(rules), grid_(grid), metric_(metric), least_(metric.least()) {
        GdalMessages messages;
        OGRSpatialReference srs;
        if (srs.importFromWkt(grid.crs_wkt.c_str()) != OGRERR_NONE)
            throw InputError("raster", "its CRS cannot be read (" + messages.failure() + ")",
                             "name it with --crs");
        target_ = planar(srs);
    }

    void read(const std::string& file) {
        GdalMessages messages;
        const GDALDatasetUniquePtr dataset = open(file, messages);
        list_files(file, *dataset);
        LayerNames names;
        for (int i = 0; i < dataset->GetLayerCount(); ++i)
            read_layer(file, *dataset->GetLayer(i), names, messages);
        const auto warn = [&](const char* what, const std::vector<std::string>& layers) {
            if (!layers.empty()) set_.warnings.push_back(file + ": " + what + ": " + joined(layers));
        };
        warn("no rule speaks of these layers, so they were left out", names.uncovered);
        warn("these layers are empty", names.empty);
        warn("these layers have no geometry", names.shapeless);
        warn("these layers lie wholly outside the raster and their margins", names.outside);
        if (dataset->GetLayerCount() == 0) set_.warnings.push_back(file + ": holds no layer");
    }

    HazardSet take() {
        std::sort(set_.files.begin(), set_.files.end());
        set_.files.erase(std::unique(set_.files.begin(), set_.files.end()), set_.files.end());
        return std::move(set_);
    }

private:
    /// Layers of a file that give no hazard, by cause.
    struct LayerNames {
        std::vector<std::string> uncovered, empty, shapeless, outside;
    };

    static GDALDatasetUniquePtr open(const std::string& file, GdalMessages& messages) {
        static std::once_flag registered;
        std::call_once(registered, [] { GDALAllRegister(); });
        // GDAL takes more than files for a name (addresses, data itself): only what exists gets through.
        std::error_code error;
        const fs::file_status status = fs::status(file, error);
        if (!fs::exists(status)) throw IoError(file, "no such file or folder");
        if (!fs::is_regular_file(status) && !fs::is_directory(status))
            throw IoError(file, "is neither file nor folder");
        CPLStringList drivers;
        for (const char* name : allowed_drivers)
            drivers.AddString(name);
        GDALDatasetUniquePtr dataset(
            GDALDataset::Open(file.c_str(), GDAL_OF_VECTOR | GDAL_OF_VERBOSE_ERROR, drivers.List()));
        if (dataset && EQUAL(dataset->GetDriverName(), "S57")) {
            // Lists of codes as text, so that an expression can look into them.
            const char* const options[] = {"LIST_AS_STRING=ON", "UPDATES=APPLY", nullptr};
            dataset.reset(GDALDataset::Open(file.c_str(), GDAL_OF_VECTOR | GDAL_OF_VERBOSE_ERROR,
                                            drivers.List(), options));
        }
        if (!dataset || messages.failed()) {
            const std::string why = messages.failure();
            throw IoError(file, "cannot be read as a vector file" + (why.empty() ? why : " (" + why + ")"));
        }
        return dataset;
    }

    void list_files(const std::string& file, GDALDataset& dataset) {
        const auto add = [&](const fs::path& path) {
            std::error_code ignored;
            if (fs::is_regular_file(path, ignored)) set_.files.push_back(path.string());
        };
        const CPLStringList listed(dataset.GetFileList());
        for (int i = 0; i < listed.size(); ++i)
            add(listed[i]);
        add(file);
        // What the drivers do not name and yet read.
        const fs::path path(file);
        for (const char* extension : {".shx", ".dbf", ".prj", ".cpg", ".qpj"})
            if (EQUAL(dataset.GetDriverName(), "ESRI Shapefile"))
                add(fs::path(path).replace_extension(extension));
        for (const char* tail : {"-wal", "-journal"})
            if (EQUAL(dataset.GetDriverName(), "GPKG")) add(file + tail);
        if (EQUAL(dataset.GetDriverName(), "S57")) {
            for (int update = 1; update < 1000; ++update) {
                const std::string number = std::to_string(update);
                const fs::path next =
                    fs::path(path).replace_extension(std::string(3 - number.size(), '0') + number);
                std::error_code ignored;
                if (!fs::exists(next, ignored)) break;
                add(next);
            }
        }
    }

    [[nodiscard]] std::vector<Matched> matching(OGRLayer& layer, const std::string& where) const {
        std::vector<Matched> matched;
        for (const HazardRule& rule : rules_) {
            const bool named =
                std::any_of(rule.layers.begin(), rule.layers.end(),
                            [&](const std::string& pattern) { return fits(pattern, layer.GetName()); });
            if (!named) continue;
            Matched match{&rule, nullptr};
            if (!rule.where.empty()) {
                GdalMessages messages;
                match.query = std::make_unique<OGRFeatureQuery>();
                if (match.query->Compile(layer.GetLayerDefn(), rule.where.c_str()) != OGRERR_NONE ||
                    messages.failed())
                    throw InputError(
                        where,
                        "the expression of rule [" + rule.name + "], line " + std::to_string(rule.line) +
                            " of the rules, does not fit this layer (" + messages.failure() + ")",
                        "mend \"where = " + rule.where + "\", or give rules of your own with --rules");
            }
            matched.push_back(std::move(match));
        }
        return matched;
    }

    void read_layer(const std::string& file, OGRLayer& layer, LayerNames& names, GdalMessages& messages) {
        const std::string where = file + ", layer " + layer.GetName();
        const bool shapeless = layer.GetGeomType() == wkbNone;
        std::vector<Matched> matched = matching(layer, where);
        if (matched.empty()) {
            if (!shapeless && layer.GetFeatureCount() != 0) names.uncovered.emplace_back(layer.GetName());
            return;
        }
        std::erase_if(matched, [](const Matched& m) { return m.inert(); });
        if (matched.empty()) return;
        if (shapeless) {
            names.shapeless.emplace_back(layer.GetName());
            return;
        }
        double reach_m = 0;
        for (const Matched& match : matched)
            reach_m = std::max(reach_m, match.rule->margin_m);
        std::unique_ptr<ToGrid> to_grid;
        const double loss = loss_for(reach_m);
        long features = 0, fitting = 0;
        const std::size_t before = set_.hazards.size();
        layer.ResetReading();
        while (const OGRFeatureUniquePtr feature{layer.GetNextFeature()}) {
            ++features;
            std::vector<const HazardRule*> rules;
            for (const Matched& match : matched)
                if (!match.query || match.query->Evaluate(feature.get())) rules.push_back(match.rule);
            if (messages.failed()) break;
            if (rules.empty()) continue;
            ++fitting;
            if (!to_grid)
                to_grid = std::make_unique<ToGrid>(source_crs(layer, where), target_, grid_, metric_, reach_m,
                                                   where);
            read_feature(*feature, rules, *to_grid, where, layer.GetName(), loss);
        }
        if (messages.failed()) throw IoError(where, "cannot be read to its end (" + messages.failure() + ")");
        if (features == 0)
            names.empty.emplace_back(layer.GetName());
        else if (fitting > 0 && set_.hazards.size() == before)
            names.outside.emplace_back(layer.GetName());
    }

    double loss_for(double reach_m) {
        const auto known = losses_.find(reach_m);
        if (known != losses_.end()) return known->second;
        return losses_[reach_m] = outside_loss(grid_, metric_, reach_m * 1.05);
    }

    static OGRSpatialReference source_crs(OGRLayer& layer, const std::string& where) {
        const OGRSpatialReference* const given = layer.GetSpatialRef();
        if (!given || given->IsEmpty() || given->IsLocal())
            throw InputError(where, "has no CRS, or one without a place on earth",
                             "write the file with its CRS, for example EPSG:4326");
        return planar(*given);
    }

    void read_feature(OGRFeature& feature, const std::vector<const HazardRule*>& rules, ToGrid& to_grid,
                      const std::string& where, const char* layer, double loss) {
        const std::string fid = "#" + std::to_string(feature.GetFID());
        const auto refuse = [&](const std::string& why) {
            throw InputError(where + ", feature " + fid, why, "repair the feature, or take it out");
        };
        OGRGeometry* geometry = feature.GetGeometryRef();
        if (!geometry) refuse("has no geometry");
        GdalMessages quiet; // GEOS speaks of every broken polygon
        geometry->closeRings();
        std::unique_ptr<OGRGeometry> linear;
        double arc_slack = 0;
        if (geometry->hasCurveGeometry()) {
            linear.reset(geometry->getLinearGeometry(arc_step_deg));
            if (!linear) refuse("has a curve that cannot be read");
            // The rise of an arc over its chord, as a part of the chord.
            arc_slack = 0.5 * std::tan(arc_step_deg / 4 * std::numbers::pi / 180) * 1.01;
            geometry = linear.get();
        }
        try {
            const Shapes shapes = TakeApart::shapes(*geometry);
            for (Hazard& hazard : placed(shapes, to_grid, arc_slack))
                keep(std::move(hazard), rules, std::string(layer) + " " + fid, loss);
        } catch (const TakeApart::Unusable& unusable) {
            refuse(unusable.why);
        } catch (const ToGrid::Unusable&) {
            refuse("has a vertex that has no place in the raster's CRS");
        }
    }

    /// Shapes in grid space, cut to what is near: one hazard for the paths and the first group of rings,
    /// further ones for further groups and turns of the globe.
    static std::vector<Hazard> placed(const Shapes& shapes, ToGrid& to_grid, double arc_slack) {
        std::vector<Hazard> hazards;
        const bool anywhere = !std::isfinite(to_grid.box().left);
        const int turns = to_grid.from_degrees() && !anywhere ? 2 : 0;
        // A cut arc would not show how far it rises.
        const bool cut = arc_slack == 0;
        const auto add_ring = [&](const Chain& ring, double shift, std::vector<Chain>& rings) {
            const auto clip = [](const Chain& r, const Bounds& box) {
                return std::vector<Chain>{clipped_ring(r, box)};
            };
            for (const Chain& part : near(ring, shift, to_grid, cut, clip))
                rings.push_back(to_grid.mapped(part));
        };
        for (int turn = -turns; turn <= turns; ++turn) {
            const double shift = 360.0 * turn;
            Hazard lines;
            for (const Chain& path : shapes.paths)
                for (const Chain& part : near(path, shift, to_grid, cut, clipped_line))
                    lines.paths.push_back(to_grid.mapped(part));
            finish(std::move(lines), to_grid, arc_slack, hazards);
            for (const auto& group : shapes.ring_groups) {
                Hazard area;
                for (const Chain& ring : group)
                    add_ring(ring, shift, area.rings);
                finish(std::move(area), to_grid, arc_slack, hazards);
            }
        }
        return hazards;
    }

    static void finish(Hazard hazard, ToGrid& to_grid, double arc_slack, std::vector<Hazard>& hazards) {
        hazard.slack_m = to_grid.take_stray_m();
        hazard.slack_m += arc_slack * to_grid.take_longest_m();
        if (!hazard.paths.empty() || !hazard.rings.empty()) hazards.push_back(std::move(hazard));
    }

    /// A chain turned by a shift in longitude, cut to the box; nothing if it lies outside.
    template <class Clip>
    static std::vector<Chain> near(const Chain& chain, double shift, const ToGrid& to_grid, bool cut,
                                   Clip clip) {
        // Further round the globe, or beyond a pole, is no longitude and latitude but a mistake.
        constexpr Bounds world{-540, -90 - 1e-9, 540, 90 + 1e-9};
        Bounds bounds = bounds_of(chain);
        if (to_grid.from_degrees() && !world.holds(bounds)) throw ToGrid::Unusable{};
        const Bounds& box = to_grid.box();
        bounds.left += shift;
        bounds.right += shift;
        if (!bounds.meets(box)) return {};
        Chain shifted = chain;
        for (GridPoint& p : shifted)
            p.x += shift;
        if (!cut || box.holds(bounds)) return {std::move(shifted)};
        std::vector<Chain> parts = clip(shifted, box);
        std::erase_if(parts, [](const Chain& part) { return part.empty(); });
        return parts;
    }

    /// Adds a hazard for each rule that speaks of it, if it can touch the raster.
    void keep(Hazard hazard, const std::vector<const HazardRule*>& rules, const std::string& label,
              double loss) {
        Bounds bounds;
        for (const auto* chains : {&hazard.paths, &hazard.rings})
            for (const Chain& chain : *chains)
                for (const GridPoint p : chain)
                    bounds.add(p);
        const Bounds raster{0, 0, static_cast<double>(grid_.cols), static_cast<double>(grid_.rows)};
        const bool reaches_out = !raster.holds(bounds);
        const double slack_m = hazard.slack_m;
        for (const HazardRule* rule : rules) {
            hazard.slack_m = slack_m + (reaches_out ? loss * (rule->margin_m + slack_m) : 0);
            const double reach_m = rule->margin_m + hazard.slack_m;
            if (!bounds.grown(reach_m / least_.dx_m + 1, reach_m / least_.dy_m + 1).meets(raster)) continue;
            Hazard one = rule == rules.back() ? std::move(hazard) : hazard;
            one.effects = rule->effects;
            one.margin_m = rule->margin_m;
            one.seabed = rule->seabed;
            one.kind = rule->name;
            one.label = label;
            set_.hazards.push_back(std::move(one));
        }
    }

    const std::vector<HazardRule>& rules_;
    const Grid& grid_;
    const GroundMetric& metric_;
    CellSize least_;
    OGRSpatialReference target_;
    std::map<double, double> losses_; ///< by reach
    HazardSet set_;
};

} // namespace

HazardSet read_hazards(const std::vector<std::string>& files, const std::vector<HazardRule>& rules,
                       const Grid& grid, const GroundMetric& metric) {
    Reader reader(rules, grid, metric);
    for (const std::string& file : files)
        reader.read(file);
    return reader.take();
}

} // namespace swingroom
