#include "property/room_oracle.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace swingroom::testing_support {
namespace {

/// Straight in grid space is not quite straight on the ground: a vertex for every cell passed.
std::vector<GridPoint> on_ground(const Scene& scene, const std::vector<GridPoint>& path) {
    std::vector<GridPoint> points{path.front()};
    for (std::size_t i = 0; i + 1 < path.size(); ++i) {
        const GridPoint a = path[i], b = path[i + 1];
        const int pieces =
            scene.exact_metric
                ? 1
                : static_cast<int>(std::ceil(std::max({std::abs(b.x - a.x), std::abs(b.y - a.y), 1.0})));
        for (int k = 1; k < pieces; ++k) {
            points.push_back({std::lerp(a.x, b.x, static_cast<double>(k) / pieces),
                              std::lerp(a.y, b.y, static_cast<double>(k) / pieces)});
        }
        points.push_back(b);
    }
    scene.to_ground(points);
    return points;
}

Geometry shape_of(const Geos& geos, const Scene& scene, const Hazard& hazard) {
    std::vector<std::vector<GridPoint>> rings;
    for (const auto& ring : hazard.rings) {
        rings.push_back(on_ground(scene, ring));
        rings.back().back() = rings.back().front();
    }
    if (!rings.empty()) return polygon(geos, rings);
    const auto path = on_ground(scene, hazard.paths.at(0));
    return path.size() == 1 ? point(geos, path[0]) : line(geos, path);
}

} // namespace

RoomOracle::RoomOracle(const Scene& scene, Effects effect) : scene_(scene) {
    const int cols = scene.grid.cols, rows = scene.grid.rows;
    std::vector<GridPoint> corners;
    for (int row = -1; row <= rows + 1; ++row) {
        for (int col = -1; col <= cols + 1; ++col) {
            corners.push_back({static_cast<double>(col), static_cast<double>(row)});
        }
    }
    scene.to_ground(corners);
    const auto corner = [&](int col, int row) {
        return corners[static_cast<std::size_t>(row + 1) * static_cast<std::size_t>(cols + 3) +
                       static_cast<std::size_t>(col + 1)];
    };
    for (int row = -1; row <= rows; ++row) {
        for (int col = -1; col <= cols; ++col) {
            const GridPoint first = corner(col, row);
            cells_.push_back(polygon(geos_, {{first, corner(col + 1, row), corner(col + 1, row + 1),
                                              corner(col, row + 1), first}}));
            unsafe_depth_.push_back(scene.unsafe_depth(col, row, effect));
        }
    }

    std::vector<Geometry> squares;
    for (std::size_t i = 0; i < cells_.size(); ++i) {
        if (unsafe_depth_[i]) squares.push_back(own(geos_, GEOSGeom_clone_r(geos_.get(), cells_[i].get())));
    }
    unsafe_area_ = united(geos_, std::move(squares));
    unsafe_prepared_ = prepared(geos_, unsafe_area_);

    for (const Hazard& hazard : scene.hazards) {
        if (!(hazard.effects & effect)) continue;
        Danger danger{hazard.margin_m + hazard.placement_allowance_m, shape_of(geos_, scene, hazard), {}};
        danger.prepared = prepared(geos_, danger.shape);
        dangers_.push_back(std::move(danger));
    }
    for (std::size_t i = 0; i < cells_.size(); ++i) {
        to_depth_m_.push_back(distance(geos_, unsafe_prepared_, cells_[i]));
        double least_m = std::numeric_limits<double>::infinity();
        for (const Danger& danger : dangers_) {
            least_m = std::min(least_m, distance(geos_, danger.prepared, cells_[i]) - danger.margin_m);
        }
        to_hazards_m_.push_back(least_m); // negative: how far the margin reaches beyond the cell's near side
    }
}

std::size_t RoomOracle::index(int col, int row) const {
    return static_cast<std::size_t>(row + 1) * static_cast<std::size_t>(scene_.grid.cols + 2) +
           static_cast<std::size_t>(col + 1);
}

double RoomOracle::to_depth_m(int col, int row) const { return to_depth_m_[index(col, row)]; }

double RoomOracle::to_hazards_m(int col, int row) const {
    return std::max(0.0, to_hazards_m_[index(col, row)]);
}

double RoomOracle::signed_gap_m(int col, int row) const { return to_hazards_m_[index(col, row)]; }

double RoomOracle::to_danger_m(GridPoint p) const {
    std::vector<GridPoint> at{p};
    scene_.to_ground(at);
    const Geometry here = point(geos_, at[0]);
    double least_m = distance(geos_, unsafe_prepared_, here);
    for (const Danger& danger : dangers_) {
        least_m = std::min(least_m, distance(geos_, danger.prepared, here) - danger.margin_m);
    }
    return std::max(0.0, least_m);
}

std::vector<double> RoomOracle::room_by_cells_m(double beyond_m) const {
    std::vector<Geometry> squares;
    for (std::size_t i = 0; i < cells_.size(); ++i) {
        if (unsafe_depth_[i] || to_hazards_m_[i] <= beyond_m) {
            squares.push_back(own(geos_, GEOSGeom_clone_r(geos_.get(), cells_[i].get())));
        }
    }
    const Geometry area = united(geos_, std::move(squares));
    const Prepared ready = prepared(geos_, area);
    std::vector<double> room_m;
    for (int row = 0; row < scene_.grid.rows; ++row) {
        for (int col = 0; col < scene_.grid.cols; ++col) {
            room_m.push_back(distance(geos_, ready, cells_[index(col, row)]));
        }
    }
    return room_m;
}

} // namespace swingroom::testing_support
