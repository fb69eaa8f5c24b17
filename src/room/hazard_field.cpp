#include "swingroom/base/error.hpp"
#include "swingroom/room/hazard.hpp"

#include <algorithm>
#include <bit>
#include <cassert>
#include <cmath>
#include <limits>
#include <numeric>

// A danger is the inside of its polygons plus a capsule (a segment and everything within the margin) around
// every segment of every line and ring. A cell is touched when its square meets one of these:
//
// - Inside. A square whose centre is inside is touched. One that is touched but has its centre outside is met
//   by the boundary, and boundaries are burnt as capsules. So the centres are enough, and a centre that
//   rounding puts on the wrong side lies on the boundary, whose capsule marks the cell anyway.
// - Capsules are convex, and so is their part inside one row of cells. The columns it meets are therefore all
//   those between its least and its greatest x in that row, and no others: one exact interval a row.
//
// All is computed in the raster's own grid space, from numbers that do not depend on the window asked for.

namespace swingroom {
namespace {

/// Long segments are cut at rows that are multiples of this, so that a piece takes the metric of its own
/// rows.
constexpr int piece_rows = 64;
/// No segment is cut into more pieces than this, however far it goes.
constexpr double most_pieces = 4096;
/// Chains of segments shorter than this (in cells, each way) may be merged, up to so many in one.
constexpr double short_segment_cells = 0.5;
constexpr std::size_t most_merged = 16;
/// ... if no vertex lies further from the merged segment than this part of a cell. The deviation is then
/// added to the margin of that piece.
constexpr double merge_tolerance_cells = 1.0 / 16;
/// What of a hazard marks cells: its polygons' insides, by the cells' centres, or the capsules around its
/// outlines.
enum class Part { inside, outline };

/// Coordinates beyond this are a broken file, not a place: with them a double no longer resolves a cell.
constexpr double farthest_cells = 1e12;

/// How far, in cells, rounding can move a computed outline: a fixed part that is generous for anything near
/// the raster, and a part for far ends of segments, whose cut points carry the error of their size.
double guard_cells(GridPoint a, GridPoint b) {
    return 1e-6 + 4e-15 * std::max({std::abs(a.x), std::abs(a.y), std::abs(b.x), std::abs(b.y)});
}

/// Cells from first to last, both included; empty if last < first.
struct Box {
    int col_first = 0, row_first = 0, col_last = -1, row_last = -1;
    [[nodiscard]] bool empty() const { return col_last < col_first || row_last < row_first; }
    [[nodiscard]] bool meets(const Box& o) const {
        return col_first <= o.col_last && o.col_first <= col_last && row_first <= o.row_last &&
               o.row_first <= row_last;
    }
};

Box box_of(Window w) { return {w.col, w.row, w.col_end() - 1, w.row_end() - 1}; }

Box common(const Box& a, const Box& b) {
    return {std::max(a.col_first, b.col_first), std::max(a.row_first, b.row_first),
            std::min(a.col_last, b.col_last), std::min(a.row_last, b.row_last)};
}

/// A whole number of cells as int, held within a range first: a double outside int is no number to convert.
int held(double cells, int least, int greatest) {
    return static_cast<int>(std::clamp(cells, static_cast<double>(least), static_cast<double>(greatest)));
}

/// The first and last cell that a closed interval [from, to] touches, held one beyond the given range.
struct Cells {
    int first, last;
};
Cells cells_touched(double from, double to, int least, int greatest) {
    return {held(std::ceil(from) - 1, least - 1, greatest + 1),
            held(std::floor(to), least - 1, greatest + 1)};
}

/// Boxes in a spatial order, bundled by sixteens, so that a window visits what it meets and little else.
class BoxTree {
public:
    explicit BoxTree(std::vector<Box> leaves = {}) {
        levels_.push_back(std::move(leaves));
        while (levels_.back().size() > 1)
            levels_.push_back(bundled(levels_.back()));
    }
    /// Calls visit(index) for every leaf that meets the box, in order.
    template <class Visit>
    void each(const Box& query, Visit&& visit) const {
        if (!levels_.front().empty() && !query.empty()) descend(levels_.size() - 1, 0, query, visit);
    }

private:
    static constexpr std::size_t fan_out = 16;

    static std::vector<Box> bundled(const std::vector<Box>& below) {
        std::vector<Box> above((below.size() + fan_out - 1) / fan_out);
        for (std::size_t i = 0; i < below.size(); ++i) {
            Box& box = above[i / fan_out];
            const Box& b = below[i];
            box = i % fan_out == 0
                      ? b
                      : Box{std::min(box.col_first, b.col_first), std::min(box.row_first, b.row_first),
                            std::max(box.col_last, b.col_last), std::max(box.row_last, b.row_last)};
        }
        return above;
    }
    template <class Visit>
    void descend(std::size_t level, std::size_t index, const Box& query, Visit& visit) const {
        if (!levels_[level][index].meets(query)) return;
        if (level == 0) {
            visit(index);
            return;
        }
        const std::size_t end = std::min((index + 1) * fan_out, levels_[level - 1].size());
        for (std::size_t i = index * fan_out; i < end; ++i)
            descend(level - 1, i, query, visit);
    }

    std::vector<std::vector<Box>> levels_; // leaves first
};

/// Bits of the lower half of a number moved to the even places (Morton order).
std::uint64_t spread(std::uint64_t v) {
    v &= 0xffffffffu;
    v = (v | (v << 16)) & 0x0000ffff0000ffffu;
    v = (v | (v << 8)) & 0x00ff00ff00ff00ffu;
    v = (v | (v << 4)) & 0x0f0f0f0f0f0f0f0fu;
    v = (v | (v << 2)) & 0x3333333333333333u;
    return (v | (v << 1)) & 0x5555555555555555u;
}

/// Puts items and their boxes into an order in which neighbours in the list are neighbours on the ground.
template <class Item>
BoxTree arranged(std::vector<Item>& items, const std::vector<Box>& boxes, Window extent) {
    const auto key = [&](const Box& b) {
        const auto col = static_cast<std::uint64_t>((b.col_first - extent.col + b.col_last - extent.col) / 2);
        const auto row = static_cast<std::uint64_t>((b.row_first - extent.row + b.row_last - extent.row) / 2);
        return spread(col) | spread(row) << 1;
    };
    std::vector<std::pair<std::uint64_t, std::size_t>> order(items.size());
    for (std::size_t i = 0; i < items.size(); ++i)
        order[i] = {key(boxes[i]), i};
    std::sort(order.begin(), order.end());
    std::vector<Item> sorted;
    std::vector<Box> leaves;
    sorted.reserve(items.size());
    leaves.reserve(items.size());
    for (const auto& entry : order) {
        sorted.push_back(items[entry.second]);
        leaves.push_back(boxes[entry.second]);
    }
    items = std::move(sorted);
    return BoxTree(std::move(leaves));
}

/// The least cell size of any range of rows in constant time: minima of all runs whose length is a power of
/// two. It lives no longer than its metric.
class LeastSizes {
public:
    explicit LeastSizes(const GroundMetric& metric) : metric_(metric) {
        runs_.push_back(metric.sizes());
        for (std::size_t half = 1; 2 * half <= runs_.front().size(); half *= 2) {
            const auto& below = runs_.back();
            std::vector<CellSize> above(below.size() - half);
            for (std::size_t i = 0; i < above.size(); ++i)
                above[i] = least_of(below[i], below[i + half]);
            runs_.push_back(std::move(above));
        }
        all_ = metric.least();
    }
    [[nodiscard]] CellSize all() const { return all_; }
    /// Over rows [first, last]; rows outside the raster take the nearest row's size.
    [[nodiscard]] CellSize least(double first, double last) const {
        const int end = metric_.rows() - 1;
        const std::size_t from = metric_.index(held(first, 0, end)), to = metric_.index(held(last, 0, end));
        const auto level = static_cast<std::size_t>(std::bit_width(to - from + 1)) - 1;
        return least_of(runs_[level][from], runs_[level][to + 1 - (std::size_t{1} << level)]);
    }

private:
    static CellSize least_of(CellSize a, CellSize b) {
        return {std::min(a.dx_m, b.dx_m), std::min(a.dy_m, b.dy_m)};
    }
    const GroundMetric& metric_;
    std::vector<std::vector<CellSize>> runs_;
    CellSize all_;
};

/// A segment and its reach. Ends in grid space with a.y <= b.y; the reach holds margin, slack and guards.
struct Capsule {
    GridPoint a, b;
    double reach_m = 0;
    CellSize size; ///< of a cell, over all rows that the reach can touch
    std::uint32_t hazard = 0;
};

/// The right-hand outline of a capsule in metres from its lower end, as x over y. It is concave.
class RightOutline {
public:
    /// @param x_m, y_m  the upper end seen from the lower one, y_m >= 0
    RightOutline(double x_m, double y_m, double reach_m) : x_m_(x_m), y_m_(y_m), reach_m_(reach_m) {
        const double length_m = std::hypot(x_m, y_m);
        if (length_m > 0) {
            offset_x_m_ = reach_m * (y_m / length_m);
            offset_y_m_ = -reach_m * (x_m / length_m);
        }
    }
    /// Greatest x with y in [from_m, to_m], a range that meets the capsule: its summit, or where the range
    /// comes closest to the summit.
    [[nodiscard]] double greatest(double from_m, double to_m) const {
        return at(std::clamp(x_m_ > 0 ? y_m_ : 0.0, from_m, to_m));
    }

private:
    [[nodiscard]] double at(double y) const {
        if (y < offset_y_m_ || y_m_ <= 0) {
            // A level segment's outline is that of its right end.
            return (y_m_ <= 0 ? std::max(x_m_, 0.0) : 0.0) + half_chord(y);
        }
        if (y > offset_y_m_ + y_m_) return x_m_ + half_chord(y - y_m_);
        return offset_x_m_ + x_m_ * ((y - offset_y_m_) / y_m_);
    }
    [[nodiscard]] double half_chord(double y) const {
        return std::sqrt(std::max(0.0, (reach_m_ - y) * (reach_m_ + y)));
    }

    double x_m_, y_m_, reach_m_;
    double offset_x_m_ = 0, offset_y_m_ = 0;
};

/// Calls mark(row, first column, last column) for the rows and columns of `within` that the capsule touches.
/// Its reach is wider than the danger's by the guard; every error of the arithmetic below amounts to moving
/// the outline by less than that, so what the true danger touches is never missed.
template <class Mark>
void each_row(const Capsule& c, const Box& within, Mark&& mark) {
    const double dx = c.size.dx_m, dy = c.size.dy_m;
    const double x_m = (c.b.x - c.a.x) * dx, y_m = (c.b.y - c.a.y) * dy;
    const RightOutline right(x_m, y_m, c.reach_m), left(-x_m, y_m, c.reach_m);
    const double guard = guard_cells(c.a, c.b);
    const Cells rows =
        cells_touched(c.a.y - c.reach_m / dy, c.b.y + c.reach_m / dy, within.row_first, within.row_last);
    const int end = std::min(rows.last, within.row_last);
    for (int row = std::max(rows.first, within.row_first); row <= end; ++row) {
        const double from_m = (row - c.a.y) * dy, to_m = (row + 1 - c.a.y) * dy;
        const double least = c.a.x - left.greatest(from_m, to_m) / dx - guard;
        const double greatest = c.a.x + right.greatest(from_m, to_m) / dx + guard;
        const Cells cols = cells_touched(least, greatest, within.col_first, within.col_last);
        const int first = std::max(cols.first, within.col_first);
        const int last = std::min(cols.last, within.col_last);
        if (first <= last) mark(row, first, last);
    }
}

/// Squared distance in metres from a point to a segment, with one cell size.
double squared_distance(GridPoint p, GridPoint a, GridPoint b, CellSize size) {
    const double bx = (b.x - a.x) * size.dx_m, by = (b.y - a.y) * size.dy_m;
    const double px = (p.x - a.x) * size.dx_m, py = (p.y - a.y) * size.dy_m;
    const double squared_length = bx * bx + by * by;
    const double t = squared_length > 0 ? std::clamp((px * bx + py * by) / squared_length, 0.0, 1.0) : 0.0;
    const double x = px - t * bx, y = py - t * by;
    return x * x + y * y;
}

/// Columns [first, last] of a row whose centres are inside a polygon.
struct Span {
    int first, last;
};

/// Insides of one hazard's polygons over some consecutive rows.
struct Interior {
    std::uint32_t hazard = 0;
    int row_first = 0, rows = 0;
    std::size_t starts = 0; ///< where its rows + 1 entries of `row_starts` begin
};

/// An edge of a ring, the lower end first, with the rows whose centre lines it crosses. An end on such a line
/// counts as above it, so that every line is crossed an even number of times.
struct Edge {
    GridPoint low, high;
    int row_first, row_last;
};

std::vector<Edge> crossing_edges(const Hazard& hazard, Window extent) {
    std::vector<Edge> edges;
    for (const auto& ring : hazard.rings) {
        for (std::size_t i = 0; i < ring.size(); ++i) {
            GridPoint low = ring[i], high = ring[(i + 1) % ring.size()];
            if (low.y > high.y) std::swap(low, high);
            const Edge edge{low, high, held(std::ceil(low.y - 0.5), extent.row, extent.row_end()),
                            held(std::ceil(high.y - 0.5) - 1, extent.row - 1, extent.row_end() - 1)};
            if (edge.row_first <= edge.row_last) edges.push_back(edge);
        }
    }
    std::sort(edges.begin(), edges.end(),
              [](const Edge& a, const Edge& b) { return a.row_first < b.row_first; });
    return edges;
}

/// Adds the columns whose centres lie between crossings 0 and 1, 2 and 3, ... of a row's centre line.
void add_spans(std::vector<double>& crossings, Window extent, std::vector<Span>& spans) {
    std::sort(crossings.begin(), crossings.end());
    const std::size_t before = spans.size();
    for (std::size_t i = 0; i + 1 < crossings.size(); i += 2) {
        const Span span{held(std::ceil(crossings[i] - 0.5), extent.col, extent.col_end()),
                        held(std::ceil(crossings[i + 1] - 0.5) - 1, extent.col - 1, extent.col_end() - 1)};
        if (span.first > span.last) continue;
        if (spans.size() > before && span.first <= spans.back().last + 1)
            spans.back().last = std::max(spans.back().last, span.last);
        else
            spans.push_back(span);
    }
}

void check(const Hazard& hazard) {
    const auto usable = [](const std::vector<GridPoint>& points) {
        return std::all_of(points.begin(), points.end(), [](GridPoint p) {
            return std::abs(p.x) <= farthest_cells && std::abs(p.y) <= farthest_cells; // false for NaN
        });
    };
    const bool sound = std::all_of(hazard.paths.begin(), hazard.paths.end(), usable) &&
                       std::all_of(hazard.rings.begin(), hazard.rings.end(), usable);
    if (!sound)
        throw InputError(hazard.label, "a vertex is not a number or lies 1e12 cells away",
                         "repair the feature");
    const double reach_m = hazard.margin_m + hazard.slack_m;
    if (!(hazard.margin_m >= 0 && hazard.slack_m >= 0 && std::isfinite(reach_m)))
        throw InputError(hazard.label, "its margin is negative or not a number", "give 0 m or more");
}

} // namespace

struct HazardField::Prepared {
    std::vector<Hazard> hazards;
    Window extent, within; ///< of the raster, and what of it can be asked for
    GroundMetric metric;
    std::uint8_t effects = 0;
    bool names_seabed = false;
    std::vector<Capsule> capsules;
    BoxTree capsule_tree;
    std::vector<Interior> interiors;
    std::vector<std::size_t> row_starts;
    std::vector<Span> spans;
    BoxTree interior_tree;

    void prepare();
    /// Calls mark(hazard, row, first column, last column) for all that is touched in a part of the raster.
    template <class Wanted, class Mark>
    void each_span(Window window, Wanted&& wanted, Mark&& mark) const;

private:
    struct Draft; ///< capsules with their boxes, before they are put in order
    void add_capsules(std::uint32_t index, Draft& draft) const;
    void add_interior(std::uint32_t index, std::vector<Box>& boxes);
};

/// Cuts the outlines of hazards into capsules.
struct HazardField::Prepared::Draft {
    const LeastSizes& sizes;
    CellSize greatest; ///< of any cell of the raster
    Window extent, within;
    std::uint32_t hazard = 0;
    double reach_m = 0; ///< of the hazard at hand: margin and slack
    std::vector<Capsule> capsules;
    std::vector<Box> boxes;

    void add_chain(const std::vector<GridPoint>& points) {
        if (points.empty()) return;
        if (points.size() == 1) add_segment(points.front(), points.front(), 0);
        for (std::size_t i = 0; i + 1 < points.size();) {
            const auto [end, deviation_m] = mergeable(points, i);
            add_segment(points[i], points[end], deviation_m);
            i = end;
        }
    }

private:
    struct Merged {
        std::size_t end;
        double deviation_m;
    };
    /// How far from vertex i one segment can stand for the chain, and how far the chain strays from it.
    [[nodiscard]] Merged mergeable(const std::vector<GridPoint>& points, std::size_t i) const {
        const auto is_short = [&](std::size_t k) {
            return std::abs(points[k + 1].x - points[k].x) < short_segment_cells &&
                   std::abs(points[k + 1].y - points[k].y) < short_segment_cells;
        };
        const CellSize least = sizes.all();
        const double tolerance_m = merge_tolerance_cells * std::min(least.dx_m, least.dy_m);
        Merged merged{i + 1, 0};
        if (!is_short(i)) return merged;
        for (std::size_t end = i + 2; end < points.size() && end - i <= most_merged && is_short(end - 1);
             ++end) {
            double squared_m = 0;
            for (std::size_t k = i + 1; k < end; ++k)
                squared_m =
                    std::max(squared_m, squared_distance(points[k], points[i], points[end], greatest));
            if (squared_m > tolerance_m * tolerance_m) break;
            merged = {end, std::sqrt(squared_m)};
        }
        return merged;
    }

    void add_segment(GridPoint a, GridPoint b, double deviation_m) {
        if (a.y > b.y) std::swap(a, b);
        if (!may_touch(a, b, deviation_m)) return;
        const double rows = b.y - a.y;
        if (rows <= piece_rows) {
            add_piece(a, b, deviation_m);
            return;
        }
        const auto at = [&](double y) {
            return y <= a.y ? a : y >= b.y ? b : GridPoint{a.x + (y - a.y) / rows * (b.x - a.x), y};
        };
        // What lies further from the raster's rows than the reach touches none of its cells.
        const double beyond = reach_m / sizes.all().dy_m + 2;
        const double first = std::max(a.y, extent.row - beyond),
                     last = std::min(b.y, extent.row_end() + beyond);
        const double step = piece_rows * std::ceil(std::max(1.0, (last - first) / piece_rows / most_pieces));
        for (double from = first; from < last;) {
            const double to = std::min(last, (std::floor(from / step) + 1) * step);
            add_piece(at(from), at(to), deviation_m);
            from = to;
        }
    }

    /// Whether a segment can be near enough to what is asked for. Which pieces are made of it does not depend
    /// on that.
    [[nodiscard]] bool may_touch(GridPoint a, GridPoint b, double deviation_m) const {
        const double reach = reach_m + deviation_m;
        const double cols = reach / sizes.all().dx_m + 3, rows = reach / sizes.all().dy_m + 3;
        const auto [left, right] = std::minmax(a.x, b.x);
        return left - cols <= within.col_end() && within.col <= right + cols &&
               a.y - rows <= within.row_end() && within.row <= b.y + rows;
    }

    void add_piece(GridPoint a, GridPoint b, double deviation_m) {
        const double reach = reach_m + deviation_m;
        // Nothing within the reach of the piece is further from its rows than this.
        const double reach_rows = reach / sizes.all().dy_m + 2;
        const CellSize size = sizes.least(std::floor(a.y - reach_rows), std::floor(b.y + reach_rows));
        const double guard = guard_cells(a, b);
        const Capsule capsule{a, b, reach * (1 + 1e-12) + guard * (size.dx_m + size.dy_m), size, hazard};
        const double beside = capsule.reach_m / size.dx_m + guard, above = capsule.reach_m / size.dy_m;
        const auto [left, right] = std::minmax(a.x, b.x);
        const Box all = box_of(extent);
        const Cells cols = cells_touched(left - beside, right + beside, all.col_first, all.col_last);
        const Cells rows = cells_touched(a.y - above, b.y + above, all.row_first, all.row_last);
        const Box box = common({cols.first, rows.first, cols.last, rows.last}, all);
        if (box.empty()) return;
        capsules.push_back(capsule);
        boxes.push_back(box);
    }
};

void HazardField::Prepared::add_capsules(std::uint32_t index, Draft& draft) const {
    const Hazard& hazard = hazards[index];
    draft.hazard = index;
    draft.reach_m = hazard.margin_m + hazard.slack_m;
    for (const auto& path : hazard.paths)
        draft.add_chain(path);
    for (const auto& ring : hazard.rings) {
        draft.add_chain(ring);
        if (ring.size() > 1 && ring.front() != ring.back()) draft.add_chain({ring.back(), ring.front()});
    }
}

void HazardField::Prepared::add_interior(std::uint32_t index, std::vector<Box>& boxes) {
    const std::vector<Edge> edges = crossing_edges(hazards[index], within);
    if (edges.empty()) return;
    std::vector<Edge> active; // those that may cross the rows at hand
    std::vector<double> crossings;
    std::size_t next = 0;
    int chunk = edges.front().row_first;
    while (next < edges.size() || !active.empty()) {
        if (active.empty()) chunk = edges[next].row_first;
        const int chunk_end = std::min(within.row_end(), (chunk / piece_rows + 1) * piece_rows);
        while (next < edges.size() && edges[next].row_first < chunk_end)
            active.push_back(edges[next++]);
        const Interior interior{index, chunk, chunk_end - chunk, row_starts.size()};
        const std::size_t first_span = spans.size();
        for (int row = chunk; row < chunk_end; ++row) {
            crossings.clear();
            for (const Edge& e : active) {
                if (row < e.row_first || row > e.row_last) continue;
                crossings.push_back(e.low.x +
                                    (row + 0.5 - e.low.y) / (e.high.y - e.low.y) * (e.high.x - e.low.x));
            }
            row_starts.push_back(spans.size());
            add_spans(crossings, within, spans);
        }
        row_starts.push_back(spans.size());
        std::erase_if(active, [&](const Edge& e) { return e.row_last < chunk_end; });
        chunk = chunk_end;
        if (spans.size() == first_span) {
            row_starts.resize(interior.starts);
            continue;
        }
        Box box{within.col_end(), interior.row_first, within.col - 1, chunk_end - 1};
        for (std::size_t i = first_span; i < spans.size(); ++i) {
            box.col_first = std::min(box.col_first, spans[i].first);
            box.col_last = std::max(box.col_last, spans[i].last);
        }
        interiors.push_back(interior);
        boxes.push_back(box);
    }
}

void HazardField::Prepared::prepare() {
    const LeastSizes sizes(metric);
    Draft draft{sizes, metric.greatest(0, metric.rows() - 1), extent, within, 0, 0, {}, {}};
    std::vector<Box> interior_boxes;
    for (std::size_t i = 0; i < hazards.size(); ++i) {
        const Hazard& hazard = hazards[i];
        check(hazard);
        effects = static_cast<std::uint8_t>(effects | hazard.effects);
        names_seabed = names_seabed || hazard.seabed.has_value();
        if (within.empty()) continue;
        add_capsules(static_cast<std::uint32_t>(i), draft);
        add_interior(static_cast<std::uint32_t>(i), interior_boxes);
    }
    capsules = std::move(draft.capsules);
    capsule_tree = arranged(capsules, draft.boxes, extent);
    interior_tree = arranged(interiors, interior_boxes, extent);
}

template <class Wanted, class Mark>
void HazardField::Prepared::each_span(Window window, Wanted&& wanted, Mark&& mark) const {
    const Box part = box_of(common(window, within));
    if (part.empty()) return;
    interior_tree.each(part, [&](std::size_t i) {
        const Interior& interior = interiors[i];
        const Hazard& hazard = hazards[interior.hazard];
        if (!wanted(hazard)) return;
        const int end = std::min(interior.row_first + interior.rows - 1, part.row_last);
        for (int row = std::max(interior.row_first, part.row_first); row <= end; ++row) {
            const std::size_t* start =
                row_starts.data() + interior.starts + static_cast<std::size_t>(row - interior.row_first);
            const Span* const last = spans.data() + start[1];
            const Span* span = std::lower_bound(spans.data() + start[0], last, part.col_first,
                                                [](const Span& s, int col) { return s.last < col; });
            for (; span != last && span->first <= part.col_last; ++span)
                mark(hazard, Part::inside, row, std::max(span->first, part.col_first),
                     std::min(span->last, part.col_last));
        }
    });
    capsule_tree.each(part, [&](std::size_t i) {
        const Hazard& hazard = hazards[capsules[i].hazard];
        if (wanted(hazard))
            each_row(capsules[i], part,
                     [&](int row, int first, int last) { mark(hazard, Part::outline, row, first, last); });
    });
}

HazardField::HazardField(std::vector<Hazard> hazards, Window extent, GroundMetric metric)
    : HazardField(std::move(hazards), extent, std::move(metric), extent) {}

HazardField::HazardField(std::vector<Hazard> hazards, Window extent, GroundMetric metric, Window within)
    : prepared_(std::make_unique<Prepared>()) {
    assert(metric.rows() > 0);
    prepared_->hazards = std::move(hazards);
    prepared_->extent = extent;
    prepared_->within = common(within, extent);
    prepared_->metric = std::move(metric);
    prepared_->prepare();
}
HazardField::~HazardField() = default;
HazardField::HazardField(HazardField&&) noexcept = default;
HazardField& HazardField::operator=(HazardField&&) noexcept = default;

void HazardField::burn(Plane<std::uint8_t>& bits) const {
    const int col = bits.window().col;
    prepared_->each_span(
        bits.window(), [](const Hazard& hazard) { return hazard.effects != 0; },
        [&](const Hazard& hazard, Part, int row, int first, int last) {
            std::uint8_t* const cells = bits.row(row) - col;
            const std::uint8_t effects = hazard.effects;
            for (int c = first; c <= last; ++c)
                cells[c] = static_cast<std::uint8_t>(cells[c] | effects);
        });
    // Of cells that nobody was to ask for nothing was prepared: what is not known is no free water.
    const Window asked = common(bits.window(), prepared_->extent), known = common(asked, prepared_->within);
    if (known == asked) return;
    for (int row = asked.row; row < asked.row_end(); ++row)
        for (int c = asked.col; c < asked.col_end(); ++c)
            if (!known.contains(c, row))
                bits.at(c, row) = static_cast<std::uint8_t>(bits.at(c, row) | effect::hull | effect::ground);
}

void HazardField::burn_seabed(Plane<Seabed>& seabed, const SeabedOrder& order) const {
    if (!prepared_->names_seabed) return;
    struct Ground {
        Seabed worst = Seabed::unknown;
        bool touched = false, inside = false, outline = false;
    };
    Plane<Ground> grounds(seabed.window());
    const int col = seabed.window().col;
    prepared_->each_span(
        seabed.window(), [](const Hazard& hazard) { return hazard.seabed.has_value(); },
        [&](const Hazard& hazard, Part part, int row, int first, int last) {
            Ground* const cells = grounds.row(row) - col;
            for (int c = first; c <= last; ++c) {
                Ground& ground = cells[c];
                ground.worst = ground.touched ? worse(ground.worst, *hazard.seabed, order) : *hazard.seabed;
                ground.touched = true;
                (part == Part::inside ? ground.inside : ground.outline) = true;
            }
        });
    for (std::size_t i = 0; i < grounds.size(); ++i) {
        const Ground& ground = grounds.data()[i];
        Seabed& cell = seabed.data()[i];
        // An outline or a margin in the cell: some of it may lie outside what the areas tell of.
        const bool wholly = ground.inside && !ground.outline;
        if (ground.touched) cell = wholly ? ground.worst : worse(ground.worst, cell, order);
    }
}

void HazardField::each_touched(Window window, const Visit& visit) const {
    prepared_->each_span(
        window, [](const Hazard&) { return true; },
        [&](const Hazard& hazard, Part, int row, int first, int last) {
            visit(static_cast<std::size_t>(&hazard - prepared_->hazards.data()), row, first, last);
        });
}

std::vector<std::size_t> HazardField::touching(Window window) const {
    std::vector<std::size_t> indexes;
    each_touched(window, [&](std::size_t index, int, int, int) { indexes.push_back(index); });
    std::sort(indexes.begin(), indexes.end());
    indexes.erase(std::unique(indexes.begin(), indexes.end()), indexes.end());
    return indexes;
}

const std::vector<Hazard>& HazardField::hazards() const { return prepared_->hazards; }
std::uint8_t HazardField::effects() const { return prepared_->effects; }
bool HazardField::names_seabed() const { return prepared_->names_seabed; }

double HazardField::excess_bound_m(const Hazard& hazard) const {
    const GroundMetric& metric = prepared_->metric;
    double first = std::numeric_limits<double>::infinity(), last = -first, far = 0;
    for (const auto* chains : {&hazard.paths, &hazard.rings}) {
        for (const auto& chain : *chains) {
            for (const GridPoint p : chain) {
                first = std::min(first, p.y);
                last = std::max(last, p.y);
                far = std::max({far, std::abs(p.x), std::abs(p.y)});
            }
        }
    }
    const CellSize least = metric.least(), greatest = metric.greatest(0, metric.rows() - 1);
    // Merging moves an outline by the deviation and widens the reach by as much.
    const double merge_m = 2 * merge_tolerance_cells * std::min(least.dx_m, least.dy_m);
    const double reach_m = hazard.margin_m + hazard.slack_m + merge_m;
    const double guard_m =
        4 * guard_cells({far, far}, {far, far}) * (greatest.dx_m + greatest.dy_m) + 4e-12 * reach_m;
    // A piece takes the least size over its own rows and those within reach: at most this many rows.
    const double reach_rows = reach_m / least.dy_m + 3;
    const double band =
        piece_rows * std::ceil(std::max(1.0, (last - first) / piece_rows / most_pieces)) + reach_rows;
    const int end = metric.rows() - 1;
    double ratio = 1;
    for (int row = held(first - reach_rows, 0, end), stop = held(last + reach_rows, 0, end); row <= stop;
         row += piece_rows) {
        const int from = held(row - band, 0, end), to = held(row + piece_rows + band, 0, end);
        const CellSize low = metric.least(from, to), high = metric.greatest(from, to);
        ratio = std::max({ratio, high.dx_m / low.dx_m, high.dy_m / low.dy_m});
    }
    return reach_m * (ratio - 1) + merge_m + guard_m;
}

} // namespace swingroom
