#include "swingroom/room/inner_places.hpp"

#include "swingroom/base/stop.hpp"

#include "room/box_tree.hpp"
#include "room/innermost_cell.hpp"
#include "room/vectorised.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <limits>
#include <numbers>
#include <queue>
#include <utility>

namespace swingroom {
namespace {

using Rings = std::vector<std::vector<GridPoint>>;

/// A corner of a ring, as a traced one has them: of cells.
struct CellCorner {
    std::int32_t x = 0, y = 0;
};

/// Edges that follow each other in a ring: those between so many corners, and one more.
struct EdgeStretch {
    std::uint32_t first = 0, edges = 0;
};

constexpr std::uint32_t most_edges_of_stretch = 8;

/// A point between the corners of cells, and the size of the cells there.
struct PointOfGrid {
    double x = 0, y = 0;
    CellSize size;
};

/// How far a number is from the nearest of an interval.
double gap(int first, int last, double at) { return std::max(std::max(first - at, at - last), 0.0); }

/// Square of the distance to a box of cell corners.
double distance_m2(const Box& box, PointOfGrid from) {
    const double dx_m = gap(box.col_first, box.col_last, from.x) * from.size.dx_m,
                 dy_m = gap(box.row_first, box.row_last, from.y) * from.size.dy_m;
    return dx_m * dx_m + dy_m * dy_m;
}

/// An edge is the box of its ends.
Box box_of_edge(CellCorner a, CellCorner b) {
    return {std::min(a.x, b.x), std::min(a.y, b.y), std::max(a.x, b.x), std::max(a.y, b.y)};
}

/// distance_m2() of edges that follow each other.   @param corners  one more than edges
SWINGROOM_VECTORISED void distances_of_edges_m2(const CellCorner* corners, std::uint32_t edges,
                                                PointOfGrid from, double* distances_m2) {
    for (std::uint32_t i = 0; i < edges; ++i) {
        distances_m2[i] = distance_m2(box_of_edge(corners[i], corners[i + 1]), from);
    }
}

/// Without the care that std::hypot takes of lengths that no ground has.
double hypotenuse_m(double x_m, double y_m) { return std::sqrt(x_m * x_m + y_m * y_m); }

/// The edges of a zone, and how far points between its cell corners are from them. An outline may be as long
/// as the coast, so that neighbours in a ring, which are neighbours on the ground, stay where they are.
class Outline {
public:
    /// @param cells  the smallest window that holds the zone's
    Outline(const Rings& rings, Window cells) {
        std::size_t corners = 0;
        for (const auto& ring : rings) {
            corners += ring.size();
        }
        corners_.reserve(corners);
        std::vector<Box> boxes;
        for (const auto& ring : rings) {
            add_ring(ring, boxes);
        }
        tree_ = arranged(stretches_, boxes, cells);
    }

    /// How far a cell's centre is from the nearest edge, and which that is.
    struct Inner {
        double inner_m = 0;     ///< below 0 outside of the zone
        std::uint32_t edge = 0; ///< of several that are as near any
    };
    /// By one cell size.
    /// @param maybe  the edge that is nearest somewhere around: the nearer it is, the less is looked at
    [[nodiscard]] Inner inner(GridCell cell, CellSize size, std::optional<std::uint32_t> maybe) const {
        const PointOfGrid from{cell.col + 0.5, cell.row + 0.5, size};
        const auto distance_to_m2 = [&from](const Box& box) { return distance_m2(box, from); };
        std::uint32_t nearest = 0; // of all edges that were looked at
        double nearest_m2 = std::numeric_limits<double>::infinity();
        const auto look_at = [&](std::uint32_t edge) {
            if (const double edge_m2 = distance_to_m2(edge_box(edge)); edge_m2 < nearest_m2) {
                nearest_m2 = edge_m2;
                nearest = edge;
            }
        };
        if (maybe) look_at(*maybe);
        const auto distance_of_stretch_m2 = [&](std::size_t index) {
            const EdgeStretch stretch = stretches_[index];
            std::array<double, most_edges_of_stretch> of_edges_m2;
            distances_of_edges_m2(&corners_[stretch.first], stretch.edges, from, of_edges_m2.data());
            for (std::uint32_t i = 0; i < stretch.edges; ++i) {
                if (of_edges_m2[i] < nearest_m2) {
                    nearest_m2 = of_edges_m2[i];
                    nearest = stretch.first + i;
                }
            }
            return nearest_m2;
        };
        (void)tree_.least(distance_to_m2, distance_of_stretch_m2, nearest_m2);
        const double distance_m = std::sqrt(nearest_m2);
        // The way to the nearest point crosses no edge, so the edge's side is the zone's; and where that
        // point is a corner, a centre lies on the same side of both edges that meet there. The zone lies
        // towards smaller x of an edge that runs down, towards greater y of one that runs right.
        const CellCorner begin = corners_[nearest], end = corners_[nearest + 1];
        const bool inside = begin.x == end.x ? (from.x > begin.x) == (end.y < begin.y)
                                             : (from.y > begin.y) == (end.x > begin.x);
        return {inside ? distance_m : -distance_m, nearest};
    }
    /// How far from an edge centres of the cells are at the most.
    [[nodiscard]] double farthest_m(Window cells, CellSize size, std::uint32_t edge) const {
        const Box box = edge_box(edge);
        const double dx = std::max(
                         {box.col_first - (cells.col + 0.5), 0.0, cells.col_end() - 0.5 - box.col_last}),
                     dy = std::max(
                         {box.row_first - (cells.row + 0.5), 0.0, cells.row_end() - 0.5 - box.row_last});
        return hypotenuse_m(dx * size.dx_m, dy * size.dy_m);
    }

private:
    /// @param edge  the place of its first corner
    [[nodiscard]] Box edge_box(std::uint32_t edge) const {
        return box_of_edge(corners_[edge], corners_[edge + 1]);
    }
    static Box joined(const Box& a, const Box& b) {
        return {std::min(a.col_first, b.col_first), std::min(a.row_first, b.row_first),
                std::max(a.col_last, b.col_last), std::max(a.row_last, b.row_last)};
    }
    void add_ring(const std::vector<GridPoint>& ring, std::vector<Box>& boxes) {
        for (std::size_t i = 0; i < ring.size(); ++i) {
            const CellCorner corner{static_cast<std::int32_t>(ring[i].x),
                                    static_cast<std::int32_t>(ring[i].y)};
            if (i > 0) {
                const Box edge = box_of_edge(corners_.back(), corner);
                if (i == 1 || stretches_.back().edges == most_edges_of_stretch) {
                    stretches_.push_back({static_cast<std::uint32_t>(corners_.size() - 1), 0});
                    boxes.push_back(edge);
                }
                ++stretches_.back().edges;
                boxes.back() = joined(boxes.back(), edge);
            }
            corners_.push_back(corner);
        }
    }

    std::vector<CellCorner> corners_; ///< of one ring after another, the first of each repeated last
    std::vector<EdgeStretch> stretches_;
    BoxTree tree_;
};

/// The smallest window that holds the zone's cells: that of the outer ring.
Window cells_of(const Rings& rings) {
    if (rings.empty() || rings.front().empty()) return {};
    GridPoint first = rings.front().front(), last = first;
    for (const GridPoint corner : rings.front()) {
        first = {std::min(first.x, corner.x), std::min(first.y, corner.y)};
        last = {std::max(last.x, corner.x), std::max(last.y, corner.y)};
    }
    return {static_cast<int>(first.x), static_cast<int>(first.y), static_cast<int>(last.x - first.x),
            static_cast<int>(last.y - first.y)};
}

/// The least cell size that counts for distances from a row to the outline: no such distance is greater than
/// half the zone's width or height, and the way to the nearest point of the outline stays in the zone.
GroundMetric sizes_inside(const GroundMetric& metric, Window zone) {
    std::vector<CellSize> rows;
    rows.reserve(static_cast<std::size_t>(zone.rows));
    CellSize greatest;
    for (int row = zone.row; row < zone.row_end(); ++row) {
        rows.push_back(metric.at(row));
        greatest = {std::max(greatest.dx_m, rows.back().dx_m), std::max(greatest.dy_m, rows.back().dy_m)};
    }
    const double reach_m = std::min(zone.cols * greatest.dx_m, zone.rows * greatest.dy_m) / 2;
    return GroundMetric(std::move(rows)).within(reach_m);
}

/// Cells [col, col_end) x [row, row_end), and what they can have at the most.
struct Part {
    double most_m = 0;      ///< of a single cell its very inner distance
    std::uint32_t edge = 0; ///< the nearest to the cell in the middle
    Window cells;
    [[nodiscard]] bool single() const { return cells.cols == 1 && cells.rows == 1; }
    [[nodiscard]] GridCell middle() const { return {cells.col + cells.cols / 2, cells.row + cells.rows / 2}; }
    /// The greatest comes out of a heap first. Of equals boxes come before cells, since a cell of theirs may
    /// come first; then by row and column.
    friend bool operator<(const Part& a, const Part& b) {
        if (a.most_m != b.most_m) return a.most_m < b.most_m;
        if (a.single() != b.single()) return a.single();
        return std::pair(a.cells.row, a.cells.col) > std::pair(b.cells.row, b.cells.col);
    }
};

/// What is kept clear of: an ellipse of cells.
struct Clearing {
    GridCell cell;
    CellSize size; ///< the least of all rows that the distance can reach
    double distance_m = 0;

    [[nodiscard]] bool holds(int col, int row) const {
        return std::hypot((col - cell.col) * size.dx_m, (row - cell.row) * size.dy_m) < distance_m;
    }
    /// Whether all of the cells are in it: it is convex, so that their corners tell.
    [[nodiscard]] bool holds(Window cells) const {
        return holds(cells.col, cells.row) && holds(cells.col_end() - 1, cells.row) &&
               holds(cells.col, cells.row_end() - 1) && holds(cells.col_end() - 1, cells.row_end() - 1);
    }
};

} // namespace

double greatest_inner_m(double area_m2) { return std::sqrt(area_m2 / std::numbers::pi); }

double least_distance_m(const GroundMetric& metric, GridCell a, GridCell b) {
    const CellSize size = metric.least(std::min(a.row, b.row), std::max(a.row, b.row));
    return std::hypot((a.col - b.col) * size.dx_m, (a.row - b.row) * size.dy_m);
}

struct InnerPlaces::State {
    State(const Rings& of_zone, const GroundMetric& metric) : rings(of_zone), zone(cells_of(of_zone)) {
        if (zone.empty()) return;
        sizes = sizes_inside(metric, zone);
        const CellSize least = sizes.least(), greatest = sizes.greatest(0, zone.rows - 1);
        if (least.dx_m == greatest.dx_m && least.dy_m == greatest.dy_m) one_size = least;
    }

    const Rings& rings;
    Window zone;
    GroundMetric sizes;               ///< from the zone's first row on
    std::optional<CellSize> one_size; ///< of all rows
    std::optional<InnerPlace> first;  ///< that was found without the outline
    std::optional<Outline> outline;   ///< once it is needed
    std::priority_queue<Part> left;
    std::vector<Clearing> clearings;

    [[nodiscard]] bool untouched() const { return !first && !outline && clearings.empty(); }
    /// From here on places are found by the outline.
    void take_outline() {
        outline.emplace(rings, zone);
        if (first) clearings.push_back({first->cell, {1, 1}, 0.5}); // of no other cell
        push(zone, std::nullopt);
    }

    [[nodiscard]] CellSize greatest_size(Window cells) const {
        return one_size ? *one_size : sizes.greatest(cells.row - zone.row, cells.row_end() - 1 - zone.row);
    }
    [[nodiscard]] bool cleared(Window cells) const {
        return std::any_of(clearings.begin(), clearings.end(),
                           [&](const Clearing& clearing) { return clearing.holds(cells); });
    }

    /// @param maybe  as of Outline::inner()
    void push(Window window, std::optional<std::uint32_t> maybe) {
        if (window.empty() || cleared(window)) return;
        const CellSize size = greatest_size(window);
        Part part{0, 0, window};
        const GridCell middle = part.middle();
        const Outline::Inner inner = outline->inner(middle, size, maybe);
        part.edge = inner.edge;
        part.most_m = inner.inner_m;
        if (!part.single()) {
            const double to_corner_m = hypotenuse_m(
                std::max(middle.col - window.col, window.col_end() - 1 - middle.col) * size.dx_m,
                std::max(middle.row - window.row, window.row_end() - 1 - middle.row) * size.dy_m);
            // A distance changes by no more than the way, by one cell size; by that of a row it is no
            // greater. Nor is it greater than the distance from any one edge.
            constexpr double rounding = 1 + 1e-12;
            part.most_m = std::min(inner.inner_m + to_corner_m * rounding,
                                   outline->farthest_m(window, size, inner.edge) * rounding);
        }
        if (part.most_m > 0) left.push(part);
    }

    void halve(const Part& part) {
        const Window all = part.cells;
        const CellSize size = greatest_size(all);
        const GridCell middle = part.middle();
        Window one = all, other = all;
        if (all.cols * size.dx_m >= all.rows * size.dy_m ? all.cols > 1 : all.rows == 1) {
            one.cols = middle.col - all.col;
            other.cols = all.cols - one.cols;
            other.col = middle.col;
        } else {
            one.rows = middle.row - all.row;
            other.rows = all.rows - one.rows;
            other.row = middle.row;
        }
        for (const Window half : {one, other}) {
            push(half, part.edge);
        }
    }
};

InnerPlaces::InnerPlaces(const Rings& rings, const GroundMetric& metric)
    : state_(std::make_unique<State>(rings, metric)) {}

InnerPlaces::~InnerPlaces() = default;

std::optional<InnerPlace> InnerPlaces::next() {
    if (state_->zone.empty()) return std::nullopt;
    if (state_->untouched() && has_few_cells(state_->zone)) {
        return state_->first = innermost_cell(state_->rings, state_->zone, state_->sizes);
    }
    if (!state_->outline) state_->take_outline();
    for (std::uint32_t count = 0; !state_->left.empty(); ++count) {
        if (count % 1024 == 0) stop_if_asked();
        const Part best = state_->left.top();
        state_->left.pop();
        if (state_->cleared(best.cells)) continue;
        if (best.single()) return InnerPlace{{best.cells.col, best.cells.row}, best.most_m};
        state_->halve(best);
    }
    return std::nullopt;
}

void InnerPlaces::keep_clear_of(GridCell cell, double distance_m) {
    if (state_->zone.empty()) return;
    const GroundMetric& sizes = state_->sizes;
    const int row = cell.row - state_->zone.row;
    const double reach = std::ceil(distance_m / sizes.least().dy_m);
    const auto row_at = [&](double of_zone) {
        return static_cast<int>(std::clamp(of_zone, 0.0, sizes.rows() - 1.0));
    };
    state_->clearings.push_back({cell, sizes.least(row_at(row - reach), row_at(row + reach)), distance_m});
}

std::vector<InnerPlace> inner_places(const Rings& rings, const GroundMetric& metric, double apart_m,
                                     std::size_t most) {
    std::vector<InnerPlace> places;
    InnerPlaces all(rings, metric);
    while (places.size() < most) {
        const std::optional<InnerPlace> place = all.next();
        if (!place) break;
        places.push_back(*place);
        all.keep_clear_of(place->cell, apart_m);
    }
    return places;
}

} // namespace swingroom
