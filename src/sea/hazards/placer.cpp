#include "sea/hazards/placer.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/sea/georeference.hpp"

#include "sea/gdal/gdal_messages.hpp"
#include "sea/geometry/planar.hpp"
#include "sea/geometry/shapes.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <utility>

namespace swingroom {
namespace {

/// Angle between neighbouring vertices of a linearised arc.
constexpr double arc_step_deg = 0.5;

/// Refuses an edge longer than half a turn of the globe: whether it goes the long way or crosses the meridian
/// opposite, unsplit, is not known. Edges of a whole turn frame the world.
/// @throws UnusableGeometry
void refuse_doubtful_edges(const Chain& chain, const ToGrid& to_grid) {
    const double turn = to_grid.turn();
    if (!(turn > 0)) return;
    const Bounds bounds = bounds_of(chain);
    // Either way it passes every longitude: only latitude can tell that it is nowhere near.
    if (bounds.high < to_grid.box().low || to_grid.box().high < bounds.low) return;
    for (std::size_t i = 0; i + 1 < chain.size(); ++i) {
        const double length = std::abs(chain[i + 1].x - chain[i].x);
        if (length > turn / 2 && length < turn * (1 - 1e-9)) {
            throw UnusableGeometry{
                "has an edge of more than half a turn around the globe, and which way round it goes is not "
                "known (split it at 180 degrees with ogr2ogr -wrapdateline, or give it a vertex between)"};
        }
    }
}

double loss_outside(const Grid& grid, const GroundMetric& metric, double reach_m) {
    const CellSize least = metric.least();
    const double cols = std::ceil(reach_m / least.dx_m) + 2, rows = std::ceil(reach_m / least.dy_m) + 2;
    // Such a reach is no margin of a hazard any more; 2 % is what a degree of latitude costs at 50 degrees.
    constexpr double unknown_loss = 0.02;
    constexpr double most = std::numeric_limits<int>::max(); // of a window's columns and rows
    if (cols > 1e8 || rows > 1e8 || grid.cols + 2 * cols > most || grid.rows + rows > most) {
        return unknown_loss;
    }
    const int c = static_cast<int>(cols), r = static_cast<int>(rows);
    double loss = 0;
    for (const auto& [outer, edge] :
         {std::pair(-r, 0), std::pair(grid.rows - 1 + r, grid.rows - 1), std::pair(0, 0),
          std::pair(grid.rows - 1, grid.rows - 1), std::pair(grid.rows / 2, grid.rows / 2)}) {
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

/// A chain turned by a shift in longitude, cut to the box; nothing if it lies outside.
template <class Clip>
std::vector<Chain> near(const Chain& chain, double shift, const ToGrid& to_grid, bool cut, Clip clip) {
    // Further round the globe, or beyond a pole, is no longitude and latitude but a mistake.
    constexpr Bounds world{-540, -90 - 1e-9, 540, 90 + 1e-9};
    Bounds bounds = bounds_of(chain);
    if (to_grid.from_degrees() && !world.holds(bounds)) throw ToGrid::Unusable{};
    const Bounds& box = to_grid.box();
    bounds.left += shift;
    bounds.right += shift;
    if (!bounds.meets(box)) return {};
    Chain shifted = chain;
    for (GridPoint& p : shifted) {
        p.x += shift;
    }
    if (!cut || box.holds(bounds)) return {std::move(shifted)};
    std::vector<Chain> parts = clip(shifted, box);
    std::erase_if(parts, [](const Chain& part) { return part.empty(); });
    return parts;
}

void finish(Shape shape, ToGrid& to_grid, double arc_slack, std::vector<Shape>& placed) {
    shape.placement_allowance_m = to_grid.take_placement_error_m();
    shape.placement_allowance_m += arc_slack * to_grid.take_longest_m();
    if (!shape.paths.empty() || !shape.rings.empty()) placed.push_back(std::move(shape));
}

/// Shapes in grid space, cut to what is near: one for the paths and the first group of rings,
/// further ones for further groups and turns of the globe.
std::vector<Shape> placed(const Shapes& shapes, ToGrid& to_grid, double arc_slack) {
    std::vector<Shape> placed;
    const bool anywhere = !std::isfinite(to_grid.box().left);
    const int turns = to_grid.from_degrees() && !anywhere ? 2 : 0;
    // A cut arc would not show how far it rises.
    const bool cut = arc_slack == 0;
    const auto add_ring = [&](const Chain& ring, double shift, std::vector<Chain>& rings) {
        const auto clip = [](const Chain& r, const Bounds& box) {
            return std::vector<Chain>{clipped_ring(r, box)};
        };
        for (const Chain& part : near(ring, shift, to_grid, cut, clip)) {
            rings.push_back(to_grid.mapped(part));
        }
    };
    for (int turn = -turns; turn <= turns; ++turn) {
        const double shift = 360.0 * turn;
        Shape lines;
        for (const Chain& path : shapes.paths) {
            for (const Chain& part : near(path, shift, to_grid, cut, clipped_line)) {
                lines.paths.push_back(to_grid.mapped(part));
            }
        }
        finish(std::move(lines), to_grid, arc_slack, placed);
        for (const auto& group : shapes.ring_groups) {
            Shape area;
            for (const Chain& ring : group) {
                add_ring(ring, shift, area.rings);
            }
            finish(std::move(area), to_grid, arc_slack, placed);
        }
    }
    return placed;
}

} // namespace

Placer::Placer(const Grid& grid, const GroundMetric& metric)
    : grid_(grid), metric_(metric), least_(metric.least()) {
    const GdalMessages messages;
    OGRSpatialReference srs;
    if (srs.importFromWkt(grid.crs_wkt.c_str()) != OGRERR_NONE) {
        throw InputError("raster", "its CRS cannot be read (" + messages.failure() + ")",
                         "name it with " + Setting::crs);
    }
    target_ = horizontal(srs);
}

double Placer::outside_loss(double reach_m) {
    const auto known = losses_.find(reach_m);
    if (known != losses_.end()) return known->second;
    return losses_[reach_m] = loss_outside(grid_, metric_, reach_m * 1.05);
}

Placer::From::From(const Placer& placer, const OGRSpatialReference& crs, double reach_m,
                   const std::string& where)
    : to_grid_(crs, placer.target_, placer.grid_, placer.metric_, reach_m, where) {}

std::vector<Shape> Placer::From::place(const OGRGeometry& given, const std::string& feature) {
    const auto refuse = [&](const std::string& why) {
        throw InputError(feature, why, "repair the feature, or take it out");
    };
    const GdalMessages quiet; // GEOS speaks of every broken polygon
    const std::unique_ptr<OGRGeometry> geometry(
        given.hasCurveGeometry() ? given.getLinearGeometry(arc_step_deg) : given.clone());
    if (!geometry) refuse("has a curve that cannot be read");
    geometry->closeRings();
    // The rise of an arc over its chord, as a part of the chord.
    const double arc_slack =
        given.hasCurveGeometry() ? 0.5 * std::tan(arc_step_deg / 4 * std::numbers::pi / 180) * 1.01 : 0;
    try {
        const Shapes shapes = shapes_of(*geometry);
        for (const Chain& path : shapes.paths) {
            refuse_doubtful_edges(path, to_grid_);
        }
        for (const auto& group : shapes.ring_groups) {
            for (const Chain& ring : group) {
                refuse_doubtful_edges(ring, to_grid_);
            }
        }
        return placed(shapes, to_grid_, arc_slack);
    } catch (const UnusableGeometry& unusable) {
        refuse(unusable.why);
    } catch (const ToGrid::Unusable&) {
        refuse("has a vertex that has no place in the raster's CRS");
    }
    return {};
}

bool Placer::give_margin(Shape& shape, double margin_m, double reach_m) {
    Bounds bounds;
    for (const auto* chains : {&shape.paths, &shape.rings}) {
        for (const Chain& chain : *chains) {
            for (const GridPoint p : chain) {
                bounds.add(p);
            }
        }
    }
    const Bounds raster{0, 0, static_cast<double>(grid_.cols), static_cast<double>(grid_.rows)};
    shape.margin_m = margin_m;
    if (!raster.holds(bounds)) shape.placement_allowance_m += outside_loss(reach_m) * shape.reach_m();
    const double of_shape_m = shape.reach_m();
    return bounds.grown(of_shape_m / least_.dx_m + 1, of_shape_m / least_.dy_m + 1).meets(raster);
}

} // namespace swingroom
