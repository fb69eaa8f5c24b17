#include "property/room_scene.hpp"

#include "swingroom/sea/georeference.hpp"

#include "support/drawing.hpp"

#include <proj.h>

#include <cmath>
#include <limits>
#include <memory>
#include <numbers>
#include <sstream>
#include <stdexcept>

namespace swingroom::testing_support {
namespace {

constexpr double degree_m = 111e3; ///< rough, to make cells of about the size asked for
constexpr double earth_m = 6.36e6; ///< less than the earth's mean radius

struct Projection {
    explicit Projection(const std::string& definition)
        : context(proj_context_create()), pj(proj_create(context, definition.c_str())) {
        if (!pj) throw std::runtime_error("PROJ does not know " + definition);
    }
    ~Projection() {
        proj_destroy(pj);
        proj_context_destroy(context);
    }
    Projection(const Projection&) = delete;
    Projection& operator=(const Projection&) = delete;
    PJ_CONTEXT* context;
    PJ* pj;
};

std::string wkt_of(const std::string& crs) {
    const Projection projection(crs);
    return proj_as_wkt(projection.context, projection.pj, PJ_WKT2_2019, nullptr);
}

/// To a plane that is true to length from the scene's middle. Between any two points of a scene of half-width
/// r its relative error is below (r / earth)^2 / 3: on these scenes some micrometres.
ToGround plane_around_middle(const Grid& grid) {
    const auto georeference = std::make_shared<Georeference>(grid, "scene");
    const LonLat middle = georeference->lonlat({grid.cols / 2.0, grid.rows / 2.0});
    std::ostringstream definition;
    definition.precision(17);
    definition << "+proj=aeqd +ellps=WGS84 +lon_0=" << middle.lon << " +lat_0=" << middle.lat;
    const auto plane = std::make_shared<Projection>(definition.str());
    return [=](std::vector<GridPoint>& points) {
        georeference->to_lonlat_unwrapped(points);
        for (GridPoint& p : points) {
            const PJ_COORD at =
                proj_trans(plane->pj, PJ_FWD, proj_coord(proj_torad(p.x), proj_torad(p.y), 0, 0));
            p = {at.xy.x, at.xy.y};
        }
    };
}

double length_m(const ToGround& to_ground, GridPoint a, GridPoint b) {
    std::vector<GridPoint> ends{a, b};
    to_ground(ends);
    return std::hypot(ends[1].x - ends[0].x, ends[1].y - ends[0].y);
}

/// How far the middle of a cell's side lies from the middle between its ends: the oracle draws it straight.
double sag_m(const ToGround& to_ground, GridPoint a, GridPoint b) {
    std::vector<GridPoint> p{a, {(a.x + b.x) / 2, (a.y + b.y) / 2}, b};
    to_ground(p);
    return std::hypot((p[0].x + p[2].x) / 2 - p[1].x, (p[0].y + p[2].y) / 2 - p[1].y);
}

Grid random_grid(const SceneKind& kind, Dice& dice) {
    Grid grid;
    grid.cols = dice.whole(10, 28);
    grid.rows = dice.whole(10, 28);
    const double dx_m = dice.between(2, 25), dy_m = kind.square ? dx_m : dx_m * dice.between(0.4, 2.5);
    const double x = kind.x + dice.between(-1, 1) * kind.x_spread;
    const double y = kind.y + dice.between(-1, 1) * kind.y_spread;
    const bool degrees = kind.metres_per_unit == 0;
    const double unit_m = degrees ? degree_m : kind.metres_per_unit;
    grid.step_x = dx_m / unit_m / (degrees ? std::cos(y * std::numbers::pi / 180) : 1);
    grid.step_y = (kind.south_up ? 1 : -1) * dy_m / unit_m;
    grid.origin_x = x - grid.step_x * grid.cols / 2;
    grid.origin_y = y - grid.step_y * grid.rows / 2;
    return grid;
}

Plane<float> random_depths(const Scene& scene, Dice& dice) {
    Plane<float> depth_m(scene.grid.extent(), 10);
    const auto patch = [&](float value, double radius) {
        const double x = dice.between(0, scene.grid.cols), y = dice.between(0, scene.grid.rows);
        for (int row = 0; row < scene.grid.rows; ++row) {
            for (int col = 0; col < scene.grid.cols; ++col) {
                if (std::hypot(col + 0.5 - x, row + 0.5 - y) < radius) depth_m.at(col, row) = value;
            }
        }
    };
    for (int i = dice.whole(0, 4); i > 0; --i) {
        patch(static_cast<float>(dice.between(-1, 2.99)), dice.between(0.5, 3.5));
    }
    for (int i = dice.whole(0, 2); i > 0; --i) {
        patch(std::numeric_limits<float>::quiet_NaN(), dice.between(0.5, 2));
    }
    return depth_m;
}

/// A closed ring around a middle, everywhere visible from it.
std::vector<GridPoint> star(GridPoint middle, double radius, Dice& dice) {
    std::vector<GridPoint> ring;
    for (int i = 0, n = dice.whole(3, 9); i < n; ++i) {
        const double at = 2 * std::numbers::pi * i / n, r = radius * dice.between(0.4, 1);
        ring.push_back({middle.x + r * std::cos(at), middle.y + r * std::sin(at)});
    }
    ring.push_back(ring.front());
    return ring;
}

Hazard random_hazard(const Scene& scene, Dice& dice) {
    Hazard h;
    constexpr Effects choices[] = {effect::hull, effect::ground, effect::hull | effect::ground, effect::drop};
    h.effects = choices[dice.whole(0, 3)];
    // Often none at all, and often a whole number of cells: what lies just on a limit must not get away.
    const double cell_m = scene.metric.least().dx_m;
    if (dice.chance(0.7)) {
        h.margin_m = dice.chance(0.3) ? dice.whole(1, 3) * cell_m : dice.between(0, 4) * cell_m;
    }
    if (dice.chance(0.2)) h.placement_allowance_m = dice.between(0, 0.1) * cell_m;
    GridPoint at{dice.between(-3, scene.grid.cols + 3), dice.between(-3, scene.grid.rows + 3)};
    switch (dice.whole(0, 2)) {
    case 0:
        h.paths = {{at}};
        break;
    case 1:
        h.paths = {{at}};
        for (int i = dice.whole(1, 5); i > 0; --i) {
            at = {at.x + dice.between(-6, 6), at.y + dice.between(-6, 6)};
            h.paths[0].push_back(at);
        }
        break;
    default: {
        const double radius = dice.between(0.3, 6);
        h.rings = {star(at, radius, dice)};
        if (dice.chance(0.5)) h.rings.push_back(star(at, radius * 0.15, dice));
    }
    }
    if (dice.chance(0.25)) { // on the corners and the middles of cells
        for (auto* parts : {&h.paths, &h.rings}) {
            for (auto& part : *parts) {
                for (GridPoint& p : part) {
                    p = {std::round(2 * p.x) / 2, std::round(2 * p.y) / 2};
                }
            }
        }
        // Rounding may have spoilt the rings: keep those that are still simple by being a box.
        for (auto& ring : h.rings) {
            const double r = h.rings.size() > 1 && &ring == &h.rings[1] ? 0.5 : 2;
            const GridPoint m{std::round(2 * at.x) / 2, std::round(2 * at.y) / 2};
            ring = {{m.x - r, m.y - r},
                    {m.x + r, m.y - r},
                    {m.x + r, m.y + r},
                    {m.x - r, m.y + r},
                    {m.x - r, m.y - r}};
        }
    }
    return h;
}

} // namespace

const std::vector<SceneKind>& scene_kinds() {
    // Places are on the edges of what a CRS is for, where its scale is furthest from the ground's.
    static const std::vector<SceneKind> kinds = {
        {"metres, square", "", 0, 0, 0, 0, 1, true, false},
        {"metres, unequal", "", 0, 0, 0, 0, 1, false, false},
        {"metres, south-up", "", 0, 0, 0, 0, 1, false, true},
        {"degrees, 50 S to 50 N", "EPSG:4326", 20, 0, 100, 50, 0, false, false},
        {"degrees, 70 to 86 N", "EPSG:4326", 20, 78, 40, 8, 0, false, false},
        {"degrees, south-up, 40 to 80 S", "EPSG:4326", -60, -60, 20, 20, 0, false, true},
        {"degrees, across 180", "EPSG:4326", 180, -17, 5e-4, 5, 0, false, false},
        {"Web Mercator", "EPSG:3857", -5e5, 7e6, 1e6, 2e6, 1, true, false},
        {"UTM, edge of its zone", "EPSG:32630", 7.6e5, 5.6e6, 4e4, 1.5e6, 1, true, false},
        {"US survey feet", "EPSG:2263", 9.9e5, 1.7e5, 2e5, 3e4, 1200.0 / 3937, false, false},
    };
    return kinds;
}

bool Scene::unsafe_depth(int col, int row, Effects effect) const {
    if (!grid.extent().contains(col, row) || std::isnan(depth_m.at(col, row))) return true;
    return effect == effect::hull && static_cast<double>(depth_m.at(col, row)) < required_m;
}

std::string Scene::describe() const {
    std::ostringstream out;
    out.precision(17);
    out << "kind \"" << kind << "\", seed " << seed << ", " << grid.cols << " x " << grid.rows
        << " cells, origin " << grid.origin_x << " " << grid.origin_y << ", steps " << grid.step_x << " "
        << grid.step_y << ", least cell " << metric.least().dx_m << " x " << metric.least().dy_m
        << " m, reach " << reach_m << " m\n";
    for (int row = 0; row < grid.rows; ++row) {
        for (int col = 0; col < grid.cols; ++col) {
            out << (std::isnan(depth_m.at(col, row))       ? '?'
                    : unsafe_depth(col, row, effect::hull) ? '#'
                                                           : '.');
        }
        out << '\n';
    }
    for (const Hazard& h : hazards) {
        out << "effects " << int{h.effects} << ", margin " << h.margin_m << " m, slack "
            << h.placement_allowance_m << " m:";
        for (const auto* parts : {&h.paths, &h.rings}) {
            for (const auto& part : *parts) {
                out << (parts == &h.rings ? " ring (" : part.size() > 1 ? " line (" : " point (");
                for (const GridPoint& p : part) {
                    out << p.x << " " << p.y << (&p == &part.back() ? ")" : ", ");
                }
            }
        }
        out << '\n';
    }
    return out.str();
}

Scene random_scene(const SceneKind& kind, std::uint64_t seed) {
    Dice dice(seed * 7919 + 17);
    Scene scene;
    scene.kind = kind.name;
    scene.seed = seed;
    scene.grid = random_grid(kind, dice);
    const int cols = scene.grid.cols, rows = scene.grid.rows;
    if (kind.crs.empty()) {
        scene.exact_metric = true;
        scene.metric = GroundMetric::uniform(rows, scene.grid.step_x, std::abs(scene.grid.step_y));
        scene.to_ground = [grid = scene.grid](std::vector<GridPoint>& points) {
            for (GridPoint& p : points) {
                p = {p.x * grid.step_x, p.y * std::abs(grid.step_y)};
            }
        };
    } else {
        scene.grid.crs_wkt = wkt_of(std::string(kind.crs));
        scene.metric = ground_metric(scene.grid, "scene");
        scene.metric_loss = ground_metric_loss(scene.grid, scene.metric, "scene");
        scene.to_ground = plane_around_middle(scene.grid);
    }
    for (const GridPoint corner :
         {GridPoint{0, 0}, {cols - 1.0, 0}, {0, rows - 1.0}, {cols - 1.0, rows - 1.0}}) {
        const GridPoint right{corner.x + 1, corner.y}, down{corner.x, corner.y + 1},
            opposite{corner.x + 1, corner.y + 1};
        scene.diagonal_m = std::max({scene.diagonal_m, length_m(scene.to_ground, corner, opposite),
                                     length_m(scene.to_ground, right, down)});
        if (!kind.crs.empty()) {
            scene.oracle_error_m +=
                sag_m(scene.to_ground, corner, right) + sag_m(scene.to_ground, corner, down);
        }
    }
    if (!kind.crs.empty()) {
        const double across_m = length_m(scene.to_ground, {-3, -3}, {cols + 3.0, rows + 3.0});
        scene.oracle_error_m += across_m * (across_m / earth_m) * (across_m / earth_m) + 1e-6;
    }
    scene.depth_m = random_depths(scene, dice);
    for (int i = dice.whole(0, 4); i > 0; --i) {
        scene.hazards.push_back(random_hazard(scene, dice));
    }
    const double cell_m = std::max(scene.metric.least().dx_m, scene.metric.least().dy_m);
    scene.reach_m = cell_m * dice.between(2.5, 12);
    for (int i = 0; i < 3; ++i) {
        scene.radii_m.push_back(scene.reach_m * dice.between(0.15, 1));
    }
    return scene;
}

} // namespace swingroom::testing_support
