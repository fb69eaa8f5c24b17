#include "sea/ground/grid_link.hpp"

#include "swingroom/base/error.hpp"
#include "swingroom/sea/georeference.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace swingroom {
namespace {

/// Points a side at which a rectangle of cells, and the frame of a grid, are looked at.
constexpr int probes = 5, frame_steps = 64;
/// What double precision and the libraries' iterations leave open, in cells.
constexpr double numeric_noise_cells = 1e-6;

GridPoint between(GridPoint a, GridPoint b, double t) {
    return {a.x + t * (b.x - a.x), a.y + t * (b.y - a.y)};
}

bool is_finite(GridPoint p) { return std::isfinite(p.x) && std::isfinite(p.y); }

/// The same place in the turn that brings it nearest to another.
double turned(double x, double near, double turn) {
    return turn > 0 ? x - turn * std::round((x - near) / turn) : x;
}

bool same_crs(const PJ* a, const PJ* b) {
    return proj_is_equivalent_to(a, b, PJ_COMP_EQUIVALENT_EXCEPT_AXIS_ORDER_GEOGCRS) != 0;
}

} // namespace

GridPoint PlacedCells::at(int col, int row) const {
    const double along = static_cast<double>(col - cells.col) / cells.cols,
                 down = static_cast<double>(row - cells.row) / cells.rows;
    return between(between(corners[0], corners[1], along), between(corners[2], corners[3], along), down);
}

GridLink::GridLink(const Grid& here, const Grid& there, const std::string& here_name,
                   const std::string& there_name)
    : here_(here), there_(there), here_name_(here_name), there_name_(there_name), context_(quiet_context()),
      beyond_pole_low_(-std::numeric_limits<double>::infinity()), beyond_pole_high_(-beyond_pole_low_) {
    const Pj from = horizontal_crs(context_.get(), here.crs_wkt, here_name);
    const Pj to = horizontal_crs(context_.get(), there.crs_wkt, there_name);
    const double turn_here = turn_in_plane(here.crs_wkt, here_name);
    turn_here_ = turn_here / here.step_x;
    turn_there_ = turn_in_plane(there.crs_wkt, there_name) / there.step_x;
    if (is_geographic(from.get()) && turn_here > 0) {
        const double pole = turn_here / 4;
        beyond_pole_low_ = std::min(here.row_of(pole), here.row_of(-pole));
        beyond_pole_high_ = std::max(here.row_of(pole), here.row_of(-pole));
    }
    if (same_crs(from.get(), to.get())) return;
    CoordinateOperation operation_found = best_operation(context_.get(), from.get(), to.get(), there);
    const std::string cure = "warp one to the other's CRS, by a transformation that is known to be right";
    if (!operation_found.operation) {
        throw InputError(
            there_name,
            "its CRS cannot be tied to that of " + here_name + " (no operation between their datums)", cure);
    }
    if (!(operation_found.accuracy_m >= 0)) {
        throw InputError(there_name, "nobody knows how well its datum is tied to that of " + here_name, cure);
    }
    operation_ = std::move(operation_found.operation);
    accuracy_m_ = operation_found.accuracy_m;
    if (accuracy_m_ > 0) metric_there_ = ground_metric(there, there_name);
}

GridPoint GridLink::transform(PJ_DIRECTION direction, double x, double y) const {
    if (!operation_) return {x, y};
    const std::lock_guard lock(one_at_a_time_);
    const PJ_COORD c = transformed(operation_.get(), direction, x, y);
    return {c.xy.x, c.xy.y};
}

GridPoint GridLink::there(GridPoint p) const {
    const GridPoint q = transform(PJ_FWD, here_.x_of(p.x), here_.y_of(p.y));
    return {there_.col_of(q.x), there_.row_of(q.y)};
}

GridPoint GridLink::here(GridPoint p) const {
    const GridPoint q = transform(PJ_INV, there_.x_of(p.x), there_.y_of(p.y));
    return {here_.col_of(q.x), here_.row_of(q.y)};
}

bool GridLink::wraps_around() const { return std::abs(turn_there_ - there_.cols) <= numeric_noise_cells; }

GridPoint GridLink::slack_of(const PlacedCells& placed) const {
    const auto [first, right, below, last] = placed.corners;
    const double cols = placed.cells.cols, rows = placed.cells.rows;
    return {there_.slack_cells +
                here_.slack_cells * (std::abs(right.x - first.x) / cols + std::abs(below.x - first.x) / rows),
            there_.slack_cells + here_.slack_cells * (std::abs(right.y - first.y) / cols +
                                                      std::abs(below.y - first.y) / rows)};
}

std::optional<PlacedCells> GridLink::placed(Window cells) const {
    std::array<GridPoint, probes * probes> net{};
    const int steps = straight() ? 1 : probes - 1;
    const auto point = [&](int i, int j) -> GridPoint& {
        return net[static_cast<std::size_t>(j) * probes + static_cast<std::size_t>(i)];
    };
    const GridPoint middle = there({cells.col + cells.cols / 2.0, cells.row + cells.rows / 2.0});
    const double x = turned(middle.x, there_.cols / 2.0, turn_there_);
    for (int j = 0; j <= steps; ++j) {
        for (int i = 0; i <= steps; ++i) {
            GridPoint p = there({cells.col + cells.cols * (static_cast<double>(i) / steps),
                                 cells.row + cells.rows * (static_cast<double>(j) / steps)});
            // One CRS goes on across the seam of longitudes by itself; what PROJ says may jump there.
            p.x = straight() ? p.x + (x - middle.x) : turned(p.x, x, turn_there_);
            if (!is_finite(p)) return std::nullopt;
            point(i, j) = p;
        }
    }
    PlacedCells placed{cells, {point(0, 0), point(steps, 0), point(0, steps), point(steps, steps)}, {}, {}};
    const GridPoint slack = slack_of(placed);
    placed.off = slack;
    if (straight()) return placed;
    Bounds box;
    for (int j = 0; j <= steps; ++j) {
        for (int i = 0; i <= steps; ++i) {
            const double along = static_cast<double>(i) / steps, down = static_cast<double>(j) / steps;
            const GridPoint p = point(i, j),
                            read = between(between(placed.corners[0], placed.corners[1], along),
                                           between(placed.corners[2], placed.corners[3], along), down);
            placed.bent = {std::max(placed.bent.x, 2 * std::abs(p.x - read.x)),
                           std::max(placed.bent.y, 2 * std::abs(p.y - read.y))};
            box.add(p);
        }
    }
    placed.off = {slack.x + placed.bent.x + numeric_noise_cells,
                  slack.y + placed.bent.y + numeric_noise_cells};
    if (accuracy_m_ > 0) {
        const auto row = [&](double y) { return static_cast<int>(std::clamp(y, -1.0, there_.rows + 1.0)); };
        const CellSize size = metric_there_.least(row(box.low) - 1, row(box.high) + 1);
        placed.off = {placed.off.x + accuracy_m_ / size.dx_m, placed.off.y + accuracy_m_ / size.dy_m};
    }
    return placed;
}

Bounds GridLink::other() const {
    const double middle = here_.cols / 2.0;
    const GridPoint centre = here({there_.cols / 2.0, there_.rows / 2.0});
    const double x = turned(centre.x, middle, turn_here_);
    // Between points the frame's edges bulge, by some metres in 1000 km: cells there are left out, which is
    // safe.
    Bounds bounds;
    for (int j = 0; j <= frame_steps; ++j) {
        for (int i = 0; i <= frame_steps; ++i) {
            const double col = there_.cols * (static_cast<double>(i) / frame_steps);
            GridPoint p = here({col, there_.rows * (static_cast<double>(j) / frame_steps)});
            if (!is_finite(p)) {
                throw InputError(there_name_, "reaches to where the CRS of " + here_name_ + " has no place",
                                 "cut it to the area first (gdal_translate -projwin)");
            }
            // Between two planes that repeat themselves the one follows the other through all turns.
            const double by =
                turn_there_ > 0 ? x + (col - there_.cols / 2.0) * (turn_here_ / turn_there_) : x;
            p.x = straight() ? p.x + (x - centre.x) : turned(p.x, by, turn_here_);
            bounds.add(p);
        }
    }
    if (turn_here_ > 0) {
        // What goes all round the globe does so wherever its own seam lies.
        const bool all_round = bounds.right - bounds.left >= turn_here_ * (1 - 1e-9);
        if (all_round) {
            bounds.add({-turn_here_, bounds.low}), bounds.add({here_.cols + turn_here_, bounds.low});
        }
        bounds.left = std::max(bounds.left, middle - turn_here_ / 2);
        bounds.right = std::min(bounds.right, middle + turn_here_ / 2);
    }
    bounds.low = std::max(bounds.low, beyond_pole_low_);
    bounds.high = std::min(bounds.high, beyond_pole_high_);
    return bounds;
}

} // namespace swingroom
